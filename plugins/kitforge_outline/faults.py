"""What is wrong with paths as lines: pieces on one another, crossings, pieces without length.

Arcs are looked at as chords within 0.002 mm. Pieces count as lying on one another where they run within 0.01 mm of
each other, the tolerance to which drawings are chained, over more than 0.05 mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray
from shapely import STRtree, intersection, intersects, linestrings

from kitforge.model.path import Path
from kitforge.model.record import record

if TYPE_CHECKING:
    Floats = NDArray[np.float64]
    Ints = NDArray[np.intp]

CHORDS = 0.002
NEAR = 0.01
LEAST_OVERLAP = 0.05
ZERO = 1e-6
# A machine with steps of 0.01 mm cannot follow anything shorter: common practice, no source.
TINY = 0.02
_CHUNK = 500
_ENOUGH = 1000

Point = tuple[float, float]


class FaultCount(NamedTuple):
    """How often a fault occurs, the first place in mm, and its size there in mm (0 for a crossing)."""

    number: int
    at: Point
    size: float


@record
class Faults:
    """Where lines cross or lie on one another; None where they do not."""

    crossing: FaultCount | None = None
    overlap: FaultCount | None = None


class _Segments(NamedTuple):
    """All chords of some paths: ends of shape (n, 2), and the numbers of the paths and their neighbours."""

    start: Floats
    end: Floats
    path: Ints
    after: Ints


def gap_of(path: Path) -> float:
    """Return the distance in mm between the two ends of an open path."""
    return math.dist(path.start, path.end)


def short_pieces(path: Path) -> tuple[FaultCount | None, FaultCount | None]:
    """Return the pieces without length and the tiny ones, with the size of the first."""
    sized = [(piece.length if piece.chord > 0 else 0.0, piece) for piece in path.pieces()]
    zero = [(size, piece) for size, piece in sized if size <= ZERO]
    tiny = [(size, piece) for size, piece in sized if ZERO < size < TINY]
    found = [
        FaultCount(len(some), (some[0][1].x0, some[0][1].y0), some[0][0]) if some else None for some in (zero, tiny)
    ]
    return found[0], found[1]


def line_faults(paths: Sequence[Path]) -> Faults:
    """Return where paths cross or lie on themselves or one another; at most about 1000 places are counted."""
    segments = _segments(paths)
    if len(segments.start) < 2:
        return Faults()
    lines: NDArray[np.object_] = np.asarray(linestrings(np.stack([segments.start, segments.end], axis=1)))
    tree = STRtree(lines)
    crossings: list[Point] = []
    overlaps: list[tuple[Point, float]] = []
    for low in range(0, len(lines), _CHUNK):
        first, second = tree.query(lines[low : low + _CHUNK], predicate="dwithin", distance=NEAR)
        first = first + low
        pairs = first < second
        one, other = first[pairs], second[pairs]
        on_one_another, places, lengths = _overlaps(segments, one, other)
        overlaps += zip(places, lengths, strict=True)
        rest = ~on_one_another & ~_adjacent(segments, one, other)
        crossings += _crossings(lines, one[rest], other[rest])
        if len(crossings) + len(overlaps) > _ENOUGH:
            break
    return Faults(
        FaultCount(len(crossings), crossings[0], 0.0) if crossings else None,
        FaultCount(len(overlaps), overlaps[0][0], sum(length for _place, length in overlaps)) if overlaps else None,
    )


def _segments(paths: Sequence[Path]) -> _Segments:
    starts, ends, numbers, after, count = [np.empty((0, 2))], [np.empty((0, 2))], [], [], 0
    for number, path in enumerate(paths):
        points = path.flatten(CHORDS)
        moved = np.hypot(*np.diff(points, axis=0).T) > ZERO
        start, end = points[:-1][moved], points[1:][moved]
        following = np.arange(count + 1, count + len(start) + 1)
        if len(following):
            following[-1] = count if path.closed else -1
        starts.append(start)
        ends.append(end)
        numbers.append(np.full(len(start), number))
        after.append(following)
        count += len(start)
    empty = np.empty(0, dtype=np.intp)
    return _Segments(
        np.concatenate(starts), np.concatenate(ends), np.concatenate([empty, *numbers]), np.concatenate([empty, *after])
    )


def _adjacent(segments: _Segments, one: Ints, other: Ints) -> NDArray[np.bool_]:
    adjacent: NDArray[np.bool_] = (segments.after[one] == other) | (segments.after[other] == one)
    return adjacent


def _overlaps(segments: _Segments, one: Ints, other: Ints) -> tuple[NDArray[np.bool_], list[Point], list[float]]:
    """Return which pairs run on one another, and for those the places and lengths in mm."""
    origin = segments.start[one]
    along = segments.end[one] - origin
    length = np.hypot(*along.T)
    along = along / length[:, None]
    a, b = segments.start[other] - origin, segments.end[other] - origin
    a_along, b_along = (a * along).sum(axis=1), (b * along).sum(axis=1)
    a_off, b_off = (p[:, 1] * along[:, 0] - p[:, 0] * along[:, 1] for p in (a, b))
    low = np.clip(np.minimum(a_along, b_along), 0, length)
    high = np.clip(np.maximum(a_along, b_along), 0, length)
    run = b_along - a_along
    slope = np.divide(b_off - a_off, run, out=np.full_like(run, np.inf), where=np.abs(run) > ZERO)
    with np.errstate(invalid="ignore"):
        off = np.maximum(np.abs(a_off + (low - a_along) * slope), np.abs(a_off + (high - a_along) * slope))
    found = (high - low > LEAST_OVERLAP) & (off <= NEAR)
    middle = (origin + along * ((low + high) / 2)[:, None])[found]
    return found, [(float(x), float(y)) for x, y in middle], (high - low)[found].tolist()


def _crossings(lines: NDArray[np.object_], one: Ints, other: Ints) -> list[Point]:
    meet = intersects(lines[one], lines[other])
    places = intersection(lines[one][meet], lines[other][meet])
    return [(place.centroid.x, place.centroid.y) for place in places]
