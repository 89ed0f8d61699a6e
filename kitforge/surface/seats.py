"""Features that hold a thing, as they measure at their floor: how much larger they are than what sits in them."""

from __future__ import annotations

from shapely import Polygon
from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry

from kitforge.geometry.boxfit import RectangleTrials, direction_of, middles
from kitforge.geometry.region import QUADRANT_SEGMENTS, largest_disc, union
from kitforge.geometry.search import largest
from kitforge.model.kit import Face, Part
from kitforge.model.needs import SeatNeed
from kitforge.model.plan import Plan
from kitforge.planning.areas import multi
from kitforge.surface.volumes import hollow_of

NEAR_FLOOR = 0.05
"""How far above the floor a thing is measured against the walls of a rounded cutter, mm: any edge is that blunt."""


def floors_of(part: Part, plan: Plan, feature: str) -> list[Polygon]:
    """Return the areas of a feature just above its floor, from left to right."""
    operation = part.operation(feature)
    thick, datum = part.stock.actual, operation.datum
    depth = min(operation.depth, datum.wood(thick)) - NEAR_FLOOR
    hollow = hollow_of(part, plan, (depth,), feature)
    tip = datum.from_face(depth)
    z = tip - 1e-4 if operation.face is Face.TOP else thick - tip + 1e-4
    areas = [volume.area for volume in hollow.of(feature) if volume.low < z < volume.high]
    return sorted(multi([union(areas)]).geoms, key=lambda area: area.bounds)


def clearance_of(floor: Polygon, need: SeatNeed) -> float:
    """Return the clearance in mm that the thing has all around in an area; below 0 by how much it is too large.

    A rectangle may be turned into the direction of the area, or by a quarter of a turn.
    """
    if need.round:
        return largest_disc(floor).radius - need.size[0] / 2
    return max(_around(floor, *need.size, turn) for turn in _turns(floor))


def play_in(floor: Polygon, need: SeatNeed) -> tuple[float, float]:
    """Return how far the thing can be moved in an area along x and along y, mm; turned as it has most room around."""
    where: BaseGeometry
    if need.round:
        where = floor.buffer(-need.size[0] / 2, quad_segs=QUADRANT_SEGMENTS)
    else:
        turn = max(_turns(floor), key=lambda angle: _around(floor, *need.size, angle))
        where = rotate(middles(floor, *need.size, turn), turn, origin=(0, 0))
    if where.is_empty:
        return 0.0, 0.0
    left, bottom, right, top = where.bounds
    return right - left, top - bottom


def _turns(floor: Polygon) -> list[float]:
    """Return the directions that a rectangle is tried in: x and y, those of the area, each with a quarter turn."""
    _, _, angle = direction_of(floor)
    return sorted({0.0, 90.0, angle, angle + 90.0})


def _around(floor: Polygon, length: float, width: float, angle: float) -> float:
    """Return the clearance around a rectangle turned by an angle: what it can grow on every side."""
    less, room = min(length, width) / 2, RectangleTrials(floor, angle)
    grown = largest(
        lambda size: room.fits(length + 2 * (size - less), width + 2 * (size - less)),
        max(floor.bounds[2] - floor.bounds[0], floor.bounds[3] - floor.bounds[1]),
        fine=0.002,
    )
    return grown - less
