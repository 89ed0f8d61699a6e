"""Areas: what shapes enclose, where a round cutter reaches, and what it leaves.

Arcs become chords here: REGION_TOLERANCE for outlines, 64 segments per quarter for offsets. On an opening the two
together stay below 0.002 % of the area beside exact arcs for pockets of a few cutter diameters (see README).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

import numpy as np
from shapely import (
    LinearRing,
    LineString,
    MultiPolygon,
    Polygon,
    STRtree,
    get_parts,
    maximum_inscribed_circle,
    points,
    shortest_line,
    union_all,
)
from shapely.geometry.base import BaseGeometry
from shapely.validation import explain_validity

from kitforge.geometry.crowded import CHORD, buffered, each_buffered, is_crowded
from kitforge.model.path import Path

QUADRANT_SEGMENTS = 64
"""Chords per quarter turn of an offset; see README for what fewer cost."""

REGION_TOLERANCE = 0.001
"""Chord tolerance in mm for the outlines of areas."""

REACH_EPSILON = 0.005
"""By how many mm on the radius a cutter may be too large for a place and still count as fitting: 6.35 in 6.35."""

MAX_LEVELS = 10_000


class OffsetRing(NamedTuple):
    """One round of a cutter's centre in a pocket: which round (0 beside the wall), its offset in mm, and the line."""

    level: int
    offset: float
    line: LinearRing


class Disc(NamedTuple):
    """A circle in mm."""

    x: float
    y: float
    radius: float


class Gap(NamedTuple):
    """The distance in mm between two shapes, their numbers, and the middle of the gap."""

    distance: float
    first: int
    second: int
    at: tuple[float, float]


def polygons(paths: Sequence[Path], tolerance: float = REGION_TOLERANCE) -> list[Polygon]:
    """Return the areas that closed paths enclose by the even-odd rule: a path inside another is a hole, and so on.

    Raises ValueError, with a place in mm, for paths that cross themselves or one another or lie on one another.
    """
    shapes = [_simple_polygon(path, tolerance) for path in paths]
    if len(shapes) < 2:
        return shapes
    tree = STRtree(shapes)
    first, second = tree.query(shapes, predicate="overlaps")
    for one, other in zip(first, second, strict=True):
        x, y = _common_point(shapes[one], shapes[other])
        raise ValueError(f"two shapes cross near ({x:.2f}, {y:.2f})")
    inner, outer = tree.query(shapes, predicate="covered_by")
    pairs = inner != outer
    inner, outer = inner[pairs], outer[pairs]
    _refuse_equal(shapes, set(zip(inner.tolist(), outer.tolist(), strict=True)))
    depth = np.bincount(inner, minlength=len(shapes))
    holes: dict[int, list[Polygon]] = {index: [] for index in range(len(shapes)) if depth[index] % 2 == 0}
    for child, parent in zip(inner.tolist(), outer.tolist(), strict=True):
        if depth[child] % 2 == 1 and depth[parent] == depth[child] - 1:
            holes[parent].append(shapes[child])
    return [Polygon(shapes[index].exterior, [hole.exterior for hole in inside]) for index, inside in holes.items()]


def not_in_another(paths: Sequence[Path]) -> list[Path]:
    """Return the paths around separate areas by the even-odd rule: those that are no island in the area of another."""
    islands = {id(path) for path, deep in _nested(paths) if deep % 2}
    return [path for path in paths if id(path) not in islands]


def outermost(paths: Sequence[Path]) -> list[Path]:
    """Return the paths that lie in no other one."""
    within = {id(path) for path, deep in _nested(paths) if deep}
    return [path for path in paths if id(path) not in within]


def _nested(paths: Sequence[Path]) -> list[tuple[Path, int]]:
    """Return the paths with an area, each with in how many others it lies; none where there is one alone."""
    closed = [path for path in paths if path.closed and abs(path.area) > 0]
    if len(closed) < 2:
        return []
    inner, outer = STRtree([path.to_polygon() for path in closed]).query(
        points([path.start for path in closed]), predicate="within"
    )
    sizes = np.array([abs(path.area) for path in closed])
    depth = np.bincount(inner[sizes[inner] < sizes[outer]], minlength=len(closed))
    return list(zip(closed, depth.tolist(), strict=True))


def _simple_polygon(path: Path, tolerance: float) -> Polygon:
    polygon = path.to_polygon(tolerance)
    if not polygon.is_valid:
        raise ValueError(f"a shape is not a simple loop: {explain_validity(polygon)}")
    return polygon


def _refuse_equal(shapes: Sequence[Polygon], covered: set[tuple[int, int]]) -> None:
    for one, other in covered:
        if (other, one) in covered:
            x, y = shapes[one].exterior.coords[0]
            raise ValueError(f"two shapes lie on one another at ({x:.2f}, {y:.2f})")


def _common_point(one: Polygon, other: Polygon) -> tuple[float, float]:
    point = one.boundary.intersection(other.boundary).representative_point()
    return point.x, point.y


def union(shapes: Iterable[BaseGeometry]) -> BaseGeometry:
    """Return all areas as one."""
    return union_all(list(shapes))


def area_of(paths: Sequence[Path]) -> Polygon | MultiPolygon:
    """Return the areas that closed paths enclose as one geometry; see `polygons`."""
    parts = polygons(paths)
    return parts[0] if len(parts) == 1 else MultiPolygon(parts)


def offset(shape: BaseGeometry, distance: float) -> BaseGeometry:
    """Return the area grown (or, below 0, shrunk) by `distance` mm with round corners."""
    return buffered(shape, distance, QUADRANT_SEGMENTS)


