"""A checked worksheet as a script for pages: one function, or one that reports each value as it goes.

What goes in has the shape of the Python records as plain objects, a figure of the tables being its number and what may
be missing being null. The result holds every value by its symbol, the limits and the notes, or what is refused.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from importlib.resources import files

from kitforge.cutting.worksheet.expression import Call, Name, Node
from kitforge.cutting.worksheet.paths import PathTarget
from kitforge.cutting.worksheet.rows import Block, LimitRow, Row, ToldRow, WindowRow
from kitforge.cutting.worksheet.symbols import PLACE, CheckedSheet, SymbolKind
from kitforge.cutting.worksheet.writer import CROSSING, Writer


def write_script(checked: CheckedSheet, name: str = "worksheet", *, traced: bool = False) -> str:
    """Return a classic script that sets the constant `name` to the function of the sheet."""
    writer = _ScriptWriter(checked, traced=traced)
    taken = ", ".join([*(["t"] if traced else []), *(name for name, _kind in checked.inputs)])
    functions = files("kitforge.cutting.worksheet").joinpath("functions.js").read_text(encoding="utf-8")
    limits = [entry for entry in checked.sheet.entries if isinstance(entry, LimitRow)]
    lines = [
        "// Generated from the worksheet of the physics of the cut; do not edit.",
        f"const {name} = (() => {{", '  "use strict";',
        *(f"  {line}" for line in functions.splitlines() if not line.startswith("//")),
        f"  const HELPS = {_plain(checked.sheet.helps)};",
        *(f"  {line}" for entry in limits for line in _rules(checked, entry)),
        f"  return ({taken}) => {{", *writer.body(), *_handed(checked), "  };", "})();",
    ]  # fmt: skip
    return "\n".join(lines) + "\n"


def _plain(value: object) -> str:
    return json.dumps(value, ensure_ascii=False)


def _rules(checked: CheckedSheet, row: LimitRow) -> Iterator[str]:
    for case in row.cases:
        rule = {
            "case": case.number, "words": row.words, "hard": "hard" in row.marks, "load": "load" in row.marks,
            "formula": f"{row.symbol} {row.side} {case.text}",
            "source": checked.sheet.sources.get(case.source, case.source),
        }  # fmt: skip
        yield f"const R{case.number} = {_plain(rule)};"


def _handed(checked: CheckedSheet) -> Iterator[str]:
    names = []
    for entry in checked.sheet.entries:
        if isinstance(entry, Row):
            names.append(f"{entry.symbol}: v_{entry.symbol}")
        if isinstance(entry, WindowRow):
            for name, letter, end in (("lower", "l", "low"), ("upper", "h", "high")):
                names.append(f"{entry.symbol}_{name}: u_{entry.symbol}_{end}")
                names.append(f"{entry.symbol}_{name}s: {letter}_{entry.symbol}")
    yield f"    return {{{', '.join([*names, 'notes'])}}};"


class _ScriptWriter(Writer):
    words = {"pi": "Math.PI", "yes": "true", "no": "false", "none": "null"}  # noqa: RUF012 - never changed
    signs = {"and": "&&", "or": "||", "==": "===", "!=": "!=="}  # noqa: RUF012 - never changed
    negation = "!"
    indent = "  "

    def __init__(self, checked: CheckedSheet, *, traced: bool = False) -> None:
        super().__init__(checked, traced=traced)
        self._depth = 2

    def comment(self, words: str) -> None:
        self.write(f"// {words}")

    def declare(self, target: str, kind: SymbolKind) -> None:  # noqa: ARG002 - a script has no types
        self.write(f"let {target};")

    def set(self, target: str, value: str, kind: SymbolKind, *, declared: bool) -> None:
        self.write(f"{'' if declared else 'const '}{target} = {self._finite(value, kind)};")

    @staticmethod
    def _finite(value: str, kind: SymbolKind) -> str:
        """Only a division, a root, a power or an angle can give what is no number."""
        risky = any(sign in value for sign in (" / ", "Math.sqrt", "Math.pow", "Math.tan", "Math.acos"))
        return f"finite({value})" if kind.name == "number" and risky else value

    def temporary(self, target: str, value: str) -> None:
        self.write(f"const {target} = {value};")

    def call(self, code: str) -> None:
        self.write(f"{code};")

    def branch(self, first: bool, when: str | None) -> None:
        if when is None:
            self.write("} else {")
        else:
            self.write(f"{'' if first else '} else '}if ({when}) {{")

    def otherwise_none(self, target: str) -> None:
        self.write("} else {")
        with self.deeper():
            self.write(f"{target} = null;")

    def end_branches(self) -> None:
        self.write("}")

    def declare_bounds(self, bounds: str) -> None:
        self.write(f"const {bounds} = [];")

    def append(self, bounds: str, value: str, case: int) -> None:
        self.write(f"{bounds}.push([finite({value}), R{case}]);")

    def tightest(self, symbol: str, side: str, *, always: bool) -> None:  # noqa: ARG002 - a script has no types
        sides = {">=": ("l", "low", 1, "low_reason"), "<=": ("h", "high", -1, "reason")}
        letter, end, sign, reason = sides[side]
        bound = f"u_{symbol}_{end}"
        self.write(f"const {bound} = tightest({letter}_{symbol}, {sign});")
        self.write(f"const v_{symbol}_{end} = {bound} === null ? null : {bound}[0];")
        self.write(f"const v_{symbol}_{reason} = {bound} === null ? null : {bound}[1].words;")
        if end == "high":
            self.write(f"const v_{symbol}_load = {bound} === null ? null : {bound}[1].load;")

    def cross(self, row: WindowRow, *, check: bool) -> None:
        low, high = f"k_{row.symbol}", f"u_{row.symbol}_high"
        bounds = f"[...l_{row.symbol}, ...c_{row.symbol}]" if check else f"l_{row.symbol}"
        self.write(f"const {low} = tightest({bounds}, 1);")
        slack = f" * {1 + row.slack!r}" if row.slack else ""
        self.write(f"if ({low} !== null && {high} !== null && {low}[0] > {high}[0]{slack}) {{")
        with self.deeper():
            self._refuse(row.symbol, low, high, CROSSING)
        self.write("}")

    def _refuse(self, symbol: str, low: str, high: str, gap: str) -> None:
        window = next(e for e in self.checked.sheet.entries if isinstance(e, WindowRow) and e.symbol == symbol)
        unit = _plain(window.unit)
        special = {
            "quantity": f"msg({_plain(window.words)})", "gap": f"msg({_plain(gap)})",
            "low": f"figures({low}[0], {unit})", "low_reason": f"msg({low}[1].words)",
            "high": f"figures({high}[0], {unit})", "high_reason": f"msg({high}[1].words)",
        }  # fmt: skip
        template = self.checked.sheet.crossing
        own = [name for name, _places in PLACE.findall(template) if name not in special]
        values = dict(self.placed(" ".join(f"{{{name}}}" for name in own))) | special
        listed = ", ".join(f'["{name}", {values[name]}]' for name, _places in PLACE.findall(template))
        self.write(f"return crossing(msg({_plain(template)}, [{listed}]), {low}, {high});")

    def begin_stops(self) -> None:
        self.write("let stops = [];" if not self._stopped else "stops = [];")
        self._stopped = True

    _stopped = False

    def end_stops(self) -> None:
        self.write("if (stops.length) return {refused: stops};")

    def begin_notes(self) -> None:
        self.write("const notes = [];")

    def tell(self, row: ToldRow) -> None:
        if row.kind == "crossed":
            self._refuse(row.subject, f"u_{row.subject}_low", f"u_{row.subject}_high", row.message)
            return
        told = f"key: {_plain(row.subject)}, message: {self._message(row.message)}, helps: {_plain(row.helps)}"
        self.write(f"{row.kind}s.push({{{told}, low: null, high: null}});")

    def _message(self, template: str) -> str:
        values = ", ".join(f'["{name}", {code}]' for name, code in self.placed(template))
        plain = PLACE.sub(lambda place: "{" + place[1].replace(".", "_") + "}", template)
        return f"msg({_plain(plain)}, [{values}])" if values else f"msg({_plain(plain)})"

    def begin_block(self, block: Block) -> None:
        taken = ", ".join(f"v_{symbol}" for symbol, _unit, _words in block.parameters)
        self.write(f"const b_{block.name} = ({taken}) => {{")

    def end_block(self, block: Block) -> None:
        symbols = [symbol for symbol, _unit, _words in block.parameters] + [row.symbol for row in block.rows]
        self.write(f"return {{{', '.join(f'{symbol}: v_{symbol}' for symbol in symbols)}}};")
        self._depth -= 1
        self.write("};")
        self._depth += 1

    def number(self, text: str) -> str:
        return text

    def text(self, text: str) -> str:
        return self._message(text) if PLACE.search(text) else _plain(text)

    def power(self, left: Node, right: Node) -> tuple[str, int]:
        return f"Math.pow({self.expression(left)}, {self.expression(right)})", 9

    def none_test(self, sign: str, code: str) -> str:
        return f"{code} {'!==' if sign == '!=' else '==='} null"

    def contained(self, code: str, items: Sequence[str]) -> str:
        return f"[{', '.join(items)}].includes({code})"

    def search(self, bound: str, top: str, holds: str) -> str:
        return f"largest({top}, ({bound}) => {holds})"

    def argument(self, call: Call, place: int, node: Node) -> str:  # noqa: ARG002 - nothing is special
        return self.expression(node)

    def function(self, name: str, arguments: Sequence[str]) -> str:
        if name in ("sin", "cos", "tan"):
            return f"Math.{name}(degrees({arguments[0]}))"
        if name in ("min", "max", "sqrt", "acos", "floor"):
            return f"Math.{name}({', '.join(arguments)})"
        if name == "count":
            return f"{arguments[0]}.length"
        return f"{name}({', '.join(arguments)})"

    def part(self, code: str, part: str) -> str:
        return f"{code}.{part}"

    def path(self, name: Name, found: PathTarget, key: str | None) -> str:
        code, guards = name.parts[0], []
        for count, part in enumerate(name.parts[1:], 1):
            code = self._item(code, name, count, key)
            if count in found.parents:
                guards.append(f"{code} !== null")
            code = f"{code}.{part}"
        code = self._item(code, name, len(name.parts), key)
        return f"({' && '.join(guards)} ? {code} : null)" if guards else code

    @staticmethod
    def _item(code: str, name: Name, count: int, key: str | None) -> str:
        return f"{code}[{key}]" if name.index is not None and name.index[0] == count else code

    def quantity(self, code: str, unit: str, places: str) -> str:
        return f"quantity({code}, {_plain(unit)}, {places})" if places else f"figures({code}, {_plain(unit)})"
