"""Which lines of kit.yaml make what: parts, operations, stock, cutters and needs, each with its first and last line.

A block runs from where its entry begins to the line before one that is indented less, as YAML has it (YAML 1.2.2,
chapter 6.1); one that is written in brackets ends with its bracket.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from kitforge.model.record import record

if TYPE_CHECKING:
    from kitforge.model.findings import Source
    from kitforge.model.kit import Kit

KIT_FILE = "kit.yaml"
_KEY = re.compile(r"""(?:[^\s:#{\["'][^:#]*|"[^"]*"|'[^']*'):(?:\s+|$)""")


@record
class TextBlock:
    """What some lines make. number: by which the page knows it, from 1; kind and keys: which thing of the kit it is."""

    number: int
    kind: str
    keys: tuple[str, ...]
    first: int
    last: int


def blocks_of(kit: Kit, lines: Sequence[str]) -> tuple[TextBlock, ...]:
    """Return the blocks of a kit in the order of its lines; one inside another comes after it."""
    found = []
    for kind, keys, source in _entries(kit):
        if source.file == KIT_FILE and 1 <= source.line <= len(lines):
            first, last = _extent(lines, source)
            found.append((first, -last, kind, keys))
    return tuple(TextBlock(n, kind, keys, first, -last) for n, (first, last, kind, keys) in enumerate(sorted(found), 1))


def numbers_by_thing(blocks: Sequence[TextBlock]) -> dict[tuple[str, ...], int]:
    """Return the number of the block of each thing, by its kind and keys."""
    return {(block.kind, *block.keys): block.number for block in blocks}


def blocks_by_line(blocks: Sequence[TextBlock], count: int) -> list[tuple[int, ...]]:
    """Return for each line, from the first, the numbers of the blocks that it is in, the outermost first."""
    found: list[tuple[int, ...]] = [()] * count
    for block in blocks:
        for line in range(block.first - 1, block.last):
            found[line] = (*found[line], block.number)
    return found


def _entries(kit: Kit) -> Iterator[tuple[str, tuple[str, ...], Source]]:
    for part in kit.parts:
        yield "part", (part.key,), part.source
        for operation in part.operations:
            yield "operation", (part.key, operation.name), operation.source
    for stock in kit.stock.values():
        yield "stock", (stock.key,), stock.source
    for cutter in kit.cutters.values():
        yield "cutter", (cutter.key,), cutter.source
    for number, need in enumerate(kit.needs):
        yield "need", (str(number),), need.source


def _extent(lines: Sequence[str], source: Source) -> tuple[int, int]:
    """Return the first and the last line of the entry at a place: its key in a mapping, or the first key of an item."""
    at, column = source.line - 1, max(source.column - 1, 0)
    before, text = lines[at][:column], lines[at][column:]
    named = _KEY.match(text) if not before.strip() else None
    opens = column + (named.end() if named else 0)
    if lines[at][opens : opens + 1] in ("{", "["):
        return source.line, _closing(lines, at, opens)
    least = column + 1 if named else column
    last = at
    for number in range(at + 1, len(lines)):
        line = lines[number]
        if line.strip() and not line.lstrip().startswith("#"):
            if len(line) - len(line.lstrip()) < least:
                break
            last = number
    return source.line, last + 1


def _closing(lines: Sequence[str], at: int, column: int) -> int:
    """Return the line on which the brackets that open at a place are closed; quoted ones are not counted."""
    depth, quote = 0, ""
    for number in range(at, len(lines)):
        for sign in lines[number][column if number == at else 0 :]:
            if quote:
                quote = "" if sign == quote else quote
            elif sign in "\"'":
                quote = sign
            elif sign in "{[":
                depth += 1
            elif sign in "}]":
                depth -= 1
                if depth == 0:
                    return number + 1
    return len(lines)