def opened(shape: BaseGeometry, radius: float) -> BaseGeometry:
    """Return the part of an area that a disc of `radius` mm can cover without leaving the area."""
    return offset(offset(shape, -radius), radius)


def reached(shape: BaseGeometry, radius: float, epsilon: float = REACH_EPSILON) -> BaseGeometry:
    """Return the part of an area that a cutter of `radius` mm cuts.

    Only where the cutter could not go at all it may be up to `epsilon` mm too large; elsewhere `epsilon` has no effect.
    """
    centres = offset(shape, -radius)
    squeezed = offset(shape, epsilon - radius).difference(offset(centres, 4 * epsilon))
    cut = offset(centres, radius)
    if squeezed.is_empty:
        return cut
    return cut.union(offset(squeezed, radius)).intersection(shape)


def unreachable(shape: BaseGeometry, radius: float, epsilon: float = REACH_EPSILON) -> list[Polygon]:
    """Return what a cutter of `radius` mm leaves in an area, largest first, without slivers thinner than `epsilon`."""
    rest = shape.difference(reached(shape, radius, epsilon))
    parts = [part for part in get_parts(rest) if isinstance(part, Polygon)]
    return sorted(wider(parts, epsilon), key=lambda part: (-part.area, part.bounds))


def wider(areas: Sequence[Polygon], least: float) -> list[Polygon]:
    """Return the areas in which a disc of a diameter of `least` mm has room; slivers are told by their area alone."""
    smallest = math.pi * least**2 / 4
    large = [area for area in areas if area.area >= smallest]
    return [area for area, left in zip(large, each_buffered(large, -least / 2), strict=True) if not left.is_empty]


def unreachable_area(shape: BaseGeometry, radius: float, epsilon: float = REACH_EPSILON) -> float:
    """Return the area in mm² that a cutter of `radius` mm leaves; (4 - pi) radius² for a rectangle."""
    return float(sum(part.area for part in unreachable(shape, radius, epsilon)))


def largest_disc(polygon: Polygon) -> Disc:
    """Return the largest circle that fits in an area."""
    line = maximum_inscribed_circle(polygon, tolerance=1e-4)
    x, y = line.coords[0]
    return Disc(x, y, line.length)


def offset_rings(
    polygon: BaseGeometry, first_offset: float, step: float, cutter_radius: float | None = None
) -> list[OffsetRing]:
    """Return the rounds that clear a pocket: the wall's offsets at `first_offset`, then every `step` mm further in.

    With `cutter_radius` given, what a step wider than the radius leaves between two rounds gets rounds of its own.
    Raises ValueError for measures that are no sizes or need more than 10,000 rounds.
    """
    if not (first_offset >= 0 and step > 0):
        raise ValueError("the first offset must be 0 or more and the step above 0 mm")
    rings: list[OffsetRing] = []
    here, before = polygon, 0.0
    for level in range(MAX_LEVELS):
        distance = first_offset + level * step
        # of a crowded outline each round is worked out from the one before, which has lost its crowd
        crowded = is_crowded(polygon, distance)
        here = offset(here.simplify(CHORD), before - distance) if crowded else offset(polygon, -distance)
        before = distance
        if here.is_empty:
            return rings
        rings += [OffsetRing(level, distance, line) for line in _rings_of(here)]
        if cutter_radius is not None:
            missed = _missed(here, offset(polygon, -distance - step), cutter_radius)
            rings += [OffsetRing(level, distance + cutter_radius, line) for line in _rings_of(missed)]
    raise ValueError(f"a step of {step:g} mm needs more than {MAX_LEVELS} rounds")


def _rings_of(shape: BaseGeometry) -> list[LinearRing]:
    parts = [part for part in get_parts(shape) if isinstance(part, Polygon) and not part.is_empty]
    return [line for part in parts for line in (part.exterior, *part.interiors)]


def _missed(here: BaseGeometry, after: BaseGeometry, radius: float) -> BaseGeometry:
    """Return what lies further than the cutter's radius inside one round and outside the next."""
    beyond = offset(here, -radius).difference(after)
    left = beyond.difference(offset(after.boundary, radius)) if not after.is_empty else beyond
    return left.buffer(-REACH_EPSILON / 2).buffer(REACH_EPSILON / 2)


def swept(
    lines: Path | LineString | LinearRing | Sequence[Path | LineString | LinearRing], radius: float
) -> BaseGeometry:
    """Return the area that a cutter of `radius` mm sweeps with its centre on the lines."""
    if not radius > 0:
        raise ValueError(f"the radius of a cutter must be above 0 mm, not {radius:g} mm")
    several = [lines] if isinstance(lines, Path) or not isinstance(lines, Sequence) else lines
    drawn = [line_of(line) if isinstance(line, Path) else line for line in several]
    return union_all([buffered(line, radius, QUADRANT_SEGMENTS) for line in drawn])


def line_of(path: Path, tolerance: float = REGION_TOLERANCE) -> LineString:
    """Return a path as a line of chords; a closed one ends where it began."""
    return LineString(path.flatten(tolerance))


def smallest_gap(shapes: Sequence[BaseGeometry]) -> Gap | None:
    """Return the smallest distance between any two of the shapes (0 where they touch), or None for fewer than two."""
    if len(shapes) < 2:
        return None
    tree = STRtree(shapes)
    (first, second), distances = tree.query_nearest(shapes, exclusive=True, return_distance=True, all_matches=False)
    best = int(distances.argmin())
    one, other = sorted((int(first[best]), int(second[best])))
    middle = shortest_line(shapes[one], shapes[other]).interpolate(0.5, normalized=True)
    return Gap(float(distances[best]), one, other, (middle.x, middle.y))
