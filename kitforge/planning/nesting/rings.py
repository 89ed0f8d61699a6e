"""Outlines as rings of whole hundredths of a millimetre, and where the corner of one may not lie because of another.

The no-fit polygon of a shape a for a shape b is the Minkowski sum of a and b mirrored in its origin: b overlaps a just
where its origin lies inside (E. Burke and others, Complete and robust no-fit polygon generation, European Journal of
Operational Research 179, 2007; recalled). The sum of the outlines alone leaves out "one inside the other", which two
more rings put in, and keeps true pockets of a as holes.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.geometry.crowded import covering

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

Point = tuple[int, int]
Ring = tuple[Point, ...]

SCALE = 100
"""Whole numbers for each millimetre."""
CHORD = 0.05
"""How far chords may stray from arcs before outlines are rounded to whole numbers, mm; they are grown by as much."""
_THINNED = (0.2, 0.5, 1.0, 2.0, 5.0, 10.0)
MOST_CORNERS = 150
"""A shape of more corners is thinned more."""
_LEAST = 10_000.0
# Holes of less than 1 mm2 are slivers between chords: one of no area once let a disc lie in another.


def grown(shape: BaseGeometry, by: float) -> list[Ring]:
    """Return the outer rings of a shape made `by` mm larger all round, thinned outwards; counter-clockwise.

    Holes are filled: nothing is laid into the opening of a part. A shape of very many corners is thinned more and
    grown by as much: sums of two rings take time and memory by the product of their corners.
    """
    rings: list[Ring] = []
    for thin in _THINNED:
        larger = covering(shape, by + CHORD + thin, 8).simplify(thin)
        rings = _outer_rings(larger)
        if sum(map(len, rings)) <= MOST_CORNERS:
            break
    return rings


def _outer_rings(shape: BaseGeometry) -> list[Ring]:
    from shapely import Polygon, get_parts, union_all

    filled = union_all([Polygon(part.exterior) for part in get_parts(shape)])
    return [ring_of(part.exterior.coords) for part in get_parts(filled)]


def bare(shape: BaseGeometry, within: BaseGeometry) -> list[Ring]:
    """Return the outer rings of a shape with no gap around it, never smaller than it is and not beyond its own box."""
    rings: list[Ring] = []
    for thin in (0.05, *_THINNED):
        rings = _outer_rings(covering(shape, thin + 0.01, 4).simplify(thin).intersection(within))
        if sum(map(len, rings)) <= MOST_CORNERS:
            break
    return rings


def ring_of(points: Sequence[tuple[float, ...]]) -> Ring:
    """Return a closed line, mm, as a ring of whole numbers, counter-clockwise, its end not repeated."""
    import pyclipper

    rounded = [(round(x * SCALE), round(y * SCALE)) for x, y, *_z in points]
    ring = [here for here, before in zip(rounded, rounded[-1:] + rounded[:-1], strict=True) if here != before]
    return tuple(ring if pyclipper.Orientation(ring) else reversed(ring))


def turned(ring: Ring, turn: int) -> Ring:
    """Return a ring turned by quarters about the origin."""
    for _quarter in range(turn // 90):
        ring = tuple((-y, x) for x, y in ring)
    return ring


def shifted(ring: Sequence[Sequence[int]], by: Point) -> list[Point]:
    """Return a ring moved."""
    dx, dy = by
    return [(x + dx, y + dy) for x, y in ring]


def mirrored(rings: Sequence[Sequence[Point]]) -> list[list[Point]]:
    """Return rings mirrored in the origin, which is half a turn."""
    return [[(-x, -y) for x, y in ring] for ring in rings]


def no_fit(a: Sequence[Ring], b: Sequence[Ring]) -> list[list[Point]]:
    """Return where the origin of shape b may not lie; outer rings and holes. Both of one ring or more."""
    import pyclipper

    clipper = pyclipper.Pyclipper()
    for still in a:
        for moving in b:
            back = [(-x, -y) for x, y in moving]
            inside = [shifted(still, back[0]), shifted(back, still[0])]
            clipper.AddPaths([*_swept(still, back), *inside], pyclipper.PT_SUBJECT, True)
    found = clipper.Execute(pyclipper.CT_UNION, pyclipper.PFT_NONZERO, pyclipper.PFT_NONZERO)
    return [[tuple(point) for point in ring] for ring in found if abs(pyclipper.Area(ring)) > _LEAST]


def _swept(still: Sequence[Point], back: Sequence[Point]) -> list[list[Point]]:
    """Return rings whose union is the sum of two outlines: the fewer and the rounder, the quicker they are united."""
    import pyclipper

    if _is_convex(back):
        if _is_convex(still):
            return [_merged(still, back)]
        return _edges_swept(still, back)
    if _is_convex(still):
        return _edges_swept(back, still)
    return [[tuple(point) for point in ring] for ring in pyclipper.MinkowskiSum(back, still, True)]


def _edges_swept(line: Sequence[Point], convex: Sequence[Point]) -> list[list[Point]]:
    """Return what a convex shape sweeps along each edge of a closed line."""
    return [
        _hull([(x + u, y + v) for x, y in (here, there) for u, v in convex])
        for here, there in zip(line, (*line[1:], line[0]), strict=True)
    ]


def _merged(one: Sequence[Point], other: Sequence[Point]) -> list[Point]:
    """Return the sum of two convex shapes: their edges in the order of their directions, from the lowest corner."""
    a, b = (_edges_from_lowest(ring) for ring in (one, other))
    x, y = (sum(values) for values in zip(_lowest(one), _lowest(other), strict=True))
    ring: list[Point] = []
    while a or b:
        ring.append((x, y))
        ahead = _across(a[0], b[0]) if a and b else (1 if a else -1)
        for edges, takes in ((a, ahead >= 0), (b, ahead <= 0)):
            if takes:
                dx, dy = edges.pop(0)
                x, y = x + dx, y + dy
    return ring


def _lowest(ring: Sequence[Point]) -> Point:
    return min(ring, key=lambda point: (point[1], point[0]))


def _edges_from_lowest(ring: Sequence[Point]) -> list[Point]:
    first = ring.index(_lowest(ring))
    row = [*ring[first:], *ring[: first + 1]]
    return [(u - x, v - y) for (x, y), (u, v) in itertools.pairwise(row)]


def _across(one: Point, other: Point) -> int:
    return one[0] * other[1] - one[1] * other[0]


def _is_convex(ring: Sequence[Point]) -> bool:
    signs = {_side(a, b, c) > 0 for a, b, c in zip(ring, (*ring[1:], ring[0]), (*ring[2:], *ring[:2]), strict=True)}
    return len(signs) == 1


def _side(a: Point, b: Point, c: Point) -> int:
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])


def _hull(points: Sequence[Point]) -> list[Point]:
    """Return the convex hull, counter-clockwise (A. Andrew's monotone chain, 1979), in whole numbers."""
    ordered = sorted(set(points))
    chains: list[list[Point]] = []
    for row in (ordered, ordered[::-1]):
        chain: list[Point] = []
        for point in row:
            while len(chain) > 1 and _side(chain[-2], chain[-1], point) <= 0:
                chain.pop()
            chain.append(point)
        chains.append(chain[:-1])
    return chains[0] + chains[1]


def inner_fit(inside: Sequence[Ring], b: Sequence[Ring]) -> list[list[Point]]:
    """Return where the origin of shape b may lie so that all of it is inside an area; outer rings and holes.

    inside: the rings of the area, holes clockwise. In a rectangle a place that is only a line or point gets a width of
    one hundredth of a millimetre on each side, so that what fits exactly is found.
    """
    import pyclipper

    left, bottom, right, top = extent(b)
    if len(inside) == 1 and _is_box(inside[0]):
        low_x, low_y, high_x, high_y = extent(inside)
        (x, u), (y, v) = _span(low_x - left, high_x - right), _span(low_y - bottom, high_y - top)
        return [[(x, y), (u, y), (u, v), (x, v)]] if x < u and y < v else []
    clipper = pyclipper.Pyclipper()
    first = b[0][0]
    clipper.AddPaths([shifted(ring, (-first[0], -first[1])) for ring in inside], pyclipper.PT_SUBJECT, True)
    for moving in b:
        back = [(-x, -y) for x, y in moving]
        for edge in inside:
            clipper.AddPaths(pyclipper.MinkowskiSum(back, edge, True), pyclipper.PT_CLIP, True)
    found = clipper.Execute(pyclipper.CT_DIFFERENCE, pyclipper.PFT_EVENODD, pyclipper.PFT_NONZERO)
    return [[tuple(point) for point in ring] for ring in found]


def _span(low: int, high: int) -> Point:
    """Return a span; one that is a point, or misses being one by rounding, gets a width."""
    return (low - 1, low + 1) if -1 <= high - low <= 0 else (low, high)


def extent(rings: Sequence[Sequence[Point]]) -> tuple[int, int, int, int]:
    """Return left, bottom, right and top of rings."""
    xs = [x for ring in rings for x, _y in ring]
    ys = [y for ring in rings for _x, y in ring]
    return min(xs), min(ys), max(xs), max(ys)


def _is_box(ring: Ring) -> bool:
    left, bottom, right, top = extent([ring])
    return set(ring) == {(left, bottom), (right, bottom), (right, top), (left, top)} and len(ring) == 4
