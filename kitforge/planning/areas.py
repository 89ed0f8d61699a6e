"""What each operation cuts: the area taken away, the area the cutter sweeps, and the way it runs.

All in the part's own coordinates, mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import (
    LineString,
    MultiPolygon,
    Polygon,
    STRtree,
    get_coordinates,
    get_parts,
    make_valid,
    symmetric_difference,
    union_all,
)
from shapely.geometry.base import BaseGeometry

from kitforge.geometry.crowded import buffered
from kitforge.geometry.region import QUADRANT_SEGMENTS as QUARTER
from kitforge.geometry.region import offset, offset_rings, polygons
from kitforge.lettering.typeface import LetteringError
from kitforge.model.identity import IdentityKey
from kitforge.model.kit import Cutter, CutterKind, Operation, OperationKind, Side
from kitforge.model.path import Path
from kitforge.model.record import record
from kitforge.model.travel import Travel, travel_along
from kitforge.planning.engraving import engraving_of, taken_at

__all__ = ["QUARTER", "CutArea", "area_of", "engraved_at", "filled", "multi", "np_points", "united", "width_at"]

# A cutter exactly as wide as the slot goes through it: a billionth of slack against rounding.
_SLACK = 1 - 1e-9


@record(eq=False)
class CutArea:
    """cut: what is taken away in plan view; swept: what the cutter passes over; plunges: entries per layer."""

    cut: MultiPolygon
    swept: MultiPolygon
    travel: Travel
    plunges: int


def filled(paths: Iterable[Path]) -> MultiPolygon:
    """Return the area of closed paths by the even-odd rule: a shape in a shape is an island; open ones are skipped."""
    closed = [path for path in paths if path.closed and _encloses(path)]
    try:
        return MultiPolygon(polygons(closed))
    except ValueError:
        return _filled_one_by_one(closed)


def _encloses(path: Path) -> bool:
    return len(path.vertices) > 2 or (len(path.vertices) == 2 and path.has_arcs)


def _filled_one_by_one(paths: Iterable[Path]) -> MultiPolygon:
    """Shapes that cross themselves or each other are faults that the checks report; here they only must not stop us."""
    area = multi(())
    for path in paths:
        area = multi([symmetric_difference(area, multi([make_valid(path.to_polygon())]))])
    return area


def multi(shapes: Iterable[BaseGeometry]) -> MultiPolygon:
    """Return the polygons of the shapes as one multi-polygon; lines and points are dropped."""
    return MultiPolygon([part for shape in shapes for part in _simple_parts(shape) if isinstance(part, Polygon)])


def shrunk(area: BaseGeometry, distance: float, quad_segs: int = 16) -> MultiPolygon:
    """Return an area made smaller by `distance` mm all around, part by part, which is quick for many parts."""
    return multi(buffered(part, -distance, quad_segs) for part in get_parts(area))


def united(areas: Iterable[BaseGeometry]) -> MultiPolygon:
    """Return the areas as one; those that touch no other are taken over as they are, which is most of them."""
    parts = list(multi(areas).geoms)
    if len(parts) < 2:
        return multi(parts)
    first, second = STRtree(parts).query(parts, predicate="intersects")
    meeting = np.zeros(len(parts), dtype=bool)
    meeting[first[first != second]] = True
    if not meeting.any():
        return multi(parts)
    alone = [part for part, meets in zip(parts, meeting, strict=True) if not meets]
    return multi([*alone, union_all([part for part, meets in zip(parts, meeting, strict=True) if meets])])


def _simple_parts(shape: BaseGeometry) -> list[BaseGeometry]:
    if hasattr(shape, "geoms"):
        return [simple for part in shape.geoms for simple in _simple_parts(part)]
    return [] if shape.is_empty else [shape]


def width_at(cutter: Cutter, depth: float) -> float:
    """Return how wide the cutter cuts at the face when its tip is `depth` mm deep, mm."""
    if cutter.kind is CutterKind.V_BIT:
        return min(cutter.diameter, cutter.tip + 2 * depth * math.tan(math.radians((cutter.angle or 90) / 2)))
    radius = _round(cutter)
    if depth >= radius:
        return cutter.diameter
    return cutter.diameter - 2 * radius + 2 * math.sqrt(depth * (2 * radius - depth))


def _round(cutter: Cutter) -> float:
    if cutter.kind is CutterKind.BALL_NOSE:
        return cutter.radius
    return min(cutter.corner_radius, cutter.radius)


def area_of(operation: Operation, cutter: Cutter, stepover: float, leave: float, *, floor: bool) -> CutArea:
    """Return what one pass of an operation cuts.

    leave: stock left on the walls for a later pass, mm; floor: whether the pass covers the floor, not only the wall.
    """
    if operation.does in (OperationKind.POCKET, OperationKind.DISH, OperationKind.FACE):
        return _cleared(operation, cutter, stepover, leave, floor=floor)
    if operation.does is OperationKind.DRILL:
        return _drilled(operation.points, width_at(cutter, operation.depth))
    if operation.does is OperationKind.ENGRAVE:
        return _engraved(operation, cutter)
    if operation.does is OperationKind.PROFILE:
        return _profiled(operation, cutter, leave)
    return _along(operation, cutter)


def _drilled(points: Sequence[tuple[float, float]], diameter: float) -> CutArea:
    holes = united(shapely.buffer(shapely.points(points), diameter / 2, quad_segs=QUARTER) if points else ())
    return CutArea(holes, holes, travel_along(()), len(points))


def _cleared(operation: Operation, cutter: Cutter, stepover: float, leave: float, *, floor: bool) -> CutArea:
    reach = width_at(cutter, operation.depth) / 2
    region = filled(operation.shapes)
    if operation.does is OperationKind.FACE:
        region = multi([offset(region, reach)])
    centres = shrunk(region, (reach + leave) * _SLACK, QUARTER)
    rings = _rounds(centres, stepover, reach) if floor else _edges(centres)
    dimples = _drilled(operation.points, 2 * reach)
    cut = multi([offset(centres, reach)])
    if operation.points:
        cut = united([cut, dimples.cut])
    travel = travel_along(np_points(line) for line in rings)
    return CutArea(cut, cut, travel, travel.starts + dimples.plunges)


def _rounds(centres: MultiPolygon, step: float, reach: float) -> list[BaseGeometry]:
    """Return the rounds from the wall inwards; a part of the floor that the step leaves out gets its own."""
    if centres.is_empty:
        return []
    # up to a step of one reach the rounds leave nothing between them, so there is nothing to look for
    return [ring.line for ring in offset_rings(centres, 0.0, step, reach if step > reach else None)]


def _edges(area: MultiPolygon) -> list[BaseGeometry]:
    return [ring for polygon in area.geoms for ring in (polygon.exterior, *polygon.interiors)]


def np_points(line: BaseGeometry) -> NDArray[np.float64]:
    """Return the points of a line, shape (n, 2)."""
    points: NDArray[np.float64] = get_coordinates(line)
    return points


def _profiled(operation: Operation, cutter: Cutter, leave: float) -> CutArea:
    lines = [line for path in operation.shapes for line in _offset(path, operation.side, cutter.radius + leave)]
    return _swept(lines, cutter.diameter)


def _offset(path: Path, side: Side, distance: float) -> list[BaseGeometry]:
    if len(path.vertices) < 2:
        return []
    if side is Side.ON or not path.closed:
        return [LineString(path.flatten())]
    away = distance if side is Side.OUTSIDE else -distance * _SLACK
    area = multi([offset(filled([path]), away)])
    return [polygon.exterior for polygon in area.geoms] if side is Side.OUTSIDE else _edges(area)


def _along(operation: Operation, cutter: Cutter) -> CutArea:
    lines: list[BaseGeometry] = [LineString(path.flatten()) for path in operation.shapes if len(path.vertices) > 1]
    if operation.does is OperationKind.CHAMFER:
        return _swept(lines, 2 * (operation.width or operation.depth))
    return _swept(lines, width_at(cutter, operation.depth))


def _engraved(operation: Operation, cutter: Cutter) -> CutArea:
    try:
        chains = engraving_of(operation.shapes, cutter, operation.greatest).chains
    except (ValueError, LetteringError):
        # open and crossing shapes are faults that the checks report; here they only must not stop us
        chains = ()
    cut, travel = engraved_at(operation, cutter), travel_along(chains)
    return CutArea(cut, cut, travel, max(travel.starts, 1))


def engraved_at(operation: Operation, cutter: Cutter, depth: float = 0.0) -> MultiPolygon:
    """Return what an engraving takes away `depth` mm below the face."""
    return multi([taken_at(_filled_by(IdentityKey(operation)), cutter, operation.greatest, depth)])


@lru_cache(maxsize=64)
def _filled_by(same: IdentityKey[Operation]) -> MultiPolygon:
    """Return the area of an operation's shapes, which is the same at every depth."""
    return filled(same.one.shapes)


def _swept(lines: Sequence[BaseGeometry], width: float) -> CutArea:
    band = united([offset(line, width / 2) for line in lines])
    travel = travel_along(np_points(line) for line in lines)
    return CutArea(band, band, travel, max(travel.starts, 1))
