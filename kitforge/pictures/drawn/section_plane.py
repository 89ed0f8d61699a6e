"""Where a part is cut for its section, from the lines as drawn. Lengths mm, in the coordinates of the part.

The plane is upright and parallel to the longer or the shorter side. It is the one that crosses the most cuts of
different depth, of those the most cuts in all, of those the most shapes; then the one along the longer side, and the
nearest to the middle of the part. A cut counts as crossed where the plane meets its floor at its full depth: the flat
under the cutter, or the line and the point that a tip or a ball runs on.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from shapely import LineString, Point, prepare, union_all
from shapely.geometry.base import BaseGeometry

from kitforge.model.kit import Operation, OperationKind, Part, Side
from kitforge.pictures.drawn.features import is_depth, is_feature
from kitforge.planning.facing import covers
from kitforge.planning.removals import Removal
from kitforge.planning.sizes import follows_lines, line_width
from kitforge.planning.walls import walls_of
from kitforge.surface.cutter_shape import flat, reach_at

_CLEAR = 0.3
"""A plane keeps so far off the wall of a flat floor, where the floor is wide enough, mm."""
_DEEPER = 0.01
"""Depths that differ by less than this are one, mm."""
_NARROWEST = 0.5
"""A plane is looked for in the middle of bands at least as wide as this, mm."""
_BEYOND = 1.0

Run = tuple[float, float]


@dataclass(frozen=True, slots=True)
class CrossedDepth:
    """A cut that does not go through, and from where to where along the plane its floor lies at its full depth, mm."""

    operation: Operation
    runs: tuple[Run, ...]


@dataclass(frozen=True, slots=True)
class SectionPlane:
    """A plane at Y `at` along X, or with `along_x` false at X `at` along Y, and the depths that it crosses, mm."""

    along_x: bool
    at: float
    crossed: tuple[CrossedDepth, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class _Cut:
    """An operation: its floor at full depth left by deeper cuts, what it takes of the face, its shapes."""

    operation: Operation
    floor: BaseGeometry
    area: BaseGeometry
    shapes: Sequence[BaseGeometry]
    has_depth: bool


def section_plane(part: Part) -> SectionPlane | None:
    """Return the plane of the section of a part.

    Without depths it is the plane through the middle along the shorter side where an edge is shaped, else None.
    """
    cuts = _cuts(part)
    longer_x = part.outline.bounds.width >= part.outline.bounds.height
    best, least = None, None
    for along_x in (longer_x, not longer_x):
        middle = part.outline.bounds.centre[1 if along_x else 0]
        for at in _candidates(cuts, along_x, middle):
            plane, order = _looked_at(part, cuts, along_x, at)
            place = (*order, along_x is not longer_x, round(abs(at - middle), 3), at)
            if plane.crossed and (least is None or place < least):
                best, least = plane, place
    if best is None and any(one.does is OperationKind.CHAMFER for one in part.operations):
        return SectionPlane(not longer_x, part.outline.bounds.centre[0 if longer_x else 1])
    return best


def has_depth(operation: Operation, part: Part) -> bool:
    """Whether an operation leaves a floor in the part; a facing of a whole face makes the part thinner instead."""
    return is_depth(operation) and not covers(operation, part)


def _looked_at(part: Part, cuts: Sequence[_Cut], along_x: bool, at: float) -> tuple[SectionPlane, tuple[int, int, int]]:
    """Return a plane with what it crosses, and its place among others, the best first."""
    low, high = _ends(part, along_x)
    line = LineString([(low, at), (high, at)] if along_x else [(at, low), (at, high)])
    near = [one for one in cuts if one.has_depth and one.floor.intersects(line)]
    runs = [(one.operation, _runs(one.floor, line, along_x)) for one in near]
    found = [CrossedDepth(operation, crossed) for operation, crossed in runs if crossed]
    depths = {(one.operation.face, round(part.finished_depth(one.operation), 2)) for one in found}
    met = [one for one in cuts if one.area.intersects(line)]
    shapes = sum(shape.intersects(line) for one in met for shape in one.shapes)
    return SectionPlane(along_x, at, tuple(found)), (-len(depths), -len(met), -shapes)


def _ends(part: Part, along_x: bool) -> Run:
    box = part.outline.bounds
    low, high = (box.left, box.right) if along_x else (box.bottom, box.top)
    return low - _BEYOND, high + _BEYOND


def _runs(floor: BaseGeometry, line: LineString, along_x: bool) -> tuple[Run, ...]:
    """Return where a plane crosses a floor, the longest run first; a tip's line that it runs along is not crossed."""
    crossed, found = floor.intersection(line), []
    for one in getattr(crossed, "geoms", (crossed,)):
        if floor.area == 0 and one.length > 0:
            continue
        left, bottom, right, top = one.bounds
        found.append((left, right) if along_x else (bottom, top))
    return tuple(sorted(found, key=lambda run: (round(run[0] - run[1], 3), run[0])))


