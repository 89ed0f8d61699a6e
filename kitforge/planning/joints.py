"""Slots that take the edge of another part, as they measure with the corners that the cutter leaves in them."""

from __future__ import annotations

import itertools
import math
from functools import lru_cache
from typing import NamedTuple

from shapely import LineString, MultiPolygon, Polygon, box, get_coordinates
from shapely import Point as Place
from shapely.geometry.base import BaseGeometry

from kitforge.geometry.boxfit import direction_of, fits, widest
from kitforge.geometry.region import reached, union
from kitforge.model.identity import IdentityKey
from kitforge.model.kit import Kit, Operation, OperationKind, Part, Side, Spot
from kitforge.model.messages import later
from kitforge.model.needs import JointNeed
from kitforge.model.plan import Plan
from kitforge.planning.areas import filled, multi

EXACT = 0.005
"""Play may be this much beside its limits, mm: rounding of the figures."""

_LONG = 10_000.0


class JointFit(NamedTuple):
    """Play of one side of a joint: what it is called, the slot's size and the part's, mm."""

    name: str
    slot: float
    part: float

    @property
    def play(self) -> float:
        """How much larger the slot is, mm; below 0: the part does not go in."""
        return self.slot - self.part


class Slot(NamedTuple):
    """One slot with its fits, and whether it would fit if its corners were sharp."""

    at: Spot
    fits: tuple[JointFit, ...]
    sharp: bool


def slots_of(kit: Kit, plan: Plan, need: JointNeed) -> list[Slot]:
    """Return the slots of a joint as they measure; none where the feature cuts no slot."""
    part, thick = kit.part(need.part), kit.part(need.takes).thickness
    operation = part.operation(need.feature)
    free, sharp = free_area(operation, plan, part), sharp_area(operation)
    if need.at is not None:
        notch = _notch(free, sharp, need.at, need.depth or 2 * thick, thick, operation.cutter.radius)
        return [notch] if notch else []
    if _outside(operation):
        return []
    wanted = sharp if not sharp.is_empty else free
    return [
        _slot(piece, free, need, thick, operation.cutter.radius)
        for piece in sorted(wanted.geoms, key=lambda area: area.bounds)
    ]


def _outside(operation: Operation) -> bool:
    return operation.does is OperationKind.PROFILE and operation.side is Side.OUTSIDE


def sharp_area(operation: Operation) -> MultiPolygon:
    """Return what an operation would clear with a cutter of no width; for a cut outside its lines, what is beside."""
    area = filled(operation.nominal)
    return _all_beside(area) if _outside(operation) else area


def free_area(operation: Operation, plan: Plan, part: Part) -> MultiPolygon:
    """Return what an operation clears, with the corners that the cutter leaves and the reliefs drawn for it."""
    inside = operation.does is OperationKind.PROFILE and operation.side is Side.INSIDE
    if _outside(operation) or inside or operation.does is OperationKind.POCKET:
        return _reached_by(IdentityKey(operation))
    cuts = [step.cut for step in plan.steps_of(part.key) if step.operation.name == operation.name and step.cut]
    return multi([union(cuts)])


@lru_cache(maxsize=64)
def _reached_by(same: IdentityKey[Operation]) -> MultiPolygon:
    """Return what the cutter of an operation reaches beside or inside its lines: for all joints in it, and a coupon."""
    operation = same.one
    wood = filled(operation.shapes)
    return multi([reached(_all_beside(wood) if _outside(operation) else wood, operation.cutter.radius)])


def _all_beside(wood: MultiPolygon) -> MultiPolygon:
    if wood.is_empty:
        return multi([])
    left, low, right, high = wood.bounds
    room = right - left + high - low
    return multi([box(left - room, low - room, right + room, high + room).difference(wood)])


def _slot(piece: Polygon, free: MultiPolygon, need: JointNeed, thick: float, radius: float) -> Slot:
    """Return one slot of an area of its own: as wide as it is all along the tenon, and as long."""
    long, _, angle = direction_of(piece)
    cut = [area for area in free.geoms if area.intersection(piece).area > piece.area / 4]
    room = union(cut) if cut else multi([])
    tenon = max(need.width, thick) if need.width is not None else max(long / 2, long - 6 * radius)
    edge = min(need.width, thick) if need.width is not None else thick
    width = widest(room, tenon, angle)
    found = [JointFit(later("width"), width, edge)]
    if need.width is not None:
        length = widest(room, edge, angle + 90)
        found.append(JointFit(later("length"), length, tenon))
    middle = piece.centroid
    least = need.clearance[0] - EXACT
    sharp = fits(piece, tenon + (least if need.width is not None else 0.0), edge + least, angle)
    return Slot((middle.x, middle.y), tuple(found), bool(sharp))


