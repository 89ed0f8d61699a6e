"""Safe expressions: numbers, lengths with units, parameter names, + - * /, parentheses and a few functions.

Nothing is ever run: the text is cut into known tokens first, so that only those reach Python's parser, and the tree is
worked out by hand. Every value carries its dimension as a power of length. A bare number added to a length counts in
the kit's unit; a length times a length is an area, which only `sqrt` or a division turns back into a length; a length
divided by a length is a ratio, which is refused where a length is wanted until it is multiplied by one.
`round`, `floor` and `ceil` of a length work in the kit's unit, `sin`, `cos` and `tan` take degrees.
"""

from __future__ import annotations

import ast
import difflib
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from kitforge.definition.quantity import DimensionedValue
from kitforge.model.errors import RefusedValueError
from kitforge.model.messages import Message, msg, series
from kitforge.model.units import MM_PER_UNIT, parse_length

LONGEST_TEXT: Final = 500
MOST_TOKENS: Final = 200
DEEPEST: Final = 40

FUNCTIONS: Final[Mapping[str, tuple[int, int]]] = {
    "min": (1, 20),
    "max": (1, 20),
    "abs": (1, 1),
    "round": (1, 1),
    "floor": (1, 1),
    "ceil": (1, 1),
    "sqrt": (1, 1),
    "sin": (1, 1),
    "cos": (1, 1),
    "tan": (1, 1),
}
"""The functions that may be called, each with the least and the greatest number of values it takes."""

RESERVED: Final = frozenset(FUNCTIONS) | {unit for unit in MM_PER_UNIT if unit.isalpha()} | {"through"}
"""Words that cannot name a parameter."""

_NUMBER = r"(?:\d{1,9}(?:\.\d{1,9})?|\.\d{1,9})"
_UNIT = r"(?:(?:mm|cm|m|in|ft)(?![A-Za-z0-9_])|\"|″)"
_TOKEN = re.compile(
    rf"\s*(?:(?P<length>(?:(?:\d{{1,6}}\s+)?\d{{1,6}}\s*/\s*\d{{1,6}}|{_NUMBER})\s*{_UNIT})"
    rf"|(?P<number>{_NUMBER})(?![\w.])|(?P<name>[A-Za-z_]\w*)|(?P<sign>[-+*/(),]))",
    re.ASCII,
)
_BINARY: Final[dict[type[ast.operator], Callable[[DimensionedValue, DimensionedValue, float], DimensionedValue]]] = {
    ast.Add: DimensionedValue.plus,
    ast.Sub: DimensionedValue.minus,
    ast.Mult: lambda a, b, _unit: a.times(b),
    ast.Div: lambda a, b, _unit: a.over(b),
}


@dataclass(frozen=True)
class Expression:
    """A parsed expression: its text, its tree, the numbers in it and the names that it needs."""

    text: str
    tree: ast.expr
    literals: tuple[DimensionedValue, ...]
    names: tuple[str, ...]

    def evaluate(self, known: Mapping[str, DimensionedValue], unit: float = 1.0) -> DimensionedValue:
        """Return the value; `unit` is the length in mm that a bare number stands for.

        Raises ValueError in plain words for a name that is not in `known`, a division by zero, mixed dimensions or a
        result beyond all bounds.
        """
        for name in self.names:
            if name not in known:
                raise RefusedValueError(_no_parameter(name, known))
        try:
            return self._value(self.tree, known, unit).checked()
        except (ZeroDivisionError, OverflowError):
            raise RefusedValueError(msg("'{text}' divides by zero or grows without bound", text=self.text)) from None

    def _value(self, node: ast.expr, known: Mapping[str, DimensionedValue], unit: float) -> DimensionedValue:
        if isinstance(node, ast.Name):
            return self.literals[int(node.id[1:])] if node.id[0] == "n" else known[node.id[1:]]
        if isinstance(node, ast.BinOp):
            left, right = self._value(node.left, known, unit), self._value(node.right, known, unit)
            return _BINARY[type(node.op)](left, right, unit).checked()
        if isinstance(node, ast.UnaryOp):
            value = self._value(node.operand, known, unit)
            return value.negated() if isinstance(node.op, ast.USub) else value
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            return _call(node.func.id[1:], [self._value(arg, known, unit) for arg in node.args], unit)
        raise AssertionError(f"unforeseen part of an expression: {ast.dump(node)}")


def parse_expression(text: str) -> Expression:
    """Return the parsed expression. Raises ValueError with a plain message."""
    text = text.strip()
    if not text:
        raise RefusedValueError(msg("nothing is written after the '='"))
    if len(text) > LONGEST_TEXT:
        raise RefusedValueError(
            msg("the expression is longer than {longest_text} characters", longest_text=LONGEST_TEXT)
        )
    tokens = _tokens(text)
    literals: list[DimensionedValue] = []
    names: dict[str, None] = {}
    words = [_word(kind, word, literals, names) for kind, word in tokens]
    try:
        tree = ast.parse(" ".join(words), mode="eval").body
    except (SyntaxError, RecursionError, MemoryError) as error:
        raise RefusedValueError(
            msg("'{text}' cannot be worked out: {reason}", text=text, reason=_reason(tokens, words, error))
        ) from None
    _check_tree(tree, text)
    return Expression(text, tree, tuple(literals), tuple(names))


