"""From a checked worksheet to a program: what the writers of all languages share, the order of things.

Symbols are prefixed, so that no word of a language is in the way: v_ a value, b_ a block, u_ the tightest limits.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager

from kitforge.cutting.worksheet.expression import (
    Binary,
    Call,
    Choice,
    Name,
    Node,
    Number,
    Text,
    Unary,
    Word,
    walk,
)
from kitforge.cutting.worksheet.paths import place
from kitforge.cutting.worksheet.rows import Block, Case, Entry, Heading, LimitRow, Row, ToldRow, WindowRow
from kitforge.cutting.worksheet.symbols import PLACE, CheckedSheet, Scope, SymbolKind
from kitforge.cutting.worksheet.target_language import TargetLanguage

_LEVELS = {"or": 1, "and": 2, "<": 4, "<=": 4, ">": 4, ">=": 4, "==": 4, "!=": 4, "+": 5, "-": 5, "*": 6, "/": 6}
_NOT, _COMPARED, _SIGN, _ATOM = 3, 4, 7, 9
CROSSING = "no value satisfies both"


class Writer(TargetLanguage):
    """Writes the program of a worksheet. traced: a program that reports each value as it goes."""

    def __init__(self, checked: CheckedSheet, *, traced: bool = False) -> None:
        self.checked, self.traced = checked, traced
        self._lines: list[str] = []
        self._depth = 1
        self._scope: Scope = checked.scopes[""]
        self._bound: str | None = None
        self._open_stops = self._noted = False
        self._begun: set[tuple[str, str, bool]] = set()
        self._last = _last_limits(checked)

    def body(self) -> list[str]:
        """Return the lines of the program from the first row to the last."""
        for entry in self.checked.sheet.entries:
            if self._open_stops and not _goes_on(entry):
                self.end_stops()
                self._open_stops = False
            match entry:
                case Row():
                    self._row(entry)
                case LimitRow():
                    self._limit(entry)
                case WindowRow():
                    self._cross(entry)
                case ToldRow():
                    self._told(entry)
                case Block():
                    self._block(entry)
                case Heading():
                    self.comment(entry.words)
        return self._lines

    def write(self, line: str) -> None:
        """Add a line at the present depth."""
        self._lines.append(f"{self.indent * self._depth}{line}" if line else "")

    @contextmanager
    def deeper(self) -> Iterator[None]:
        """Indent what is written within."""
        self._depth += 1
        yield
        self._depth -= 1

    # -- rows

    def _row(self, row: Row) -> None:
        kind = self._scope.kinds[row.symbol]
        if kind.name == "window":  # the window came first, its value is another row
            kind = SymbolKind("number")
        target = f"v_{row.symbol}"
        if len(row.cases) == 1 and row.cases[0].when is None:
            self._assign(row.cases[0], target, kind, declared=False)
            return
        self.declare(target, kind)
        self._branches(row.cases, lambda case: self._assign(case, target, kind, declared=True))
        if kind.optional and all(case.when is not None for case in row.cases):
            self.otherwise_none(target)
        self.end_branches()

    def _branches(self, cases: Sequence[Case], write: Callable[[Case], None]) -> None:
        for index, case in enumerate(cases):
            self.branch(index == 0, None if case.when is None else self.expression(case.when))
            with self.deeper():
                write(case)

    def _assign(self, case: Case, target: str, kind: SymbolKind, *, declared: bool) -> None:
        value = self._evaluated(case)
        self.set(target, value, kind, declared=declared)
        if self.traced:
            self.call(f"t.put({case.number}, {target})")

    def _evaluated(self, case: Case) -> str:
        """Return the code of a case's value; a traced one goes into its block first."""
        value = self.expression(case.formula)
        call = next((n for n in walk(case.formula) if isinstance(n, Call) and n.name in self.checked.blocks), None)
        if not self.traced or call is None:
            return value
        temporary = f"x_{case.number}"
        if isinstance(case.formula, Call) and case.formula.name == "largest":
            self.call("t.pause()")
            self.temporary(temporary, value)
            self.call("t.resume()")
            bound = case.formula.arguments[0]
            self._bound, code = (bound.parts[0] if isinstance(bound, Name) else None), temporary
            arguments = ", ".join(code if one == bound else self.expression(one) for one in call.arguments)
            self._bound = None
            self.call(f"t.enter({case.number}, {arguments})")
            self.call(f"b_{call.name}({arguments})")
        else:
            arguments = ", ".join(self.expression(one) for one in call.arguments)
            self.call(f"t.enter({case.number}, {arguments})")
            self.temporary(temporary, value)
        self.call("t.leave()")
        return temporary

    def _limit(self, row: LimitRow) -> None:
        bounds = _list_name(row)
        if (row.symbol, row.side, "check" in row.marks) not in self._begun:
            self._begun.add((row.symbol, row.side, "check" in row.marks))
            self.declare_bounds(bounds)

        def add(case: Case) -> None:
            value = self._evaluated(case)
            if self.traced:
                self.temporary(f"y_{case.number}", value)
                value = f"y_{case.number}"
                self.call(f"t.put({case.number}, {value})")
            self.append(bounds, value, case.number)

        if len(row.cases) == 1 and row.cases[0].when is None:
            add(row.cases[0])
        else:
            self._branches(row.cases, add)
            self.end_branches()
        if self._last[row.symbol, row.side] is row:
            self._close(row.symbol, row.side)

    def _close(self, symbol: str, side: str) -> None:
        low, high = self.checked.windows[symbol]
        always = low if side == ">=" else high
        self.tightest(symbol, side, always=always)

    def _cross(self, row: WindowRow) -> None:
        checked = (row.symbol, ">=", True) in self._begun
        self.cross(row, check=checked)

    def _told(self, row: ToldRow) -> None:
        if row.kind == "stop" and not self._open_stops:
            self._open_stops = True
            self.begin_stops()
        if row.kind == "note" and not self._noted:
            self._noted = True
            self.begin_notes()
        self.branch(True, self.expression(row.when))
        with self.deeper():
            self.tell(row)
        self.end_branches()

    def _block(self, block: Block) -> None:
        self._scope = self.checked.scopes[block.name]
        self.begin_block(block)
        self._depth += 1
        for row in block.rows:
            self._row(row)
        self.end_block(block)
        self._depth -= 1
        self._scope = self.checked.scopes[""]

    # -- formulas

    def expression(self, node: Node, level: int = 0) -> str:
        """Return the code of a formula, in brackets where what stands around it binds closer than `level` allows."""
        code, own = self._code(node)
        return f"({code})" if own < level else code

    def _code(self, node: Node) -> tuple[str, int]:
        match node:
            case Number(text):
                return self.number(text), _ATOM
            case Text(text):
                return self.text(text), _ATOM
            case Word(word):
                return self.words[word], _ATOM
            case Name():
                return self.name(node), _ATOM
            case Unary("not", operand):
                return f"{self.negation}{self.expression(operand, _ATOM if self.negation == '!' else _NOT)}", _NOT
            case Unary(_, operand):
                return f"-{self.expression(operand, _SIGN)}", _SIGN
            case Binary():
                return self._binary(node)
            case Call():
                return self._called(node), _ATOM
            case Choice():
                raise ValueError("a choice stands only right of 'in'")

    def _binary(self, node: Binary) -> tuple[str, int]:
        match node:
            case Binary("^", left, right):
                return self.power(left, right)
            case Binary("!=" | "==" as sign, left, Word("none")):
                return self.none_test(sign, self.expression(left, _COMPARED + 1)), _COMPARED
            case Binary("in", left, Choice(items)):
                choice = [self.expression(item) for item in items]
                return self.contained(self.expression(left, _COMPARED + 1), choice), _COMPARED
            case Binary(sign, left, right):
                own = _LEVELS[sign]
                code = f"{self.expression(left, own)} {self.signs.get(sign, sign)} {self.expression(right, own + 1)}"
                return code, own

    def _called(self, node: Call) -> str:
        if node.name == "largest":
            bound, top, holds = node.arguments
            self._bound = bound.parts[0] if isinstance(bound, Name) else None
            code = self.search(f"w_{self._bound}", self.expression(top), self.expression(holds))
            self._bound = None
            return code
        arguments = [self.argument(node, place, one) for place, one in enumerate(node.arguments)]
        if node.name in self.checked.blocks:
            code = f"b_{node.name}({', '.join(arguments)})"
            return self.part(code, node.part) if node.part else code
        return self.function(node.name, arguments)

    @property
    def _inputs(self) -> dict[str, type]:
        return dict(self.checked.inputs)

    def name(self, name: Name) -> str:
        """Return the code of a symbol, a part of one, or a place in the records."""
        first, *rest = name.parts
        if first in self._inputs:
            key = None if name.index is None else self.expression(name.index[1])
            return self.path(name, place(name, self.checked.inputs), key)
        if first == self._bound:
            return f"w_{first}"
        if rest and first in self.checked.windows:
            return f"v_{first}_{rest[0]}"
        code = f"v_{first}"
        for part in rest:
            code = self.part(code, part)
        return code

    def placed(self, template: str) -> list[tuple[str, str]]:
        """Return the {symbols} of a message with the code of their values, each once."""
        found = {}
        for symbol, places in PLACE.findall(template):
            name = Name(tuple(symbol.split(".")))
            kind, unit = self._kind_and_unit(name)
            code = self.name(name)
            if kind == "number":
                code = self.quantity(code, unit, places)
            elif kind == "text":
                code = f"worded({code})"
            found[symbol.replace(".", "_")] = code
        return list(found.items())

    def _kind_and_unit(self, name: Name) -> tuple[str, str]:
        kind = self._scope.find(name.parts[0])
        if len(name.parts) == 1 or kind is None:
            return (kind.name if kind else "number"), self._scope.unit(name.parts[0])
        inner = self.checked.scopes[kind.name]
        return inner.kinds[name.parts[1]].name, inner.units[name.parts[1]]


def _goes_on(entry: Entry) -> bool:
    """Return whether an entry belongs to the reasons against any settings before it: all are told together."""
    return isinstance(entry, Heading) or (isinstance(entry, ToldRow) and entry.kind == "stop")


def _last_limits(checked: CheckedSheet) -> dict[tuple[str, str], LimitRow]:
    limits = [entry for entry in checked.sheet.entries if isinstance(entry, LimitRow)]
    return {(row.symbol, row.side): row for row in limits if "check" not in row.marks}


def _list_name(row: LimitRow) -> str:
    if "check" in row.marks:
        return f"c_{row.symbol}"
    return f"{'l' if row.side == '>=' else 'h'}_{row.symbol}"
