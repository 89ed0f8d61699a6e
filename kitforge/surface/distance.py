"""True distances from cell middles to the line a cutter runs along.

A distance transform of a path snapped to cells misplaces the crest between two passes by up to a cell. Here every
segment of the path is visited with the cells around it: a rectangle along the segment, lengthened at each end by what
the turn there asks for, so that the rectangles together hold every cell within the radius and its nearest segment.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from kitforge.model.record import record
from kitforge.surface.grid import Grid

_MOST_CELLS = 1 << 18
_MOST_RUNS = 1 << 17


@record(eq=False)
class Segments:
    """Straight pieces: start (n, 2), unit direction (n, 2), length (n,); before, after: room at the ends per radius.

    depth, fall: depth of the tip at the start (mm) and how much deeper it gets per mm, for chains that carry a depth.
    """

    start: NDArray[np.float64]
    direction: NDArray[np.float64]
    length: NDArray[np.float64]
    before: NDArray[np.float64]
    after: NDArray[np.float64]
    depth: NDArray[np.float64]
    fall: NDArray[np.float64]

    def __len__(self) -> int:
        return len(self.length)


@record(eq=False)
class Cells:
    """Cells beside segments: flat index into the grid, segment number, and the place along and across it, mm."""

    index: NDArray[np.intp]
    segment: NDArray[np.intp]
    along: NDArray[np.float32]
    across: NDArray[np.float32]


def segments_of(chains: Sequence[NDArray[np.float64]]) -> Segments:
    """Return the segments of chains of shape (n, 2), or (n, 3) with the depth third. A single point is a plunge."""
    parts = [_of_chain(np.asarray(chain, dtype=np.float64)) for chain in chains if len(chain)]
    if not parts:
        empty = np.empty(0)
        return Segments(np.empty((0, 2)), np.empty((0, 2)), empty, empty, empty, empty, empty)
    return Segments(*(np.concatenate(columns) for columns in zip(*parts, strict=True)))


def _of_chain(chain: NDArray[np.float64]) -> tuple[NDArray[np.float64], ...]:
    move = np.diff(chain[:, :2], axis=0)
    length = np.hypot(move[:, 0], move[:, 1])
    keep = length > 1e-9
    if not keep.all():
        chain = chain[np.append(keep, True)]
        move = np.diff(chain[:, :2], axis=0)
        length = np.hypot(move[:, 0], move[:, 1])
    if len(chain) < 2:
        chain, length, move = chain[-1:], np.zeros(1), np.array([[1.0, 0.0]])
        start, unit, deep = chain[:, :2], move, chain[:, 2:]
    else:
        start, unit, deep = chain[:-1, :2], move / length[:, None], chain[:, 2:]
    before, after = _room(unit, closed=len(chain) > 3 and _closed(chain))
    depth, fall = _depths(deep, length)
    return start, unit, length, before, after, depth, fall


def _closed(chain: NDArray[np.float64]) -> bool:
    """Return what NumPy's `allclose` says of the ends of a chain, for two points a hundred times as quick."""
    ends = zip(chain[0, :2].tolist(), chain[-1, :2].tolist(), strict=True)
    return all(abs(a - b) <= 1e-7 + 1e-5 * abs(b) for a, b in ends)


