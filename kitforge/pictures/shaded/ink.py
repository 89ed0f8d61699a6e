"""Lines that make a picture crisp: outlines, the edges of walls, creases; and hatching."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

# Slopes above about 54 degrees are walls; a jump of so many mm away from the eye is an outline.
_STEEP, _JUMP = 150, 1.5
# A bend of so much in uprightness (of 255) within two dots is a crease.
_CREASE = 28
# How much of the distance between hatching lines a line takes.
_LINE = 0.36
_ALL, _FIRST, _LAST = slice(None), slice(None, -1), slice(1, None)
_PAIRS = ((_FIRST, _ALL), (_LAST, _ALL)), ((_ALL, _FIRST), (_ALL, _LAST))
_THREE = slice(None, -2), slice(1, -1), slice(2, None)
_TRIPLES = tuple((part, _ALL) for part in _THREE), tuple((_ALL, part) for part in _THREE)


def ink_of(
    hit: NDArray[np.int32], upright: NDArray[np.uint8], wood: NDArray[np.bool_], stride: float
) -> NDArray[np.uint8]:
    """Return 3 on outlines, where what lies behind is further off, 2 where a wall begins or ends, 1 on creases.

    hit: row of the layout that each dot shows, `stride` mm apart; upright: upward part of the normal, 0 to 255.
    """
    ink = np.zeros(hit.shape, dtype=np.uint8)
    steep, jump = upright < _STEEP, round(_JUMP / stride)
    for low, high in _PAIRS:
        bend = (steep[low] ^ steep[high]).view(np.uint8) << 1
        far = hit[high] - hit[low]
        edge = wood[low] ^ wood[high]
        ink[low] |= bend | ((far > jump) | edge).view(np.uint8) * np.uint8(3)
        ink[high] |= bend | ((far < -jump) | edge).view(np.uint8) * np.uint8(3)
    for first, middle, last in _TRIPLES:
        turn = np.maximum(upright[first], upright[last]) - np.minimum(upright[first], upright[last])
        # Within a wall the map is too steep for a crease to mean one: it would draw stripes on edges.
        crease = (turn > _CREASE) & ~(steep[first] & steep[last])
        np.maximum(ink[middle], crease.view(np.uint8), out=ink[middle])
    return ink


def inkless(stride: float) -> bool:
    """Return whether a level face has no ink where rows of the layout lie `stride` mm apart."""
    return round(_JUMP / stride) >= 1


def marks_of(marked: NDArray[np.uint8], period: int, first: int = 0) -> NDArray[np.uint8]:
    """Return 0 for plain dots, 1 for picked-out ones, 2 for those of them on a hatching line up to the right.

    period: dots from line to line, 0 for no lines; first: number of the first column, for a strip of a paper.
    """
    if not period:
        return (marked > 127).view(np.uint8)
    marks = np.zeros(marked.shape, dtype=np.uint8)
    row, column = np.nonzero(marked > 127)
    marks[row, column] = np.where((column + first - row) % period < period * _LINE, np.uint8(2), np.uint8(1))
    return marks