def _candidates(cuts: Sequence[_Cut], along_x: bool, middle: float) -> list[float]:
    """Return where a plane may lie: in the middle of the part, of every floor and of every band between their ends."""
    spans = []
    for one in cuts:
        for piece in getattr(one.floor, "geoms", (one.floor,)) if one.has_depth else ():
            left, bottom, right, top = piece.bounds
            spans.append((bottom, top) if along_x else (left, right))
    ends = sorted({round(end, 3) for span in spans for end in span})
    bands = [(low + high) / 2 for low, high in pairwise(ends) if high - low >= _NARROWEST]
    places = [middle, *((low + high) / 2 for low, high in spans), *bands]
    return sorted({round(place, 4) + 0.0 for place in places})


def _cuts(part: Part) -> list[_Cut]:
    walls = walls_of(part)
    own: dict[str, list[Removal]] = {}
    for removal in walls.cuts:
        own.setdefault(removal.operation, []).append(removal)
    areas = {name: union_all([one.area for one in found]) for name, found in own.items()}
    found = []
    for operation in part.operations:
        removals = own.get(operation.name, [])
        if not removals or not is_feature(operation) or covers(operation, part):
            continue
        deep = has_depth(operation, part)
        floor: BaseGeometry = Point()
        if deep:
            gone = [
                areas[name]
                for name, other in own.items()
                if name != operation.name and _is_gone(part, removals[0], other[0])
            ]
            floor = union_all(list(_floors(operation, removals))).intersection(walls.outline)
            floor = floor.difference(union_all(gone)) if gone else floor
            deep = not floor.is_empty
        prepare(floor)
        found.append(_Cut(operation, floor, areas[operation.name], [one.area for one in removals], deep))
    return found


def _is_gone(part: Part, floor: Removal, other: Removal) -> bool:
    """Whether the floor of one cut is not left where another one lies."""
    if other.face is floor.face:
        return other.depth > floor.depth + _DEEPER
    return other.depth + floor.depth >= part.stock.actual - _DEEPER


def _floors(operation: Operation, removals: Sequence[Removal]) -> Iterator[BaseGeometry]:
    """Yield where each shape of an operation has its full depth, in the order of its shapes."""
    cutter = operation.cutter
    round_off = reach_at(cutter, operation.depth) - flat(cutter)
    lines = [LineString(path.flatten()) for path in operation.shapes if len(path.vertices) > 1]
    for number, removal in enumerate(removals):
        if number < len(operation.points):
            spot = Point(operation.points[number])
            yield spot.buffer(flat(cutter) - min(_CLEAR, flat(cutter) / 2)) if flat(cutter) else spot
        elif follows_lines(operation):
            half = line_width(operation) / 2 - round_off
            line: BaseGeometry = lines[number - len(operation.points)]
            yield line.buffer(half - min(_CLEAR, half / 2)) if half > _DEEPER else line
        else:
            area = _ring(operation, removal.area).buffer(-round_off)
            inner = area.buffer(-_CLEAR)
            yield area if inner.is_empty else inner


def _ring(operation: Operation, area: BaseGeometry) -> BaseGeometry:
    """Return what the cutter runs over: of a profile a groove along its line."""
    if operation.does is OperationKind.PROFILE and operation.side is Side.INSIDE:
        return area.difference(area.buffer(-operation.cutter.diameter))
    return area
