"""Which windows of the paper show given cells of a map: only they are drawn, and only they anew after a step."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from typing import Any

    from kitforge.pictures.shaded.layout import Layout

# Windows are so many columns wide, and so many rows high or several times that: their arrays stay in the cache.
_WIDE, _HIGH = 96, 32
# Cells are looked at in blocks of so many across and up.
_BLOCK = 16
# How far beside its dots a window looks: ink tells from those around where it lies.
BESIDE = 2


@dataclass(frozen=True, slots=True)
class PaperWindow:
    """Columns and rows of the paper, each from the first up to the last; row 0 is the lowest.

    level: it shows nothing but the uncut face.
    """

    columns: tuple[int, int]
    rows: tuple[int, int]
    level: bool = False

    def wider(self, layout: Layout) -> PaperWindow:
        """Return the window with the dots beside it that belong to the paper."""
        (left, right), (low, high) = self.columns, self.rows
        return PaperWindow(
            (max(0, left - BESIDE), min(layout.columns, right + BESIDE)),
            (max(0, low - BESIDE), min(layout.canvas.rows, high + BESIDE)),
        )


def windows_of(layout: Layout, wanted: NDArray[np.bool_], level: NDArray[np.bool_] | None = None) -> list[PaperWindow]:
    """Return the windows of the paper that dots of the wanted cells may lie in. wanted: shape of the map.

    level: which of its cells are at the height of the uncut face; where it is left out, none of them.
    """
    kinds = _tiles(layout, blocks_of(wanted, _BLOCK)).astype(np.int8)
    if level is not None:
        kinds[(kinds > 0) & _level_tiles(layout, ~blocks_of(~level, _BLOCK))] = 2
    found: list[PaperWindow] = []
    for column in range(kinds.shape[1]):
        left = column * _WIDE
        turns = np.flatnonzero(np.diff(kinds[:, column], prepend=0, append=0)).tolist()
        for low, high in pairwise(turns):
            if kind := int(kinds[low, column]):
                rows = low * _HIGH, min(high * _HIGH, layout.canvas.rows)
                found.append(PaperWindow((left, min(left + _WIDE, layout.columns)), rows, kind > 1))
    return found


def _level_tiles(layout: Layout, blocks: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return which tiles of the paper show nothing but level blocks, with the dots beside them."""
    across, up = -(-layout.columns // _WIDE), -(-layout.canvas.rows // _HIGH)
    room = BESIDE + 2
    x, y = np.arange(across)[None, :] * float(_WIDE), np.arange(up)[:, None] * float(_HIGH)
    corners = [(x + i, y + j) for i in (-room, _WIDE + room) for j in (-room, _HIGH + room)]
    a, b, c, d, e, f = layout.matrix
    left, right = _blocks_around(np.array([a * i + b * j + c for i, j in corners]))
    low, high = _blocks_around(np.array([d * i + e * j + f for i, j in corners]))
    inside = (left >= 0) & (right < blocks.shape[1]) & (low >= 0) & (high < blocks.shape[0])
    # How many blocks of a rectangle are not level, from sums along both axes.
    sums = np.pad((~blocks).cumsum(axis=0).cumsum(axis=1), ((1, 0), (1, 0)))
    left, low = (np.where(inside, edge, 0) for edge in (left, low))
    right, high = (np.where(inside, edge + 1, 0) for edge in (right, high))
    others = sums[high, right] - sums[low, right] - sums[high, left] + sums[low, left]
    return np.asarray(inside & (others == 0))


def _blocks_around(cells: NDArray[np.floating[Any]]) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return the numbers of the first and the last block that corners reach, along one axis of the map."""
    first, last = (np.floor(edge / _BLOCK).astype(np.intp) for edge in (cells.min(axis=0) - 2, cells.max(axis=0) + 2))
    return first, last


def blocks_of(wanted: NDArray[np.bool_], size: int) -> NDArray[np.bool_]:
    """Return which blocks of `size` x `size` cells hold a wanted one; the last blocks may lie over the edge."""
    padded = np.pad(wanted, ((0, -wanted.shape[0] % size), (0, -wanted.shape[1] % size)))
    down = padded[::size].copy()
    for row in range(1, size):
        down |= padded[row::size]
    found = down[:, ::size].copy()
    for column in range(1, size):
        found |= down[:, column::size]
    return found


def _tiles(layout: Layout, blocks: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return which tiles of the paper, `_WIDE` x `_HIGH` dots from below, wanted blocks may be seen in."""
    across, up = -(-layout.columns // _WIDE), -(-layout.canvas.rows // _HIGH)
    row, column = (at.astype(np.float64) * _BLOCK for at in np.nonzero(blocks))
    # Between cells the map is bilinear: a block reaches a cell further than its own.
    corners = [(column + i, row + j) for i in (-1, _BLOCK + 1) for j in (-1, _BLOCK + 1)]
    a, b, c, d, e, f = layout.matrix
    size = a * e - b * d
    x = np.array([(e * (i - c) - b * (j - f)) / size for i, j in corners])
    y = np.array([(a * (j - f) - d * (i - c)) / size for i, j in corners])
    room = BESIDE + 2
    left, right = _numbers(x.min(axis=0) - room, _WIDE, across), _numbers(x.max(axis=0) + room, _WIDE, across)
    low = _numbers(y.min(axis=0) - layout.deep - room, _HIGH, up)
    high = _numbers(y.max(axis=0) + room, _HIGH, up)
    seen = (x.max(axis=0) + room >= 0) & (x.min(axis=0) - room < layout.columns)
    seen &= (y.max(axis=0) + room >= 0) & (y.min(axis=0) - layout.deep - room < layout.canvas.rows)
    # Each block adds 1 to a rectangle of tiles, by its corners: sums along both axes fill it.
    count = np.zeros((up + 1, across + 1), dtype=np.int64)
    for rows, columns, sign in ((low, left, 1), (low, right + 1, -1), (high + 1, left, -1), (high + 1, right + 1, 1)):
        np.add.at(count, (rows[seen], columns[seen]), sign)
    return np.asarray(count.cumsum(axis=0).cumsum(axis=1)[:-1, :-1] > 0)


def _numbers(at: NDArray[np.floating[Any]], size: int, count: int) -> NDArray[np.intp]:
    """Return the number of the tile that each place lies in, of those that there are."""
    return np.clip(np.floor(at / size), 0, count - 1).astype(np.intp)
