"""A checked worksheet as Python: records of its values and one function, or one that reports each value as it goes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitforge.cutting.worksheet.expression import Call, Name, Node, Number
from kitforge.cutting.worksheet.paths import PathTarget
from kitforge.cutting.worksheet.rows import Block, LimitRow, Row, ToldRow, WindowRow
from kitforge.cutting.worksheet.symbols import PLACE, TABLES, CheckedSheet, SymbolKind
from kitforge.cutting.worksheet.writer import CROSSING, Writer

PACKAGE = "kitforge.cutting.worksheet"
_FUTURE = "from __future__ import annotations\n"
_FOR_RECORDS = f"""\
from typing import NamedTuple

from {PACKAGE}.results import Bound, LimitRule, Told, Words
"""
_FOR_FUNCTION = f"""\
from math import acos, cos, floor, pi, radians, sin, sqrt, tan

from {PACKAGE}.functions import chart, fits, largest, least, most, named, nearest, step
from {PACKAGE}.results import Bound, Refusal, Told, Words, crossing, entry, figures, value_of, worded, worth
from {PACKAGE}.trace import Trace
from kitforge.model.messages import Quantity, msg, term
"""
_TYPES = {"number": "float", "yes": "bool", "text": "Words", "window": "float"}
_COLUMNS = {"chart": 2, "step": 2, "least": 1, "most": 1, "nearest": 1}


def write_module(checked: CheckedSheet) -> str:
    """Return a module with the records and both functions."""
    parts = (_FUTURE, _FOR_RECORDS, _FOR_FUNCTION, _input_imports(checked), write_records(checked))
    return "\n\n".join([*parts, write_function(checked), write_function(checked, traced=True)])


def write_modules(checked: CheckedSheet, name: str, note: str) -> dict[str, str]:
    """Return the records and the functions as modules of one package each, by their names."""
    head, package = f'"""{note}"""\n\n{_FUTURE}', f"{PACKAGE}.generated"
    records = [_class(block) for block in checked.blocks]
    rules = [f"R{c.number}" for e in checked.sheet.entries if isinstance(e, LimitRow) for c in e.cases]
    shared = f"from {package}.{name}_values import {', '.join(['HELPS', *rules, *records, 'Values'])}\n"
    imports = f"{_FOR_FUNCTION}{_input_imports(checked)}{shared}"
    return {
        f"{name}_values.py": f"{head}\n{_FOR_RECORDS}\n{write_records(checked)}",
        f"{name}_computed.py": f"{head}\n{imports}\n\n{write_function(checked)}",
        f"{name}_traced.py": f"{head}\n{imports}\n\n{write_function(checked, traced=True)}",
    }


def _input_imports(checked: CheckedSheet) -> str:
    return "".join(sorted(f"from {kind.__module__} import {kind.__name__}\n" for _name, kind in checked.inputs))


def write_records(checked: CheckedSheet) -> str:
    """Return the rules of the limits, what helps, and a record for the values of each block and of the sheet."""
    lines = [f"HELPS: dict[str, tuple[str, ...]] = {checked.sheet.helps!r}", ""]
    lines += [line for entry in checked.sheet.entries if isinstance(entry, LimitRow) for line in _rules(checked, entry)]
    for block in checked.blocks.values():
        lines += ["", "", f"class {_class(block.name)}(NamedTuple):", f'    """The {block.words}."""', ""]
        for symbol, unit, words in block.parameters:
            lines += _field(symbol, _type(checked.scopes[block.name].kinds[symbol]), words, unit)
        for row in block.rows:
            lines += _field(row.symbol, _type(checked.scopes[block.name].kinds[row.symbol]), row.words, row.unit)
    lines += ["", "", "class Values(NamedTuple):", '    """Every value of the sheet, in its order."""', ""]
    lines += [line for field in _fields(checked) for line in _field(*field[:4])]
    return "\n".join(lines) + "\n"


def write_function(checked: CheckedSheet, *, traced: bool = False) -> str:
    """Return the function that evaluates the sheet; traced: reports each value to `t` as it goes."""
    writer = _PythonWriter(checked, traced=traced)
    taken = ", ".join(f"{name}: {kind.__name__}" for name, kind in checked.inputs)
    head = f"def {f'traced(t: Trace, {taken})' if traced else f'computed({taken})'} -> Values | Refusal:"
    about = "Evaluate the sheet and report each value." if traced else "Evaluate the sheet."
    handed = ", ".join(code for _name, _type, _words, _unit, code in _fields(checked))
    return "\n".join([head, f'    """{about}"""', *writer.body(), f"    return Values({handed})"]) + "\n"


def _fields(checked: CheckedSheet) -> Iterator[tuple[str, str, str, str, str]]:
    """Yield name, type, words, unit and code of each value that the sheet hands on."""
    scope = checked.scopes[""]
    for entry in checked.sheet.entries:
        if isinstance(entry, Row):
            kind = scope.kinds[entry.symbol]
            yield entry.symbol, _type(kind), entry.words, entry.unit, f"v_{entry.symbol}"
        if isinstance(entry, WindowRow):
            low, high = checked.windows[entry.symbol]
            for name, always, letter in (("lower", low, "l"), ("upper", high, "h")):
                kind_of = "Bound" if always else "Bound | None"
                code = f"u_{entry.symbol}_{'low' if letter == 'l' else 'high'}"
                words = f"tightest {name} limit of the {entry.words}"
                yield f"{entry.symbol}_{name}", kind_of, words, entry.unit, code
                bounds = f"{letter}_{entry.symbol}"
                yield f"{entry.symbol}_{name}s", "list[Bound]", f"all {name} limits", entry.unit, bounds
    yield "notes", "list[Told]", "what is risky", "", "notes"


def _field(name: str, kind: str, words: str, unit: str) -> list[str]:
    shown = f" [{unit}]" if unit not in ("", "text", "yes") else ""
    return [f"    {name}: {kind}", f'    """{words}{shown}"""']


def _class(block: str) -> str:
    return "".join(part.capitalize() for part in block.split("_"))


def _type(kind: SymbolKind) -> str:
    name = _TYPES.get(kind.name) or _class(kind.name)
    return f"{name} | None" if kind.optional else name


def _rules(checked: CheckedSheet, row: LimitRow) -> Iterator[str]:
    for case in row.cases:
        source = checked.sheet.sources.get(case.source, case.source)
        formula = f"{row.symbol} {row.side} {case.text}"
        facts = f"{row.words!r}, {'hard' in row.marks}, {'load' in row.marks}, {formula!r}, {source!r}"
        yield f"R{case.number} = LimitRule({case.number}, {facts})"


class _PythonWriter(Writer):
    words = {"pi": "pi", "yes": "True", "no": "False", "none": "None"}  # noqa: RUF012 - never changed
    signs: dict[str, str] = {}  # noqa: RUF012 - never changed
    negation = "not "

    def comment(self, words: str) -> None:
        self.write("")
        self.write(f"# {words}")

    def declare(self, target: str, kind: SymbolKind) -> None:
        self.write(f"{target}: {_type(kind)}")

    def set(self, target: str, value: str, kind: SymbolKind, *, declared: bool) -> None:
        plain = declared or kind.name in ("yes", "text")
        self.write(f"{target} = {value}" if plain else f"{target}: {_type(kind)} = {value}")

    def temporary(self, target: str, value: str) -> None:
        self.write(f"{target} = {value}")

    def call(self, code: str) -> None:
        self.write(code)

    def branch(self, first: bool, when: str | None) -> None:
        self.write("else:" if when is None else f"{'if' if first else 'elif'} {when}:")

    def otherwise_none(self, target: str) -> None:
        self.write("else:")
        with self.deeper():
            self.write(f"{target} = None")

    def end_branches(self) -> None:
        return

    def declare_bounds(self, bounds: str) -> None:
        self.write(f"{bounds}: list[Bound] = []")

    def append(self, bounds: str, value: str, case: int) -> None:
        self.write(f"{bounds}.append(({value}, R{case}))")

    def tightest(self, symbol: str, side: str, *, always: bool) -> None:
        sides = {">=": ("l", "low", "max", "low_reason"), "<=": ("h", "high", "min", "reason")}
        letter, end, pick, reason = sides[side]
        bound = f"u_{symbol}_{end}"
        if always:
            self.write(f"{bound} = {pick}({letter}_{symbol}, key=value_of)")
            self.write(f"v_{symbol}_{end} = {bound}[0]")
            self.write(f"v_{symbol}_{reason} = {bound}[1].words")
            if end == "high":
                self.write(f"v_{symbol}_load = {bound}[1].load")
            return
        self.write(f"{bound} = {pick}({letter}_{symbol}, key=value_of, default=None)")
        self.write(f"v_{symbol}_{end} = None if {bound} is None else {bound}[0]")
        self.write(f"v_{symbol}_{reason} = None if {bound} is None else {bound}[1].words")
        if end == "high":
            self.write(f"v_{symbol}_load = None if {bound} is None else {bound}[1].load")

    def cross(self, row: WindowRow, *, check: bool) -> None:
        low, high = f"u_{row.symbol}_low", f"u_{row.symbol}_high"
        lower = f"k_{row.symbol}"
        checks = f"*l_{row.symbol}, *c_{row.symbol}" if check else f"*l_{row.symbol}"
        always = all(self.checked.windows[row.symbol])
        if check:
            default = "" if always else ", default=None"
            self.write(f"{lower} = max([{checks}], key=value_of{default})")
        else:
            self.write(f"{lower} = {low}")
        slack = f" * {1 + row.slack!r}" if row.slack else ""
        there = "" if always else f"{lower} is not None and {high} is not None and "
        self.write(f"if {there}{lower}[0] > {high}[0]{slack}:")
        with self.deeper():
            self._refuse(row.symbol, lower, high, CROSSING)

    def _refuse(self, symbol: str, low: str, high: str, gap: str) -> None:
        window = next(e for e in self.checked.sheet.entries if isinstance(e, WindowRow) and e.symbol == symbol)
        special = {
            "quantity": f"term({window.words!r})", "gap": f"term({gap!r})",
            "low": f"figures({low}[0], {window.unit!r})", "low_reason": f"term({low}[1].words)",
            "high": f"figures({high}[0], {window.unit!r})", "high_reason": f"term({high}[1].words)",
        }  # fmt: skip
        template = self.checked.sheet.crossing
        own = [name for name, _places in PLACE.findall(template) if name not in special]
        values = dict(self.placed(" ".join(f"{{{name}}}" for name in own))) | special
        listed = ", ".join(f"{name}={values[name]}" for name, _places in PLACE.findall(template))
        self.write(f"return crossing(msg({template!r}, {listed}), {low}, {high}, HELPS)")

    def begin_stops(self) -> None:
        self.write("stops = []" if self._stopped else "stops: list[Told] = []")
        self._stopped = True

    _stopped = False

    def end_stops(self) -> None:
        self.write("if stops:")
        with self.deeper():
            self.write("return Refusal(tuple(stops))")

    def begin_notes(self) -> None:
        self.write("notes: list[Told] = []")

    def tell(self, row: ToldRow) -> None:
        if row.kind == "crossed":
            self._refuse(row.subject, f"u_{row.subject}_low", f"u_{row.subject}_high", row.message)
            return
        told = f"Told({row.subject!r}, {self._message(row.message)}, {row.helps!r})"
        self.write(f"{row.kind}s.append({told})")

    def _message(self, template: str) -> str:
        values = "".join(f", {name}={code}" for name, code in self.placed(template))
        return f"msg({PLACE.sub(lambda place: '{' + place[1].replace('.', '_') + '}', template)!r}{values})"

    def begin_block(self, block: Block) -> None:
        scope = self.checked.scopes[block.name]
        taken = ", ".join(f"v_{symbol}: {_type(scope.kinds[symbol])}" for symbol, _unit, _words in block.parameters)
        self.write("")
        self.write(f"def b_{block.name}({taken}) -> {_class(block.name)}:")

    def end_block(self, block: Block) -> None:
        symbols = [symbol for symbol, _unit, _words in block.parameters] + [row.symbol for row in block.rows]
        handed = ", ".join(f"v_{symbol}" for symbol in symbols)
        self.write(f"return {_class(block.name)}({handed})")

    def number(self, text: str) -> str:
        return text if "." in text or "e" in text else f"{text}.0"

    def text(self, text: str) -> str:
        return self._message(text) if PLACE.search(text) else repr(text)

    def power(self, left: Node, right: Node) -> tuple[str, int]:
        return f"{self.expression(left, 9)} ** {self.expression(right, 7)}", 8

    def none_test(self, sign: str, code: str) -> str:
        return f"{code} is {'not ' if sign == '!=' else ''}None"

    def contained(self, code: str, items: Sequence[str]) -> str:
        return f"{code} in ({', '.join(items)},)"

    def search(self, bound: str, top: str, holds: str) -> str:
        return f"largest({top}, lambda {bound}: {holds})"

    def argument(self, call: Call, place: int, node: Node) -> str:
        if _COLUMNS.get(call.name) == place and isinstance(node, Number):
            return node.text
        return self.expression(node)

    def function(self, name: str, arguments: Sequence[str]) -> str:
        if name in ("sin", "cos", "tan"):
            return f"{name}(radians({arguments[0]}))"
        if name == "floor":
            return f"float(floor({arguments[0]}))"
        if name == "count":
            return f"len({arguments[0]})"
        if name == "has":
            return f"({arguments[1]} in {arguments[0]})"
        if name in TABLES:
            return f"{name}({', '.join(arguments)})"
        return f"{name}({', '.join(arguments)})"

    def part(self, code: str, part: str) -> str:
        return f"{code}.{part}"

    def path(self, name: Name, found: PathTarget, key: str | None) -> str:
        code, guards = name.parts[0], []
        for count, part in enumerate(name.parts[1:], 1):
            code = self._item(code, name, count, key)
            if count in found.parents:
                guards.append(f"{code} is not None")
            code = f"{code}.{part}"
        code = self._item(code, name, len(name.parts), key)
        if found.fact:
            code = f"worth({code})" if found.optional else f"{code}.value"
        return f"({code} if {' and '.join(guards)} else None)" if guards else code

    @staticmethod
    def _item(code: str, name: Name, count: int, key: str | None) -> str:
        return f"entry({code}, {key})" if name.index is not None and name.index[0] == count else code

    def quantity(self, code: str, unit: str, places: str) -> str:
        return f"Quantity({code}, {unit!r}, {places})" if places else f"figures({code}, {unit!r})"