def _notch(free: MultiPolygon, sharp: MultiPolygon, at: Spot, depth: float, thick: float, radius: float) -> Slot | None:
    """Return the slot around a point: between the two walls nearest to each other there, from its closed end up."""
    spot = Place(at)
    area = next((piece for piece in free.geoms if piece.contains(spot)), None)
    if area is None:
        return None
    chord = _shortest_chord(area, at)
    if chord is None:
        return None
    (x0, y0), (x1, y1), angle = chord
    width, middle = math.hypot(x1 - x0, y1 - y0), ((x0 + x1) / 2, (y0 + y1) / 2)
    bottom, up = _closed_end(area, middle, angle)
    wanted = _between_walls(area, angle, width + 4 * radius, (bottom, up, depth))
    taken = widest(wanted, depth - 4 * EXACT, angle + 90)
    ideal = _between_walls(sharp, angle, width + 4 * radius, (bottom, up, depth))
    return Slot(middle, (JointFit(later("width"), taken, thick),), fits(ideal, thick, depth - 4 * EXACT, angle))


def _shortest_chord(area: Polygon, at: Spot) -> tuple[Spot, Spot, float] | None:
    """Return the ends and the angle of the shortest line through a point from wall to wall, square to one of them."""
    chords = [(chord, angle) for angle in _normals(area, at) if (chord := _chord(area, at, angle)) is not None]
    if not chords:
        return None
    (one, other), angle = min(chords, key=lambda found: (round(math.dist(*found[0]), 6), found[1]))
    return one, other, angle


def _normals(area: Polygon, at: Spot) -> list[float]:
    """Return the directions square to the edges near a point, degrees."""
    spot = Place(at)
    near = area.boundary.intersection(spot.buffer(4 * spot.distance(area.boundary) + 1))
    parts = near.geoms if hasattr(near, "geoms") else (near,)
    angles = set()
    for part in parts:
        points = get_coordinates(part).tolist()
        for (x0, y0), (x1, y1) in itertools.pairwise(points):
            if math.hypot(x1 - x0, y1 - y0) > 0.5:
                angles.add(round((math.degrees(math.atan2(y1 - y0, x1 - x0)) + 90) % 180, 6))
    return sorted(angles)[:360]


def _chord(area: Polygon, at: Spot, angle: float) -> tuple[Spot, Spot] | None:
    dx, dy = math.cos(math.radians(angle)) * _LONG, math.sin(math.radians(angle)) * _LONG
    cut = LineString([(at[0] - dx, at[1] - dy), (at[0] + dx, at[1] + dy)]).intersection(area)
    parts = cut.geoms if hasattr(cut, "geoms") else (cut,)
    spot = Place(at)
    piece = min(parts, key=lambda part: float(part.distance(spot)))
    ends = get_coordinates(piece).tolist()
    if len(ends) < 2 or piece.distance(spot) > 1e-3:
        return None
    return (ends[0][0], ends[0][1]), (ends[-1][0], ends[-1][1])


def _closed_end(area: Polygon, middle: Spot, angle: float) -> tuple[Spot, float]:
    """Return the nearer end of the slot, along its middle line, and the direction away from it, degrees."""
    found = _chord(area, middle, angle + 90)
    if found is None:
        return middle, angle + 90
    end, other = sorted(found, key=lambda point: math.dist(point, middle))
    return end, math.degrees(math.atan2(other[1] - end[1], other[0] - end[0]))


def _between_walls(area: BaseGeometry, angle: float, width: float, upwards: tuple[Spot, float, float]) -> BaseGeometry:
    """Return the part of an area in a window over a slot: so wide, and so deep from its closed end."""
    (x, y), up, depth = upwards
    ax, ay = math.cos(math.radians(angle)) * width / 2, math.sin(math.radians(angle)) * width / 2
    ux, uy = math.cos(math.radians(up)) * depth, math.sin(math.radians(up)) * depth
    corners = [(x - ax, y - ay), (x + ax, y + ay), (x + ax + ux, y + ay + uy), (x - ax + ux, y - ay + uy)]
    parts = multi([area.intersection(Polygon(corners))]).geoms
    centre = Place(x + ux / 2, y + uy / 2)
    return min(parts, key=lambda part: float(part.distance(centre)), default=multi([]))
