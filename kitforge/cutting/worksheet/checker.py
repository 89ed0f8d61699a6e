"""What a worksheet must keep beyond its writing: known names, in order; kinds that fit; nothing reckoned with none.

Everything wrong is told at once with file, line and row. Units are proven in the tests.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

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
    conjuncts,
    disjuncts,
    walk,
)
from kitforge.cutting.worksheet.paths import PathError, place
from kitforge.cutting.worksheet.rows import At, Block, Case, LimitRow, Row, SheetError, ToldRow, WindowRow, Worksheet
from kitforge.cutting.worksheet.symbols import (
    NUMBERS,
    PLACE,
    PLAIN,
    TABLES,
    WINDOW_PARTS,
    CheckedSheet,
    Inputs,
    Scope,
    SymbolKind,
)

CASES = 4
"""A row with more cases than this is hard to review: name a condition, or split it."""

_RESULTS = {"named": "text", "has": "yes", "fits": "yes"}
_MAY_FAIL = ("named", "nearest")


_WORDS = {
    "pi": SymbolKind("number"),
    "yes": SymbolKind("yes"),
    "no": SymbolKind("yes"),
    "none": SymbolKind("none", optional=True),
}


def check_sheet(sheet: Worksheet, inputs: Inputs) -> CheckedSheet:
    """Return the worksheet with what its symbols hold. Raises SheetError with everything that is wrong."""
    checker = _Checker(sheet, inputs)
    checker.run()
    if checker.problems:
        raise SheetError(checker.problems)
    return checker.checked


class _Checker:
    def __init__(self, sheet: Worksheet, inputs: Inputs) -> None:
        self.problems: list[tuple[At, str]] = []
        self.checked = CheckedSheet(sheet, inputs, {"": Scope()}, {}, {})
        self._inputs = dict(inputs)
        self._scope = self.checked.scopes[""]
        self._known: frozenset[str] = frozenset()
        self._at = At("", 0)
        self._closed: set[tuple[str, str]] = set()

    def run(self) -> None:
        for entry in self.checked.sheet.entries:
            self._at = entry.at
            match entry:
                case Row():
                    self._row(entry)
                case LimitRow():
                    self._limit(entry)
                case WindowRow():
                    self._window(entry)
                case ToldRow():
                    self._told(entry)
                case Block():
                    self._block(entry)
        for symbol in self.checked.sheet.shows:
            self._kind(Name(tuple(symbol.split("."))))

    def _wrong(self, what: str) -> None:
        self.problems.append((self._at, what))

    def _define(self, symbol: str, kind: SymbolKind, unit: str) -> None:
        known = self._scope.kinds.get(symbol)
        if symbol in self._inputs or (known is not None and known.name != "window"):
            self._wrong(f"'{symbol}' stands here already")
        self._scope.kinds[symbol] = kind
        self._scope.units[symbol] = unit

    def _row(self, row: Row) -> None:
        kind = self._cases(row, row.unit if row.unit in PLAIN or row.unit in self.checked.blocks else "number")
        self._define(row.symbol, kind, row.unit)

    def _limit(self, row: LimitRow) -> None:
        kind = self._cases(row, "number")
        symbol, part = row.symbol, 0 if row.side == ">=" else 1
        if (symbol, row.side) in self._closed and "check" not in row.marks:
            self._wrong(f"the tightest of '{symbol} {row.side}' was used above already")
        if self._scope.find(symbol) is None:
            self.checked.windows[symbol] = (False, False)
            self._scope.kinds[symbol], self._scope.units[symbol] = SymbolKind("window"), row.unit
        if self._scope.kinds[symbol].name != "window":
            self._wrong(f"'{symbol}' has its value already, a limit comes too late")
            return
        if self._scope.units[symbol] != row.unit:
            self._wrong(f"limits of '{symbol}' are in {self._scope.units[symbol]}")
        if not kind.optional and "check" not in row.marks:
            ends = list(self.checked.windows[symbol])
            ends[part] = True
            self.checked.windows[symbol] = (ends[0], ends[1])

    def _window(self, row: WindowRow) -> None:
        if row.symbol not in self.checked.windows:
            self._wrong(f"'{row.symbol}' has no limits")

    def _block(self, block: Block) -> None:
        self._scope = Scope(outside=self.checked.scopes[""])
        self.checked.scopes[block.name] = self._scope
        for symbol, unit, _words in block.parameters:
            special = unit in PLAIN or unit in self.checked.blocks
            self._define(symbol, SymbolKind(unit if special else "number"), unit)
        for row in block.rows:
            self._at = row.at
            self._row(row)
        self._scope = self.checked.scopes[""]
        self.checked.blocks[block.name] = block

    def _told(self, row: ToldRow) -> None:
        self._known = frozenset()
        self._expect(row.when, "yes")
        self._known = frozenset(_given(row.when))
        self._places(row.message)
        if row.kind == "crossed" and row.subject not in self.checked.windows:
            self._wrong(f"'{row.subject}' has no limits that could cross")

    def _cases(self, row: Row | LimitRow, wanted: str) -> SymbolKind:
        """Return the kind of a row; none where no case need hold."""
        self._places(row.words, printed=True)
        if len(row.cases) > CASES:
            self._wrong(f"'{row.symbol}' has {len(row.cases)} cases; name a condition or split the row, up to {CASES}")
        optional, open_end, absent = False, True, set[str]()
        for case in row.cases:
            self._at = case.at
            if not open_end:
                self._wrong(f"a case of '{row.symbol}' above holds always, this one never")
            self._known = frozenset(absent)
            if case.when is not None:
                self._expect(case.when, "yes")
                self._known = frozenset({*absent, *_given(case.when)})
            optional |= self._case(row, case, wanted)
            absent |= set(_given_otherwise(case.when)) if case.when is not None else set()
            open_end = case.when is not None
        self._at = row.at
        return SymbolKind(wanted, optional or open_end)

    def _case(self, row: Row | LimitRow, case: Case, wanted: str) -> bool:
        if wanted == "number" and not case.source:
            self._wrong(f"a case of '{row.symbol}' has no source: -- SOURCE")
        self._alone(case.formula, wanted)
        calls = [one for one in walk(case.formula) if isinstance(one, Call) and one.name in self.checked.blocks]
        if len(calls) > 1:
            self._wrong(f"'{case.text}' uses two blocks; give each a row")
        kind = self._kind(case.formula)
        if kind.name not in (wanted, "none"):
            self._wrong(f"'{case.text}' is {kind.name}, '{row.symbol}' is {wanted}")
        return kind.optional

    def _alone(self, formula: Node, wanted: str) -> None:
        """A figure that comes in has a row of its own, so that it is printed with its words, unit and source."""
        if wanted != "number" or isinstance(formula, Name):
            return
        if isinstance(formula, Call) and formula.name in TABLES:
            return
        for node in walk(formula):
            if isinstance(node, Name) and node.parts[0] in self._inputs:
                self._wrong(f"give '{node}' a row of its own")
            if isinstance(node, Call) and node.name in TABLES:
                self._wrong(f"give '{node.name}(...)' a row of its own")

    def _places(self, text: str, *, printed: bool = False) -> None:
        """Tell of a {symbol} that is not known; the words of a row are printed only where its value is there."""
        for symbol, _places in PLACE.findall(text):
            kind = self._kind(Name(tuple(symbol.split("."))))
            if kind.name not in ("number", "text"):
                self._wrong(f"'{{{symbol}}}' is no number or text")
            elif kind.optional and not printed:
                self._wrong(f"'{symbol}' may be none where '{text[:30]}...' is told; add 'when {symbol} != none'")

    def _expect(self, node: Node, wanted: str) -> None:
        """Tell of a value of another kind than wanted, or one that may be none where it is reckoned with."""
        kind = self._kind(node)
        if kind.name != wanted:
            self._wrong(f"{_text(node)} is {kind.name}, not {wanted}")
        elif kind.optional:
            self._wrong(f"{_text(node)} may be none here; write 'when {_text(node)} != none'")

    def _kind(self, node: Node) -> SymbolKind:
        match node:
            case Number():
                return SymbolKind("number")
            case Text(text):
                self._places(text)
                return SymbolKind("text")
            case Word(word):
                return _WORDS[word]
            case Name():
                kind = self._name(node)
                return replace(kind, optional=False) if str(node) in self._known else kind
            case Unary(sign, operand):
                self._expect(operand, "yes" if sign == "not" else "number")
                return SymbolKind("yes" if sign == "not" else "number")
            case Binary():
                return self._binary(node)
            case Call():
                return self._call(node)
            case Choice():
                return SymbolKind("none")

    def _name(self, name: Name) -> SymbolKind:
        first, *rest = name.parts
        if first in self._inputs:
            return self._path(name)
        known = self._scope.find(first)
        if known is None:
            self._wrong(f"'{first}' is not known here")
            return SymbolKind("number")
        if first in self.checked.windows and rest and rest[0] in WINDOW_PARTS:
            low, high = self.checked.windows[first]
            self._closed.add((first, ">=" if rest[0].startswith("low") else "<="))
            return SymbolKind(WINDOW_PARTS[rest[0]], not (low if rest[0].startswith("low") else high))
        for part in rest:
            inner = self.checked.scopes.get(known.name)
            if inner is None or part not in inner.kinds:
                self._wrong(f"'{first}' has no '{part}'")
                return SymbolKind("number")
            known = SymbolKind(inner.kinds[part].name, known.optional and first not in self._known)
        if known.name == "window":
            self._wrong(f"'{first}' has no value yet, only limits")
            return SymbolKind("number")
        return known

    def _path(self, name: Name) -> SymbolKind:
        if name.index is not None and isinstance(name.index[1], Name):
            self._expect(name.index[1], "text")
        try:
            found = place(name, self.checked.inputs)
        except PathError as error:
            self._wrong(f"'{name}': {error}")
            return SymbolKind("number")
        return SymbolKind(found.kind, found.optional)

    def _binary(self, node: Binary) -> SymbolKind:
        if node.sign in ("and", "or"):
            before = self._known
            self._expect(node.left, "yes")
            given = _given(node.left) if node.sign == "and" else _given_otherwise(node.left)
            self._known = before | frozenset(given)
            self._expect(node.right, "yes")
            self._known = before
            return SymbolKind("yes")
        if node.sign in ("==", "!=", "in"):
            self._compare(node)
            return SymbolKind("yes")
        self._expect(node.left, "number")
        self._expect(node.right, "number")
        return SymbolKind("yes" if node.sign in ("<", "<=", ">", ">=") else "number")

    def _compare(self, node: Binary) -> None:
        left = self._kind(node.left)
        if node.right == Word("none"):
            if not left.optional:
                self._wrong(f"{_text(node.left)} is never none here")
            return
        items = node.right.items if isinstance(node.right, Choice) else (node.right,)
        for item in items:
            right = self._kind(item)
            if left.name != right.name:
                self._wrong(f"{_text(node.left)} is {left.name}, {_text(item)} is {right.name}")

    def _call(self, call: Call) -> SymbolKind:
        if call.name == "largest":
            return self._largest(call)
        if call.name in self.checked.blocks:
            return self._block_call(call)
        if call.part is not None or call.name not in (*NUMBERS, *TABLES):
            self._wrong(f"'{call.name}' is no function")
            return SymbolKind("number")
        if call.name in NUMBERS:
            wanted: Sequence[str] = ("number",) * (NUMBERS[call.name] or len(call.arguments))
        else:
            wanted = TABLES[call.name]
        self._arguments(call, wanted)
        return SymbolKind(_RESULTS.get(call.name, "number"), call.name in _MAY_FAIL)

    def _arguments(self, call: Call, wanted: Sequence[str]) -> None:
        if len(wanted) != len(call.arguments) or not wanted:
            self._wrong(f"'{call.name}' takes {len(wanted)} values, not {len(call.arguments)}")
            return
        for argument, kind in zip(call.arguments, wanted, strict=True):
            self._expect(argument, kind)

    def _block_call(self, call: Call) -> SymbolKind:
        inner, block = self.checked.scopes[call.name], self.checked.blocks[call.name]
        self._arguments(call, [inner.kinds[symbol].name for symbol, _unit, _words in block.parameters])
        if call.part is None:
            return SymbolKind(call.name)
        if call.part not in inner.kinds:
            self._wrong(f"'{call.name}' has no '{call.part}'")
            return SymbolKind("number")
        return inner.kinds[call.part]

    def _largest(self, call: Call) -> SymbolKind:
        if len(call.arguments) != 3 or not isinstance(call.arguments[0], Name):
            self._wrong("'largest' takes a symbol, its highest value and a condition")
            return SymbolKind("number")
        bound, top, holds = call.arguments[0], call.arguments[1], call.arguments[2]
        self._expect(top, "number")
        self._scope = Scope({bound.parts[0]: SymbolKind("number")}, {bound.parts[0]: ""}, self._scope)
        self._expect(holds, "yes")
        self._scope = self._scope.outside or self._scope
        return SymbolKind("number")


def _given(when: Node) -> Iterator[str]:
    """Yield the names that are not none where a condition holds."""
    for part in conjuncts(when):
        match part:
            case Binary("!=", Name() as name, Word("none")):
                yield str(name)
            case _:
                pass


def _given_otherwise(when: Node) -> Iterator[str]:
    """Yield the names that are not none where a condition fails."""
    for part in disjuncts(when):
        match part:
            case Binary("==", Name() as name, Word("none")):
                yield str(name)
            case _:
                pass


def _text(node: Node) -> str:
    match node:
        case Name():
            return f"'{node}'"
        case Number(text) | Text(text) | Word(text):
            return f"'{text}'"
        case Call(name, _, _):
            return f"'{name}(...)'"
        case _:
            return "a formula"
