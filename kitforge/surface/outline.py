"""How much of each cell lies inside closed paths: even-odd filling row by row, with the share at the edge."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from kitforge.model.path import Path
from kitforge.surface.distance import distance_to
from kitforge.surface.grid import Grid


def inside(grid: Grid, paths: Iterable[Path]) -> NDArray[np.bool_]:
    """Return which cells have their middle inside the closed paths, by the even-odd rule, shape grid.shape."""
    return inside_rings(grid, [path.flatten() for path in paths if path.closed])


def inside_rings(grid: Grid, rings: Iterable[NDArray[np.float64]]) -> NDArray[np.bool_]:
    """Return which cells have their middle inside rings of points (n, 2), by the even-odd rule."""
    turns = np.zeros((grid.rows, grid.columns + 1), dtype=np.int32)
    for ring in rings:
        row, column = _crossings(grid, np.asarray(ring, dtype=np.float64))
        np.add.at(turns, (row, column), 1)
    # Summed in the numbers that they are kept in: a tenth of the time of summing into wider ones.
    np.cumsum(turns, axis=1, dtype=np.int32, out=turns)
    found: NDArray[np.bool_] = (turns[:, :-1] & 1) != 0
    return found


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
    """Return the share of each cell inside the closed paths, 0 to 1, first order at the edge, shape grid.shape."""
    kept = [path for path in paths if path.closed]
    within = inside(grid, kept)
    far = np.minimum(distance_to(grid, [path.flatten() for path in kept], grid.cell), grid.cell)
    return np.clip(0.5 + np.where(within, far, -far) / np.float32(grid.cell), 0, 1).astype(np.float32)