def _room(unit: NDArray[np.float64], *, closed: bool) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return how much longer each rectangle must be, as a share of the radius: the sine of half the turn."""
    earlier = np.concatenate([unit[-1:], unit[:-1]])
    cosine = np.minimum(np.maximum((unit * earlier).sum(axis=1), -1), 1)
    room = np.sqrt((1 - cosine) / 2)
    if not closed:
        room[0] = 1.0
    after = np.concatenate([room[1:], room[:1]])
    return room + 1e-6, after + 1e-6


def _depths(deep: NDArray[np.float64], length: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    if deep.shape[1] == 0:
        return np.zeros_like(length), np.zeros_like(length)
    if len(deep) == 1:
        return deep[:, 0], np.zeros(1)
    return deep[:-1, 0], np.diff(deep[:, 0]) / length


def cells_beside(grid: Grid, segments: Segments, radius: float) -> Iterator[Cells]:
    """Yield the cells within `radius` mm of the segments, in portions of bounded size. A cell can come more than once.

    Cells a little beyond the radius come too; the caller compares the distance.
    """
    rows = _rows(grid, segments, radius)
    count = np.where(_aside(grid, segments, radius), 0, np.maximum(rows[1] - rows[0] + 1, 0))
    for first, last in _portions(count, _MOST_RUNS):
        yield from _cells(grid, segments, radius, rows[0][first:last], count[first:last], first)


def _rows(grid: Grid, s: Segments, radius: float) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    half = np.abs(s.direction[:, 0]) * radius
    low_end = s.start[:, 1] - s.before * radius * s.direction[:, 1]
    high_end = s.start[:, 1] + (s.length + s.after * radius) * s.direction[:, 1]
    low = np.minimum(low_end, high_end) - half
    high = np.maximum(low_end, high_end) + half
    first = np.ceil((low - grid.y0) / grid.cell - 0.5)
    last = np.floor((high - grid.y0) / grid.cell - 0.5)
    return (
        np.clip(first, 0, grid.rows).astype(np.intp),
        np.clip(last, -1, grid.rows - 1).astype(np.intp),
    )


def _aside(grid: Grid, s: Segments, radius: float) -> NDArray[np.bool_]:
    """Return which segments lie beside the grid altogether, left or right of it, by more than a cell."""
    ends = s.start[:, 0], s.start[:, 0] + s.length * s.direction[:, 0]
    most = radius * 2 + grid.cell  # a rectangle's corner is no further than this from the segment
    left, right = grid.x0 - most, grid.x0 + grid.columns * grid.cell + most
    aside: NDArray[np.bool_] = (np.maximum(*ends) < left) | (np.minimum(*ends) > right)
    return aside


def _portions(count: NDArray[np.intp], most: int) -> Iterator[tuple[int, int]]:
    """Yield (first, last) slices whose counts add up to about `most` each."""
    total = np.cumsum(count)
    if not len(total) or not total[-1]:
        return
    marks = np.searchsorted(total, np.arange(most, int(total[-1]) + most, most))
    first = 0
    for mark in marks:
        last = min(int(mark) + 1, len(count))
        if last > first:
            yield first, last
            first = last


def _cells(
    grid: Grid, s: Segments, radius: float, low: NDArray[np.intp], count: NDArray[np.intp], base: int
) -> Iterator[Cells]:
    """Yield the cells of some segments row by row: each row of a rectangle is one run of cells."""
    who = np.repeat(np.arange(len(count)), count)
    row = np.arange(len(who)) - np.repeat(np.cumsum(count) - count, count) + low[who]
    who += base
    dy = grid.y0 + (row + 0.5) * grid.cell - s.start[who, 1]
    left, right = _run(s, who, dy, radius)
    origin = s.start[who, 0] - grid.x0
    first = np.clip(np.ceil((origin + left) / grid.cell - 0.5), 0, grid.columns).astype(np.intp)
    last = np.clip(np.floor((origin + right) / grid.cell - 0.5), -1, grid.columns - 1).astype(np.intp)
    width = np.maximum(last - first + 1, 0)
    dx = (first + 0.5) * grid.cell - origin
    ux, uy = s.direction[who, 0], s.direction[who, 1]
    along = (dx * ux + dy * uy).astype(np.float32)
    across = (dy * ux - dx * uy).astype(np.float32)
    slopes = (ux * grid.cell).astype(np.float32), (uy * grid.cell).astype(np.float32)
    start = row * grid.columns + first
    for a, b in _portions(width, _MOST_CELLS):
        n = width[a:b]
        run = np.repeat(np.arange(a, b), n)
        step = np.arange(len(run)) - np.repeat(np.cumsum(n) - n, n)
        far = step.astype(np.float32)
        yield Cells(start[run] + step, who[run], along[run] + far * slopes[0][run], across[run] - far * slopes[1][run])


def _run(
    s: Segments, who: NDArray[np.intp], dy: NDArray[np.float64], radius: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return where a row enters and leaves a rectangle, relative to the segment's start: the overlap of two strips."""
    ux, uy = s.direction[who, 0], s.direction[who, 1]
    ux = np.where(np.abs(ux) < 1e-12, 1e-12, ux)
    uy = np.where(np.abs(uy) < 1e-12, 1e-12, uy)
    a = (-s.before[who] * radius - dy * uy) / ux
    b = (s.length[who] + s.after[who] * radius - dy * uy) / ux
    c = (dy * ux - radius) / uy
    d = (dy * ux + radius) / uy
    return np.maximum(np.minimum(a, b), np.minimum(c, d)), np.minimum(np.maximum(a, b), np.maximum(c, d))


def distance_to(grid: Grid, chains: Sequence[NDArray[np.float64]], radius: float) -> NDArray[np.float32]:
    """Return the distance (mm) from each cell's middle to the nearest of the chains; inf beyond `radius` mm."""
    return distance_along(grid, segments_of(chains), radius)


def distance_along(grid: Grid, segments: Segments, radius: float) -> NDArray[np.float32]:
    """Return the same for straight pieces."""
    square = np.full(grid.rows * grid.columns, np.inf, dtype=np.float32)
    length = segments.length.astype(np.float32)
    for cells in cells_beside(grid, segments, radius):
        beyond = cells.along - np.clip(cells.along, 0, length[cells.segment])
        np.minimum.at(square, cells.index, cells.across**2 + beyond**2)
    square[square > np.float32(radius) ** 2] = np.inf
    return np.sqrt(square, out=square).reshape(grid.shape)
