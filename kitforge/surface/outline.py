"""How much of each cell lies inside closed paths: even-odd filling row by row, with the share at the edge."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from kitforge.model.identity import IdentityKey
from kitforge.model.path import Path
from kitforge.surface.distance import distance_to
from kitforge.surface.grid import Grid


def inside(grid: Grid, paths: Iterable[Path]) -> NDArray[np.bool_]:
    """Return which cells have their middle inside the closed paths, by the even-odd rule, shape grid.shape."""
    return inside_rings(grid, [path.flatten() for path in paths if path.closed])


def inside_rings(grid: Grid, rings: Iterable[NDArray[np.float64]]) -> NDArray[np.bool_]:
    """Return which cells have their middle inside rings of points (n, 2), by the even-odd rule."""
    found = [_crossings(grid, np.asarray(ring, dtype=np.float64)) for ring in rings]
    if not found:
        return np.zeros(grid.shape, dtype=np.bool_)
    row, column = (np.concatenate(one) for one in zip(*found, strict=True))
    return inside_between(grid.shape, row, column)


def inside_between(shape: tuple[int, int], row: NDArray[np.intp], column: NDArray[np.intp]) -> NDArray[np.bool_]:
    """Return which cells have an odd number of crossings at or left of them in their row. column: of each crossing, the
    first column right of it, up to shape[1]. Closed rings cross every row an even number of times."""
    # One row after the other: from each odd crossing to the even one behind it lies what is inside.
    at = np.empty(len(row) + 2, dtype=np.intp)
    at[0], at[1:-1], at[-1] = 0, row * shape[1] + column, shape[0] * shape[1]
    at[1:-1].sort()
    lengths = at[1:] - at[:-1]
    turns = np.zeros(len(lengths), dtype=np.bool_)
    turns[1::2] = True
    return turns.repeat(lengths).reshape(shape)


class CrossingTable:
    """Where the sides of very many small shapes cross the rows of one paper, on cells of 1: found for all at once.

    shapes: of each its rings of points (n, 2), none for one that has no sides.
    """

    def __init__(self, shapes: Iterable[Iterable[NDArray[np.float64]]]) -> None:
        rings = [(number, ring) for number, shape in enumerate(shapes) for ring in shape]
        sides = [np.concatenate([ring[:-1], ring[1:]], axis=1) for _, ring in rings] or [np.empty((0, 4))]
        self._x0, self._y0, self._x1, self._y1 = np.concatenate(sides).T
        self._shape = np.repeat([number for number, _ in rings], [len(one) for one in sides][: len(rings)])
        self._low = np.ceil(np.minimum(self._y0, self._y1) - 0.5)
        self._high = np.ceil(np.maximum(self._y0, self._y1) - 0.5)

    def between(self, first: int, last: int) -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.intp]]:
        """Return the crossings of rows from `first` up to `last`, shape by shape: the shape, the row, and the first
        column right of each."""
        some = np.flatnonzero((self._high > first) & (self._low < last))
        low, high = (np.clip(edge[some], first, last).astype(np.intp) for edge in (self._low, self._high))
        count = high - low
        who = np.repeat(some, count)
        row = np.arange(len(who)) - np.repeat(np.cumsum(count) - count, count) + np.repeat(low, count)
        x0, y0 = self._x0[who], self._y0[who]
        x = x0 + (row + 0.5 - y0) * (self._x1[who] - x0) / (self._y1[who] - y0)
        return self._shape[who], row, np.ceil(x - 0.5).astype(np.intp)


def _crossings(grid: Grid, ring: NDArray[np.float64]) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return where the ring crosses the middles of rows: the row, and the first column right of the crossing."""
    x0, y0, x1, y1 = ring[:-1, 0], ring[:-1, 1], ring[1:, 0], ring[1:, 1]
    low = np.ceil((np.minimum(y0, y1) - grid.y0) / grid.cell - 0.5)
    high = np.ceil((np.maximum(y0, y1) - grid.y0) / grid.cell - 0.5)
    low, high = (np.clip(edge, 0, grid.rows).astype(np.intp) for edge in (low, high))
    count = high - low
    who = np.repeat(np.arange(len(count)), count)
    row = np.arange(len(who)) - np.repeat(np.cumsum(count) - count, count) + low[who]
    y = grid.y0 + (row + 0.5) * grid.cell
    x = x0[who] + (y - y0[who]) * (x1 - x0)[who] / (y1 - y0)[who]
    column = np.clip(np.ceil((x - grid.x0) / grid.cell - 0.5), 0, grid.columns).astype(np.intp)
    return row, column


def inside_share(grid: Grid, paths: Iterable[Path]) -> NDArray[np.float32]:
    """Return the share of each cell inside the closed paths, 0 to 1, first order at the edge, shape grid.shape.

    The array is read-only and shared: of a part its figures and its pictures ask for the same.
    """
    return _share(grid, tuple(IdentityKey(path) for path in paths if path.closed))


@lru_cache(maxsize=2)
def _share(grid: Grid, same: tuple[IdentityKey[Path], ...]) -> NDArray[np.float32]:
    kept = [path.one for path in same]
    within = inside(grid, kept)
    far = np.minimum(distance_to(grid, [path.flatten() for path in kept], grid.cell), grid.cell)
    share = np.clip(0.5 + np.where(within, far, -far) / np.float32(grid.cell), 0, 1).astype(np.float32)
    share.setflags(write=False)
    return share
