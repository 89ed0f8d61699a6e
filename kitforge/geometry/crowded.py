"""Offsets of outlines with very many points, at a cost that grows as the points do.

Every convex point of an outline becomes an arc of the offset. Where many points lie within one radius, as on a toothed
edge, most of these arcs lie on top of one another, and the cost of untangling them grows as the square of the crowd. A
disc of radius a + b is the sum of one of radius a and one of radius b (Minkowski sum), so such an outline is offset in
steps that double, and is simplified between them: after the first steps the teeth have grown together. The last bit of
the way is a step of its own, for arcs that the whole way takes back to the corner they were made from.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np
from shapely import Polygon, buffer, get_num_coordinates, get_num_interior_rings, get_parts, union_all
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

MANY = 2_000
"""An outline of fewer points is offset at once, whatever they do."""

CROWD = 8.0
"""How many points within the offset's distance, along the hull, make a crowd. Taste: from here on steps are quicker."""

CHORD = 0.0005
"""How far chords lie from the arcs of a step, and how far an outline is simplified between steps, mm."""

NOTCH = 0.02
"""How far the offset of an outline whose notches are filled may go beyond that of the outline, at each filling, mm."""

_ROUNDS = 4
_FIRST = 3.0
# The last step, mm. Corners that an offset has rounded collapse where the next one goes back just as far, the sides of
# each arc all through one point; so the last bit of the way is gone alone, when few sides are left of them.
_LAST = 0.1
_MOST_SHARE = 4096


def buffered(shape: BaseGeometry, distance: float, quad_segs: int = 16) -> BaseGeometry:
    """Return a shape grown (or, below 0, shrunk) by `distance` mm with round corners of so many chords per quarter.

    Crowded outlines are offset in steps; their arcs stay within 0.0005 mm a step of true ones, a dozen steps at most.
    """
    if not is_crowded(shape, distance):
        return shape.buffer(distance, quad_segs=quad_segs)
    parts = list(get_parts(shape))
    if len(parts) == 1:
        return _in_steps(parts[0], distance)
    return union_all([buffered(part, distance, quad_segs) for part in parts])


def covering(shape: BaseGeometry, distance: float, quad_segs: int = 16) -> BaseGeometry:
    """Return what covers a shape grown by `distance` mm, holes filled, for searches: of a crowded outline up to a tenth
    of a millimetre more, in a small part of the time; of any other just the offset."""
    if not is_crowded(shape, distance):
        return shape.buffer(distance, quad_segs=quad_segs)
    parts = [_notches_filled(part, distance) for part in get_parts(shape)]
    grown = [buffered(part.simplify(NOTCH), distance + NOTCH, quad_segs) for part in parts]
    return union_all(grown)


def _notches_filled(shape: Polygon, distance: float) -> Polygon:
    """Return a shape with notches filled that are so narrow that the offset closes them: no less, and hardly more.

    A corner that points inwards, between two that are c apart, goes: its triangle lies in the offset anyway, no point
    of it being farther than c / 2 from a side; beyond the mouth the offset gains d - sqrt(d² - c²/4) for a distance d.
    """
    widest = 2 * math.sqrt(2 * distance * NOTCH - NOTCH * NOTCH)
    ring = list(orient(shape).exterior.coords[:-1])
    for _round in range(_ROUNDS):
        less = _one_round(ring, widest)
        if len(less) == len(ring):
            break
        ring = less
    filled = Polygon(ring)
    return filled if filled.is_valid else Polygon(shape.exterior)  # something else stood in a notch


def _one_round(ring: Sequence[tuple[float, ...]], widest: float) -> list[tuple[float, ...]]:
    """Return a ring, counter-clockwise, without narrow corners that point inwards; of two side by side one stays."""
    kept, left_out = [ring[0]], False
    for here, after in itertools.pairwise([*ring[1:], ring[0]]):
        before = kept[-1]
        turn = (here[0] - before[0]) * (after[1] - here[1]) - (here[1] - before[1]) * (after[0] - here[0])
        left_out = not left_out and turn < 0 and math.dist(before[:2], after[:2]) <= widest
        if not left_out:
            kept.append(here)
    return kept


def each_buffered(shapes: Sequence[BaseGeometry], distance: float, quad_segs: int = 16) -> list[BaseGeometry]:
    """Return many shapes, each grown or shrunk as `buffered` does it; where none is crowded, all in one call."""
    if any(is_crowded(shape, distance) for shape in shapes):
        return [buffered(shape, distance, quad_segs) for shape in shapes]
    found: list[BaseGeometry] = buffer(np.array(shapes, dtype=object), distance, quad_segs=quad_segs).tolist()
    return found


def _pitch(shape: BaseGeometry) -> float:
    """Return how far apart the points of a shape are along its hull, mm."""
    return float(shape.convex_hull.length) / max(1, int(get_num_coordinates(shape)))


def is_crowded(shape: BaseGeometry, distance: float) -> bool:
    """Return whether an offset by `distance` mm puts a crowd of arcs on top of one another."""
    return int(get_num_coordinates(shape)) >= MANY and abs(distance) > CROWD * _pitch(shape)


def _in_steps(shape: BaseGeometry, distance: float) -> BaseGeometry:
    rest, step = abs(distance), max(_FIRST * _pitch(shape), abs(distance) / _MOST_SHARE)
    last = min(_LAST, rest / 4)
    while rest > 0 and not shape.is_empty:
        size = rest if rest <= 1.01 * last else rest - last if rest <= 1.5 * step else step
        rest -= size
        shape = shape.buffer(math.copysign(size, distance), quad_segs=_chords(size))
        if rest > 0:
            shape = thinned(shape, CHORD)
        step *= 2
    return shape


def thinned(shape: BaseGeometry, tolerance: float) -> BaseGeometry:
    """Return areas with fewer points, their edges within `tolerance` mm of where they were.

    Edges are thinned one by one, in a sixth of the time of looking at all of them together. Only where some come to
    cross, so that there are other parts or holes than before, or more area is won or lost than lies along the edges
    within the tolerance, they are looked at together.
    """
    found = shape.simplify(tolerance, preserve_topology=False)
    alike = _parts_and_holes(found) == _parts_and_holes(shape) and found.is_valid
    if alike and abs(found.area - shape.area) <= tolerance * shape.length:
        return found
    return shape.simplify(tolerance)


def _parts_and_holes(shape: BaseGeometry) -> tuple[int, int]:
    parts = get_parts(shape)
    return len(parts), int(get_num_interior_rings(parts).sum())


def _chords(radius: float) -> int:
    """Return how many chords a quarter of a circle needs to stay within CHORD."""
    if radius <= 2 * CHORD:
        return 4
    return max(4, math.ceil(math.pi / 4 / math.acos(1 - CHORD / radius)))