def _tokens(text: str) -> list[tuple[str, str]]:
    found: list[tuple[str, str]] = []
    place = 0
    while place < len(text):
        match = _TOKEN.match(text, place)
        if match is None:
            raise RefusedValueError(
                msg(
                    "'{text}' cannot be worked out: '{rest}' has no meaning here",
                    text=text,
                    rest=text[place:].strip()[:12],
                )
            )
        kind = match.lastgroup or ""
        found.append((kind, match[kind].strip()))
        place = match.end()
    if len(found) > MOST_TOKENS:
        raise RefusedValueError(
            msg("the expression has more than {most_tokens} numbers, names and signs", most_tokens=MOST_TOKENS)
        )
    return found


def _word(kind: str, word: str, literals: list[DimensionedValue], names: dict[str, None]) -> str:
    """Return a token as a name that means nothing to Python, so that no keyword or built-in can be reached."""
    if kind == "sign":
        return word
    if kind == "name":
        if word in FUNCTIONS:
            return f"f{word}"
        names[word] = None
        return f"v{word}"
    literals.append(DimensionedValue(parse_length(word), 1) if kind == "length" else DimensionedValue(float(word)))
    return f"n{len(literals) - 1}"


def _reason(tokens: list[tuple[str, str]], words: list[str], error: BaseException) -> Message:
    opened, closed = words.count("("), words.count(")")
    if opened != closed:
        return msg("{opened} opening and {closed} closing brackets", opened=opened, closed=closed)
    if not isinstance(error, SyntaxError):
        return msg("it is nested too deeply")
    reach = 0
    for (_, token), word in zip(tokens, words, strict=True):
        reach += len(word) + 1
        if error.offset and reach >= error.offset:
            return msg("something is missing or too much near '{token}'", token=token)
    return msg("something is missing after '{token}'", token=tokens[-1][1])


def _check_tree(tree: ast.expr, text: str) -> None:
    """Refuse whatever Python's parser makes of the tokens that is not plain arithmetic (tuples, `f(*a)`)."""
    nodes: list[tuple[Any, int]] = [(tree, 1)]
    while nodes:
        node, depth = nodes.pop()
        if depth > DEEPEST:
            raise RefusedValueError(
                msg("'{text}...' is nested more than {deepest} deep", text=text[:40], deepest=DEEPEST)
            )
        if isinstance(node, ast.BinOp):
            nodes += [(node.left, depth + 1), (node.right, depth + 1)]
        elif isinstance(node, ast.UnaryOp):
            nodes.append((node.operand, depth + 1))
        elif isinstance(node, ast.Call):
            _check_call(node, text)
            nodes += [(arg, depth + 1) for arg in node.args]
        elif not isinstance(node, ast.Name):
            raise RefusedValueError(
                msg("'{text}' cannot be worked out: give one value, with + - * / and brackets", text=text)
            )
        elif node.id.startswith("f"):
            raise RefusedValueError(
                msg("'{text}' cannot be worked out: write {id}(...) with brackets", text=text, id=node.id[1:])
            )


def _check_call(node: ast.Call, text: str) -> None:
    if not (isinstance(node.func, ast.Name) and node.func.id.startswith("f")):
        known = series(FUNCTIONS)
        raise RefusedValueError(
            msg(
                "'{text}' cannot be worked out: only these can be called: {known}; multiply with *",
                text=text,
                known=known,
            )
        )
    name = node.func.id[1:]
    low, high = FUNCTIONS[name]
    if not low <= len(node.args) <= high:
        wanted = msg("one value") if high == 1 else msg("{low} to {high} values", low=low, high=high)
        raise RefusedValueError(
            msg(
                "'{text}' cannot be worked out: {name}() takes {wanted}, not {count}",
                text=text,
                name=name,
                wanted=wanted,
                count=len(node.args),
            )
        )


def _call(name: str, values: list[DimensionedValue], unit: float) -> DimensionedValue:
    first = values[0]
    match name:
        case "min" | "max":
            return first.extreme(values[1:], unit, largest=name == "max")
        case "abs":
            return first.negated() if first.value < 0 else first
        case "sqrt":
            return first.root()
        case "round" | "floor" | "ceil":
            turns: dict[str, Callable[[float], float]] = {"round": _half_up, "floor": math.floor, "ceil": math.ceil}
            return first.rounded(turns[name], unit)
        case _:
            return first.turned({"sin": math.sin, "cos": math.cos, "tan": math.tan}[name], name)


def _half_up(value: float) -> float:
    """Round as a maker does: halves away from zero."""
    return math.copysign(math.floor(abs(value) + 0.5), value)


def _no_parameter(name: str, known: Mapping[str, DimensionedValue]) -> Message:
    near = difflib.get_close_matches(name, known, n=1)
    if near:
        return msg("there is no parameter '{name}'; did you mean '{near}'?", name=name, near=near[0])
    return msg("there is no parameter '{name}'", name=name)
