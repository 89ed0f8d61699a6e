"""Which lines of kit.yaml make what: parts, operations, stock, cutters and needs, each with its first and last line.

Where an entry begins its finding's source says, and where it ends the reader of the file has noted.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from kitforge.model.record import record

if TYPE_CHECKING:
    from kitforge.definition.positions import Positions
    from kitforge.model.findings import Source
    from kitforge.model.kit import Kit


@record
class TextBlock:
    """What some lines make. number: by which the page knows it, from 1; kind and keys: which thing of the kit it is."""

    number: int
    kind: str
    keys: tuple[str, ...]
    first: int
    last: int


def blocks_of(kit: Kit, where: Positions) -> tuple[TextBlock, ...]:
    """Return the blocks of a kit in the order of its lines; one inside another comes after it. where: as read."""
    ends = where.last_lines()
    found = []
    for kind, keys, source in _entries(kit):
        if source.kit_line:
            found.append((source.line, -ends.get((source.line, source.column), source.line), kind, keys))
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
