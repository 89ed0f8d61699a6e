"""A traced calculation as a graph: each value with its row, its case and the values that its formula names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from kitforge.cutting.worksheet.expression import Call, Name, walk
from kitforge.cutting.worksheet.rows import Block, Case, LimitRow, Row
from kitforge.cutting.worksheet.symbols import WINDOW_PARTS, CheckedSheet
from kitforge.cutting.worksheet.trace import Trace, TraceEntry, TraceFrame


@dataclass(frozen=True, slots=True, eq=False)
class ComputedNode:
    """A value that was reckoned. place: the block it belongs to, with its values; number: counted in order."""

    number: int
    row: Row | LimitRow
    case: Case
    value: object
    place: NodeScope
    inner: NodeScope | None


@dataclass(slots=True, eq=False)
class NodeScope:
    """The sheet itself, or a block where it was met. opener: the row and case that called it."""

    frame: TraceFrame
    block: Block | None
    opener: tuple[Row | LimitRow, Case] | None
    outside: NodeScope | None
    values: dict[str, ComputedNode] = field(default_factory=dict)
    limits: dict[tuple[str, str], list[ComputedNode]] = field(default_factory=dict)

    @property
    def where(self) -> str:
        """Where a block was met, in words."""
        return self.opener[0].words if self.opener else ""

    def takes(self, symbol: str) -> bool:
        """Return whether a symbol is a parameter of the block."""
        return self.block is not None and any(symbol == parameter for parameter, _unit, _words in self.block.parameters)

    def argument(self, symbol: str) -> Name | None:
        """Return the row that a block took for one of its parameters, None where it took what a search tried."""
        if self.opener is None or self.block is None:
            return None
        formula = self.opener[1].formula
        call = next(node for node in walk(formula) if isinstance(node, Call) and node.name == self.block.name)
        place = [parameter for parameter, _unit, _words in self.block.parameters].index(symbol)
        argument = call.arguments[place]
        if isinstance(formula, Call) and formula.name == "largest" and argument == formula.arguments[0]:
            return None
        return argument if isinstance(argument, Name) else None


class Graph:
    """The values of one traced calculation."""

    def __init__(self, checked: CheckedSheet, trace: Trace) -> None:
        self.nodes: list[ComputedNode] = []
        self._rows = _rows(checked)
        self._blocks = checked.blocks
        self.top = NodeScope(trace.top, None, None, None)
        self._fill(self.top)

    def _fill(self, place: NodeScope) -> None:
        for entry in place.frame.entries:
            row, case = self._rows[entry.case]
            inner = self._inner(place, entry, row, case)
            node = ComputedNode(len(self.nodes), row, case, entry.value, place, inner)
            self.nodes.append(node)
            if isinstance(row, LimitRow):
                place.limits.setdefault((row.symbol, row.side), []).append(node)
            else:
                place.values[row.symbol] = node

    def _inner(self, place: NodeScope, entry: TraceEntry, row: Row | LimitRow, case: Case) -> NodeScope | None:
        if entry.inner is None:
            return None
        called = (node.name for node in walk(case.formula) if isinstance(node, Call) and node.name in self._blocks)
        inner = NodeScope(entry.inner, self._blocks[next(called)], (row, case), place)
        self._fill(inner)
        return inner

    def limit(self, case: int) -> ComputedNode | None:
        """Return the limit that a case gave, None where it did not hold."""
        found = (node for nodes in self.top.limits.values() for node in nodes if node.case.number == case)
        return next(found, None)

    def find(self, name: Name, place: NodeScope) -> ComputedNode | None:
        """Return the value that a name means at a place; None for what a block took that is no row of the sheet."""
        first, *rest = name.parts
        if place.takes(first):
            taken = place.argument(first)
            return self.find(Name((*taken.parts, *rest)), place.outside) if taken and place.outside else None
        if rest and rest[0] in WINDOW_PARTS and any(symbol == first for symbol, _side in self.top.limits):
            return self._tightest(first, rest[0])
        node = place.values.get(first) or self.top.values.get(first)
        for part in rest:
            inner = self.inner_of(node)
            node = inner.values.get(part) if inner else None
        return node

    def inner_of(self, node: ComputedNode | None) -> NodeScope | None:
        """Return the block whose values a row holds, that of another row where it only takes them over."""
        while node is not None and node.inner is None and isinstance(node.case.formula, Name):
            node = self.find(node.case.formula, node.place)
        return node.inner if node else None

    def chain(self, node: ComputedNode) -> Iterator[ComputedNode]:
        """Yield a value and those that it takes over, one after the other, from a row, a block or a limit."""
        yield node
        formula, target = node.case.formula, None
        if isinstance(formula, Call) and formula.part is not None and node.inner is not None:
            target = node.inner.values.get(formula.part)
        elif isinstance(formula, Name) and node.inner is None:
            target = self.find(formula, node.place)
        if target is not None and target is not node:
            yield from self.chain(target)

    def source(self, node: ComputedNode) -> ComputedNode:
        """Return the value that a row takes over in the end, itself where it does not take one over."""
        return list(self.chain(node))[-1]

    def _tightest(self, symbol: str, part: str) -> ComputedNode | None:
        side = ">=" if part.startswith("low") else "<="
        nodes = [node for node in self.top.limits.get((symbol, side), ()) if "check" not in _marks(node)]
        pick = max if side == ">=" else min
        return pick(nodes, key=lambda node: float(str(node.value)), default=None)


def _marks(node: ComputedNode) -> frozenset[str]:
    return node.row.marks if isinstance(node.row, LimitRow) else frozenset()


def _rows(checked: CheckedSheet) -> Mapping[int, tuple[Row | LimitRow, Case]]:
    return dict(_numbered(checked))


def _numbered(checked: CheckedSheet) -> Iterator[tuple[int, tuple[Row | LimitRow, Case]]]:
    for _block, row in checked.sheet.rows():
        for case in row.cases:
            yield case.number, (row, case)
