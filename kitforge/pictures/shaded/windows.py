"""Which windows of the paper show given cells of a map: only they are drawn, and only they anew after a step."""

from __future__ import annotations

import math
from dataclasses import dataclass
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
    """Columns and rows of the paper, each from the first up to the last; row 0 is the lowest."""

    columns: tuple[int, int]
    rows: tuple[int, int]

    def wider(self, layout: Layout) -> PaperWindow:
        """Return the window with the dots beside it that belong to the paper."""
        (left, right), (low, high) = self.columns, self.rows
        return PaperWindow(
            (max(0, left - BESIDE), min(layout.columns, right + BESIDE)),
            (max(0, low - BESIDE), min(layout.canvas.rows, high + BESIDE)),
        )


def windows_of(layout: Layout, wanted: NDArray[np.bool_]) -> list[PaperWindow]:
    """Return the windows of the paper that dots of the wanted cells may lie in. wanted: shape of the map."""
    tiles = _tiles(layout, blocks_of(wanted, _BLOCK))
    found: list[PaperWindow] = []
    for column in range(tiles.shape[1]):
        left = column * _WIDE
        turns = np.flatnonzero(np.diff(np.pad(tiles[:, column], 1).view(np.int8))).tolist()
        for low, high in zip(turns[::2], turns[1::2], strict=True):
            rows = low * _HIGH, min(high * _HIGH, layout.canvas.rows)
            found.append(PaperWindow((left, min(left + _WIDE, layout.columns)), rows))
    return found


@dataclass(frozen=True, slots=True, eq=False)
class HeightRange:
    """Lowest and highest of a map of heights, mm, in blocks of cells; floor: the height beyond the map."""

    low: NDArray[np.floating[Any]]
    high: NDArray[np.floating[Any]]
    floor: float

    def within(self, layout: Layout, window: PaperWindow) -> tuple[float, float]:
        """Return the lowest and the highest that dots of a window can show, mm."""
        (left, right), (bottom, top) = window.columns, window.rows
        a, b, c, d, e, f = layout.matrix
        corners = [(i, j) for i in (left - 1, right + 1) for j in (bottom - 4, top + layout.deep + 4)]
        columns, rows = [a * i + b * j + c for i, j in corners], [d * i + e * j + f for i, j in corners]
        across, along = (
            (math.floor(min(columns) - 1), math.ceil(max(columns) + 1)),
            (
                math.floor(min(rows) - 1),
                math.ceil(max(rows) + 1),
            ),
        )
        place = tuple(slice(max(0, first // _BLOCK), max(0, last // _BLOCK + 1)) for first, last in (along, across))
        low, high = self.low[place], self.high[place]
        if not low.size:
            return self.floor, self.floor
        size = self.low.shape[1] * _BLOCK, self.low.shape[0] * _BLOCK
        inside = across[0] >= 0 and along[0] >= 0 and across[1] < size[0] - _BLOCK and along[1] < size[1] - _BLOCK
        return float(low.min()) if inside else self.floor, float(high.max())


def heights_of(height: NDArray[np.floating[Any]], floor: float) -> HeightRange:
    """Return the lowest and highest of a map of heights in blocks of cells. floor: the height beyond the map, mm."""
    room = ((0, -height.shape[0] % _BLOCK), (0, -height.shape[1] % _BLOCK))
    padded = np.pad(height, room, mode="edge")
    rows = padded.reshape(-1, _BLOCK, padded.shape[1])
    low, high = (way(way(rows, axis=1).reshape(len(rows), -1, _BLOCK), axis=2) for way in (np.min, np.max))
    return HeightRange(low, high, floor)


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
