"""The formulas of the worksheet: from text to a tree.

Precedence from the loosest: or, and, not, comparisons and in, + -, * /, unary -, ^ (to the right). Angles of sin, cos
and tan are degrees, acos gives radians. 'text' is a text; pi, yes, no and none are words; names may have dots and an
index.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache

from kitforge.model.identity import IdentityKey
from kitforge.model.record import record

COMPARISONS = ("==", "!=", "<=", ">=", "<", ">", "in")
WORDS = ("pi", "yes", "no", "none")
DEEPEST = 40
_LEVELS = {
    "or": 1, "and": 2, "not": 3, "==": 4, "!=": 4, "<=": 4, ">=": 4, "<": 4, ">": 4, "in": 4, "+": 5, "-": 5, "*": 6,
    "/": 6, "sign": 7, "^": 8,
}  # fmt: skip
_ATOM = 9
_TOKEN = re.compile(
    r"\s*(?:(?P<number>\d+(?:\.\d+)?(?:e-?\d+)?)|(?P<text>'[^']*'|\"[^\"]*\")|(?P<name>[A-Za-z_]\w*)"
    r"|(?P<sign>==|!=|<=|>=|[-+*/^()<>,.\[\]]))"
)


class ExpressionError(ValueError):
    """A formula that cannot be read; the message says where."""


@record
class Number:
    """A number, as it was written."""

    text: str


@record
class Text:
    """A text; in a row of texts it may hold {symbols}."""

    text: str


@record
class Word:
    """One of pi, yes, no, none."""

    word: str


@record
class Name:
    """A symbol, a part of one (deep.fz_min), or a place in the records that go in (data.plunge.peck_depth.high).

    index: the symbol or text in brackets, and after how many of the parts it stands.
    """

    parts: tuple[str, ...]
    index: tuple[int, Name | Text] | None = None

    def __str__(self) -> str:
        return ".".join(self.parts)


@record
class Unary:
    """- or not before one operand."""

    sign: str
    operand: Node


@record
class Binary:
    """Two operands with a sign between them."""

    sign: str
    left: Node
    right: Node


@record
class Call:
    """A function or a block with its arguments; part: the value of the block that is meant."""

    name: str
    arguments: tuple[Node, ...]
    part: str | None = None


@record
class Choice:
    """What stands right of `in`."""

    items: tuple[Node, ...]


Node = Number | Text | Word | Name | Unary | Binary | Call | Choice


def parse(text: str) -> Node:
    """Return the tree of a formula. Raises ExpressionError."""
    parser = _Parser(list(_tokens(text)), text)
    node = parser.alternative()
    parser.expect_end()
    return node


def walk(node: Node) -> Iterator[Node]:
    """Yield a node and everything below it, from the left."""
    yield node
    match node:
        case Unary(_, operand):
            yield from walk(operand)
        case Binary(_, left, right):
            yield from walk(left)
            yield from walk(right)
        case Call(_, items, _) | Choice(items):
            for item in items:
                yield from walk(item)
        case Name(_, (_, Name() as index)):
            yield index
        case _:
            pass


def names(node: Node) -> tuple[Name, ...]:
    """Return the names in a formula, each once, from the left. Kept: they are asked for with each calculation."""
    return _names(IdentityKey(node))


@lru_cache(maxsize=1024)
def _names(node: IdentityKey[Node]) -> tuple[Name, ...]:
    return tuple(dict.fromkeys(one for one in walk(node.one) if isinstance(one, Name)))


def substituted(node: Node, put: Mapping[Name, Node]) -> Node:
    """Return a formula with formulas in the place of names."""
    match node:
        case Name() if node in put:
            return put[node]
        case Unary(sign, operand):
            return Unary(sign, substituted(operand, put))
        case Binary(sign, left, right):
            return Binary(sign, substituted(left, put), substituted(right, put))
        case Call(name, arguments, part):
            return Call(name, tuple(substituted(one, put) for one in arguments), part)
        case _:
            return node


def written(node: Node, level: int = 0) -> str:
    """Return a formula as text, with brackets where they must be."""
    text, own = _written(node)
    return f"({text})" if own < level else text


def _written(node: Node) -> tuple[str, int]:
    match node:
        case Number(text) | Word(text):
            return text, _ATOM
        case Text(text):
            return f"'{text}'", _ATOM
        case Name():
            return str(node), _ATOM
        case Unary(sign, operand):
            level = _LEVELS[sign if sign == "not" else "sign"]
            return f"{sign}{' ' if sign == 'not' else ''}{written(operand, level + 1)}", level
        case Binary("^", base, exponent):
            return f"{written(base, _ATOM)}^{written(exponent, _LEVELS['sign'])}", _LEVELS["^"]
        case Binary(sign, left, right):
            level = _LEVELS[sign]
            return f"{written(left, level)} {sign} {written(right, level + 1)}", level
        case Call(name, items, part):
            return f"{name}({', '.join(map(written, items))}){f'.{part}' if part else ''}", _ATOM
        case Choice(items):
            return f"({', '.join(map(written, items))})", _ATOM


def conjuncts(node: Node) -> Iterator[Node]:
    """Yield what must all hold for a condition to hold."""
    if isinstance(node, Binary) and node.sign == "and":
        yield from conjuncts(node.left)
        yield from conjuncts(node.right)
    else:
        yield node


def disjuncts(node: Node) -> Iterator[Node]:
    """Yield what must all fail for a condition to fail."""
    if isinstance(node, Binary) and node.sign == "or":
        yield from disjuncts(node.left)
        yield from disjuncts(node.right)
    else:
        yield node


def _tokens(text: str) -> Iterator[tuple[str, str]]:
    at, end = 0, len(text.rstrip())
    while at < end:
        found = _TOKEN.match(text, at)
        if found is None:
            raise ExpressionError(f"'{text[at:].strip()[:12]}' cannot be read in '{text}'")
        yield str(found.lastgroup), found[str(found.lastgroup)]
        at = found.end()


class _Parser:
    """One method for each level of precedence, the loosest first."""

    def __init__(self, tokens: list[tuple[str, str]], text: str) -> None:
        self._tokens, self._text, self._at, self._depth = tokens, text, 0, 0

    def alternative(self) -> Node:
        self._depth += 1
        if self._depth > DEEPEST:
            raise ExpressionError(f"'{self._text[:40]}...' is nested too deep")
        node = self._conjunction()
        while self._takes("or"):
            node = Binary("or", node, self._conjunction())
        self._depth -= 1
        return node

    def _conjunction(self) -> Node:
        node = self._negation()
        while self._takes("and"):
            node = Binary("and", node, self._negation())
        return node

    def _negation(self) -> Node:
        negations = 0
        while self._takes("not"):
            negations += 1
        node = self._comparison()
        return Unary("not", node) if negations % 2 else node

    def _comparison(self) -> Node:
        node = self._sum()
        for sign in COMPARISONS:
            if self._takes(sign):
                return Binary(sign, node, self._choice() if sign == "in" else self._sum())
        return node

    def _choice(self) -> Node:
        self._expect("(")
        return Choice(self._list(")"))

    def _sum(self) -> Node:
        node = self._product()
        while sign := self._takes("+", "-"):
            node = Binary(sign, node, self._product())
        return node

    def _product(self) -> Node:
        node = self._signed()
        while sign := self._takes("*", "/"):
            node = Binary(sign, node, self._signed())
        return node

    def _signed(self) -> Node:
        return Unary("-", self._power()) if self._takes("-") else self._power()

    def _power(self) -> Node:
        node = self._atom()
        if not self._takes("^"):
            return node
        exponent = Unary("-", self._power()) if self._takes("-") else self._power()
        return Binary("^", node, exponent)

    def _atom(self) -> Node:
        kind, text = self._next()
        if kind == "number":
            return Number(text)
        if kind == "text":
            return Text(text[1:-1])
        if kind == "name":
            return Word(text) if text in WORDS else self._named(text)
        if text == "(":
            node = self.alternative()
            self._expect(")")
            return node
        raise ExpressionError(f"'{text}' is not expected in '{self._text}'")

    def _named(self, first: str) -> Node:
        if self._takes("("):
            arguments = self._list(")")
            return Call(first, arguments, self._next_name() if self._takes(".") else None)
        parts, index = [first], None
        while sign := self._takes(".", "["):
            if sign == ".":
                parts.append(self._next_name())
                continue
            key = self._atom()
            if index is not None or not isinstance(key, Name | Text):
                raise ExpressionError(f"'{first}[...]' takes one symbol or text in '{self._text}'")
            index = (len(parts), key)
            self._expect("]")
        return Name(tuple(parts), index)

    def _list(self, end: str) -> tuple[Node, ...]:
        items: list[Node] = []
        while not self._takes(end):
            if items and not self._takes(","):
                self._expect(end)
            items.append(self.alternative())
        return tuple(items)

    def _takes(self, *wanted: str) -> str:
        if self._at < len(self._tokens):
            kind, text = self._tokens[self._at]
            if text in wanted and kind != "text":
                self._at += 1
                return text
        return ""

    def _next(self) -> tuple[str, str]:
        if self._at >= len(self._tokens):
            raise ExpressionError(f"'{self._text}' ends too early")
        self._at += 1
        return self._tokens[self._at - 1]

    def _next_name(self) -> str:
        kind, text = self._next()
        if kind != "name":
            raise ExpressionError(f"a name is missing before '{text}' in '{self._text}'")
        return text

    def _expect(self, wanted: str) -> None:
        if not self._takes(wanted):
            found = self._tokens[self._at][1] if self._at < len(self._tokens) else "the end"
            raise ExpressionError(f"'{wanted}' is missing before '{found}' in '{self._text}'")

    def expect_end(self) -> None:
        if self._at < len(self._tokens):
            raise ExpressionError(f"'{self._tokens[self._at][1]}' is not expected in '{self._text}'")
