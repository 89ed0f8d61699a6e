"""A traced calculation as lines that a person can follow: what, formula, numbers, result, sources.

A row that only holds what came in is no line of its own: it stands, with words and source, below the line that uses it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from kitforge.cutting.sources import HERE
from kitforge.cutting.worksheet.citations import cite
from kitforge.cutting.worksheet.expression import Call, Name, Number, Unary, names, substituted, walk, written
from kitforge.cutting.worksheet.expression import Node as Formula
from kitforge.cutting.worksheet.nodes import ComputedNode, Graph, NodeScope
from kitforge.cutting.worksheet.rows import LimitRow, WindowRow
from kitforge.cutting.worksheet.symbols import PLACE, TABLES, CheckedSheet
from kitforge.cutting.worksheet.trace import Trace
from kitforge.model.settings import DERIVED, CalculationLine, Given, Trail

Records = Mapping[str, object]
LONGEST = 80
"""Formulas of up to so many signs are put into the one line that uses them: longer ones are hard to follow."""


class Asked(NamedTuple):
    """What a calculation is printed for: symbols such as 'hardest.Fs', and the cases of limits."""

    symbols: Sequence[str]
    limits: Sequence[int]


def explained(
    checked: CheckedSheet, trace: Trace, records: Records, asked: Asked, before: Sequence[CalculationLine] = ()
) -> Trail:
    """Return the lines that lead to what is asked, in the order in which they were reckoned.

    before: lines of another calculation that this one goes on from, which give what it hands on.
    """
    return _Printer(checked, Graph(checked, trace), records, before).trail(asked)


class _Printer:
    def __init__(
        self, checked: CheckedSheet, graph: Graph, records: Records, before: Sequence[CalculationLine]
    ) -> None:
        self._checked, self._graph, self._records, self._before = checked, graph, records, tuple(before)
        self._wanted: dict[ComputedNode, None] = {}
        self._formulas: dict[ComputedNode, Formula] = {}
        self._numbers: dict[ComputedNode, int] = {}
        self._inputs = dict(checked.inputs)

    def trail(self, asked: Asked) -> Trail:
        found = (self._graph.find(Name(tuple(symbol.split("."))), self._graph.top) for symbol in asked.symbols)
        symbols = [node for node in found if node is not None]
        limits = {case: node for case in asked.limits if (node := self._graph.limit(case)) is not None}
        for node in (*symbols, *limits.values()):
            self._want(node)
        shown = {self._graph.source(node) for node in (*symbols, *limits.values())}
        lines = [node for node in sorted(self._wanted, key=lambda node: node.number) if self._is_line(node)]
        lines = self._folded(lines, shown)
        start = len(self._before) if any(self._comes_before(node) for node in self._wanted) else 0
        self._numbers = {node: start + count for count, node in enumerate(lines, 1)}
        written = tuple(self._line(node) for node in lines)
        where = {case: self._number_of(node) for case, node in limits.items()}
        return Trail((*self._before[:start], *written), tuple(where.items()))

    def _folded(self, lines: Sequence[ComputedNode], shown: set[ComputedNode]) -> list[ComputedNode]:
        """Put short formulas that only one line uses into that line, and return the lines that are left."""
        users: dict[ComputedNode, list[ComputedNode]] = {node: [] for node in lines}
        for node in lines:
            for used in dict.fromkeys(self._used(node)):
                users.get(self._graph.source(used), []).append(node)
        left = dict.fromkeys(lines)
        for node in lines:
            formula = self._formula(node)
            if node in shown or len(users[node]) != 1 or isinstance(node.row, LimitRow) or _is_search(formula):
                continue
            user, symbol = users[node][0], Name((node.row.symbol,))
            merged = substituted(self._formula(user), {symbol: formula})
            once = sum(one == symbol for one in walk(self._formula(user))) == 1 and user.place is node.place
            if once and not _is_search(merged) and len(written(merged)) <= LONGEST:
                self._formulas[user] = merged
                del left[node]
        return list(left)

    def _formula(self, node: ComputedNode) -> Formula:
        """Return the formula of a line, with those that were put into it."""
        return self._formulas.get(node, node.case.formula)

    def _number_of(self, node: ComputedNode) -> int:
        """Return the line that gives a value, its own or that of the value it takes over; 0 for none."""
        return next((self._numbers[one] for one in self._graph.chain(node) if one in self._numbers), 0)

    def _want(self, node: ComputedNode) -> None:
        if node in self._wanted:
            return
        self._wanted[node] = None
        for one in (*self._graph.chain(node), *self._used(node)):
            self._want(one)

    def _used(self, node: ComputedNode) -> Iterator[ComputedNode]:
        for name in self._named(node.case.formula):
            found = self._graph.find(name, node.place)
            if found is not None and found is not node:
                yield found
        if _is_search(node.case.formula) and node.inner is not None:
            yield node.inner.values[_searched(node.case.formula)]

    def _named(self, formula: Formula) -> Iterator[Name]:
        """Yield the symbols of a formula that are values of the sheet."""
        for name in names(formula):
            if name.parts[0] not in self._inputs:
                yield name

    def _is_line(self, node: ComputedNode) -> bool:
        if isinstance(node.value, bool) or not isinstance(node.value, int | float):
            return False
        if self._graph.source(node) is not node:
            # a limit that is a figure which came in stands as a line; what a block gave stands there already
            return isinstance(node.row, LimitRow) and not self._is_line(self._graph.source(node))
        if isinstance(node.row, LimitRow):
            return not isinstance(node.case.formula, Number)
        return not _comes_in(node.case.formula, self._inputs)

    def _line(self, node: ComputedNode) -> CalculationLine:
        row, where = node.row, node.place.where
        what = self._words(row.words, node.place)
        symbol = row.symbol
        if isinstance(row, LimitRow):
            what = f"{self._window(row.symbol)} at {'most' if row.side == '<=' else 'least'}, {what}"
            symbol = f"{row.symbol} {row.side}"
        if where:
            what = f"{what}{' ' if where.startswith(('at ', 'on ', 'where ')) else ', '}{where}"
        formula, inputs = written(self._formula(node)), tuple(self._givens(node))
        if _is_search(node.case.formula):
            formula, inputs = self._search(node)
        return CalculationLine(what, symbol, formula, inputs, _number(node.value), row.unit, self._cite(node))

    def _search(self, node: ComputedNode) -> tuple[str, tuple[Given, ...]]:
        """Return the words for a value that was found by trial, with what was reached there."""
        call = node.case.formula
        assert isinstance(call, Call)
        reached = _searched(call)
        inputs = list(self._givens(node))
        if node.inner is not None:
            found = node.inner.values[reached]
            inputs.append(self._given(Name((reached,)), found))
        top = call.arguments[1]
        return f"by trial, the largest up to {top} with {node.case.text.rsplit(',', 1)[1].strip(' )')}", tuple(inputs)

    def _givens(self, node: ComputedNode) -> Iterator[Given]:
        bound = _bound(node.case.formula)
        for name in self._named(self._formula(node)):
            if str(name) == bound:
                continue
            found = self._graph.find(name, node.place)
            if found is not None:
                if isinstance(found.value, int | float) and not isinstance(found.value, bool):
                    yield self._given(name, found)
            elif node.place.block is not None:
                yield from self._taken(name, node.place)

    def _given(self, name: Name, found: ComputedNode) -> Given:
        words = self._words(found.row.words, found.place)
        if isinstance(found.row, LimitRow):
            words = f"{self._window(found.row.symbol)} at {'most' if found.row.side == '<=' else 'least'}, {words}"
        number = self._number_of(found)
        plain = self._graph.source(found) if found.case.source == DERIVED else found
        origin = HERE if number else self._cite(plain)
        if self._comes_before(found):
            number = self._line_before(found.value)
        return Given(words, str(name), _number(found.value), found.row.unit, origin, number)

    def _line_before(self, value: object) -> int:
        """Return the last line of the calculation before that gives a value, the very last where none does."""
        numbers = range(len(self._before), 0, -1)
        return next((number for number in numbers if self._before[number - 1].result == value), len(self._before))

    def _taken(self, name: Name, place: NodeScope) -> Iterator[Given]:
        """Yield what a block took that is no row of the sheet: the value that a search tried."""
        assert place.block is not None
        for (symbol, unit, words), value in zip(place.block.parameters, place.frame.taken, strict=True):
            if symbol == name.parts[0] and isinstance(value, int | float) and not isinstance(value, bool):
                yield Given(words, symbol, float(value), unit, "found by trial")

    def _cite(self, node: ComputedNode) -> str:
        formula, named = node.case.formula, self._checked.sheet.sources
        if not isinstance(formula, Name) or formula.index is None:
            return cite(node.case.source, self._records, formula if isinstance(formula, Name) else None, None, named)
        key = formula.index[1]
        found = self._graph.find(key, node.place) if isinstance(key, Name) else None
        return cite(node.case.source, self._records, formula, str(found.value) if found else "", named)

    def _comes_before(self, node: ComputedNode) -> bool:
        formula = node.case.formula
        return isinstance(formula, Name) and formula.parts[:2] == ("cut", "keeping") and isinstance(node.value, float)

    def _words(self, words: str, place: NodeScope) -> str:
        def put(symbol: str) -> str:
            found = self._graph.find(Name(tuple(symbol.split("."))), place)
            return str(found.value) if found else ""

        return PLACE.sub(lambda found: put(found[1]), words)

    def _window(self, symbol: str) -> str:
        windows = (entry for entry in self._checked.sheet.entries if isinstance(entry, WindowRow))
        return next((window.words for window in windows if window.symbol == symbol), symbol)


def _comes_in(formula: Formula, inputs: Mapping[str, type]) -> bool:
    """Return whether a value came in: a constant, a place in the records, or read from a table."""
    match formula:
        case Number() | Unary("-", Number()):
            return True
        case Name():
            return formula.parts[0] in inputs
        case Call():
            return formula.name in TABLES
        case _:
            return False


def _is_search(formula: Formula) -> bool:
    return isinstance(formula, Call) and formula.name == "largest"


def _bound(formula: Formula) -> str:
    return str(formula.arguments[0]) if isinstance(formula, Call) and formula.name == "largest" else ""


def _searched(formula: Formula) -> str:
    """Return the value of the block that a search watches."""
    return next(node.part for node in walk(formula) if isinstance(node, Call) and node.part)


def _number(value: object) -> float:
    return float(str(value)) if not isinstance(value, int | float) else value
