"""Lengths, boxes, areas and chords of many pieces at once: what `Piece` computes one by one, on whole arrays.

A row is (x0, y0, x1, y1, bulge) of a line or an arc, in mm. The formulas are those of `piece.py`; the cost is that of a
few passes over the array, where one by one it is some 5 µs for each piece.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from kitforge.model.piece import Bounds

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    from numpy.typing import NDArray

    from kitforge.model.piece import Piece

    Rows = NDArray[np.float64]
    Floats = NDArray[np.float64]
    Flags = NDArray[np.bool_]

_STRAIGHT = 1e-12
_SMALL_SWEEP = 0.05
_QUARTER = math.pi / 2


def are_arcs(rows: Rows) -> Flags:
    """Return which rows are curved."""
    import numpy as np

    flags: Flags = np.abs(rows[:, 4]) > _STRAIGHT
    return flags


def _arctan(slope: Floats) -> Floats:
    """Return the arc tangents: NumPy's own differ in their last bits from one processor to another (issue 23523)."""
    import numpy as np

    found: Floats = np.arctan2(slope, 1.0)
    return found


def _arcsin_of_root(square: Floats) -> Floats:
    """Return the arc sines of the square roots of numbers from 0 to 1, the same on every processor."""
    import numpy as np

    found: Floats = np.arctan2(np.sqrt(square), np.sqrt(1 - square))
    return found


def lengths(rows: Rows) -> Floats:
    """Return the exact length of every row in mm."""
    import numpy as np

    size: Floats = np.hypot(rows[:, 2] - rows[:, 0], rows[:, 3] - rows[:, 1])
    arcs = are_arcs(rows)
    half = 2 * _arctan(rows[arcs, 4])
    size[arcs] *= half / np.sin(half)
    return size


def area(rows: Rows) -> float:
    """Return the area in mm² that a closed chain of rows encloses, positive counter-clockwise."""
    import numpy as np

    x, y = rows[0, :2]
    doubled = (rows[:, 0] - x) * (rows[:, 3] - y) - (rows[:, 2] - x) * (rows[:, 1] - y)
    curved = rows[are_arcs(rows)]
    sweep = 4 * _arctan(curved[:, 4])
    chord = np.hypot(curved[:, 2] - curved[:, 0], curved[:, 3] - curved[:, 1])
    segments = chord**2 / 8 * _sweeps_less_sines(sweep) / np.sin(sweep / 2) ** 2
    return math.fsum((doubled / 2).tolist()) + math.fsum(segments.tolist())


def _sweeps_less_sines(sweep: Floats) -> Floats:
    """Return s - sin s; by its series where the plain difference would lose digits."""
    import numpy as np

    square = sweep * sweep
    series = sweep * square / 6 * (1 - square / 20 * (1 - square / 42 * (1 - square / 72)))
    return np.where(np.abs(sweep) > _SMALL_SWEEP, sweep - np.sin(sweep), series)


def bounds(rows: Rows) -> Bounds:
    """Return the exact box around all rows, with the extremes of the arcs."""
    import numpy as np

    spots = [rows[:, 0:2], rows[:, 2:4]]
    arcs = rows[are_arcs(rows)]
    if len(arcs):
        sweep = 4 * _arctan(arcs[:, 4])
        first = _headings(arcs) - sweep / 2
        low, high = np.minimum(first, first + sweep), np.maximum(first, first + sweep)
        for more in range(5):  # a sweep of up to a full turn passes at most five directions of the axes
            quarter = np.ceil(low / _QUARTER) + more
            passed = quarter <= np.floor(high / _QUARTER)
            share = (quarter[passed] * _QUARTER - first[passed]) / sweep[passed]
            spots.append(_points(arcs[passed], share))
    left, bottom = np.min([one.min(axis=0) for one in spots if len(one)], axis=0).tolist()
    right, top = np.max([one.max(axis=0) for one in spots if len(one)], axis=0).tolist()
    return Bounds(left, bottom, right, top)


def _headings(rows: Rows) -> Floats:
    import numpy as np

    headings: Floats = np.arctan2(rows[:, 3] - rows[:, 1], rows[:, 2] - rows[:, 0])
    return headings


def _points(arcs: Rows, share: Floats) -> Floats:
    """Return the point at a share of the length of every arc, shape (n, 2)."""
    import numpy as np

    half = 2 * _arctan(arcs[:, 4])
    reach = np.hypot(arcs[:, 2] - arcs[:, 0], arcs[:, 3] - arcs[:, 1]) * np.sin(half * share) / np.sin(half)
    toward = _headings(arcs) - half + half * share
    return np.column_stack([arcs[:, 0] + reach * np.cos(toward), arcs[:, 1] + reach * np.sin(toward)])


def points_on(pieces: Sequence[Piece], index: NDArray[np.intp], share: Floats) -> Floats:
    """Return the point and direction at a share of the length of numbered pieces, a row (x, y, dx, dy) for each.

    To the last digit what `Piece.at` returns; arcs are still computed one by one.
    """
    import numpy as np

    stations = np.empty((len(index), 4))
    own, place = np.unique(index, return_inverse=True)
    used = [pieces[number] for number in own.tolist()]
    begin = np.array([(one.x0, one.y0, *one.at(0.0)[2:], one.chord) for one in used]).reshape(-1, 5)[place]
    stations[:, :2] = begin[:, :2] + (begin[:, 4] * share)[:, np.newaxis] * begin[:, 2:4]
    stations[:, 2:] = begin[:, 2:4]
    curved = np.array([one.is_arc for one in used], dtype=bool)[place]
    for row in np.flatnonzero(curved).tolist():
        stations[row] = pieces[int(index[row])].at(float(share[row]))
    return stations


def chords(rows: Rows, tolerance: float) -> Floats:
    """Return the points of a chain, shape (n, 2), whose chords stay within `tolerance` mm of its arcs."""
    import numpy as np

    counts = _chord_counts(rows, tolerance)
    ends = np.cumsum(counts)
    row = np.repeat(np.arange(len(rows)), counts)
    share = (np.arange(1, len(row) + 1) - (ends - counts)[row]) / counts[row]
    points = rows[row, 2:4]
    inner = share < 1
    points[inner] = _points(rows[row[inner]], share[inner])
    return np.concatenate([rows[:1, :2], points])


def _chord_counts(rows: Rows, tolerance: float) -> NDArray[np.intp]:
    """Return how many chords keep within the tolerance of every row, for an arc never fewer than one per quarter."""
    import numpy as np

    counts = np.ones(len(rows), dtype=np.intp)
    chord = np.hypot(rows[:, 2] - rows[:, 0], rows[:, 3] - rows[:, 1])
    curved = are_arcs(rows) & (chord > 0)
    bulge = np.abs(rows[curved, 4])
    radius = chord[curved] * (1 + bulge * bulge) / (4 * bulge)
    # 1 - cos(step/2) = tolerance/radius, written with a sine so that a tiny ratio keeps its digits
    step = 4 * _arcsin_of_root(np.minimum(tolerance / (2 * radius), 0.5))
    counts[curved] = np.maximum(1, np.ceil(4 * _arctan(bulge) / np.minimum(step, _QUARTER) - 1e-9))
    return counts
