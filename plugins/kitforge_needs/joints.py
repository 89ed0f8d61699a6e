"""Slots that take the edge of another part: the play in width and length, with the corners that the cutter leaves."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from kitforge.findings import Finding
from kitforge.geometry.corners import Side as Inward
from kitforge.geometry.path import Path
from kitforge.geometry.region import reached, union
from kitforge.geometry.relief import Style, corner_relief
from kitforge.kit import Doing, Kit, Operation, Part, Side
from kitforge.needs import JointNeed
from kitforge.plan import Plan
from kitforge.planning.areas import filled, multi
from kitforge.units import format_mm, plain_number
from kitforge_needs import kinds
from kitforge_needs.boxfit import direction_of, fits
from kitforge_needs.search import largest
from kitforge_needs.words import Point, operation_of, place, purpose, title

if TYPE_CHECKING:
    from shapely import MultiPolygon, Polygon
    from shapely.geometry.base import BaseGeometry

EXACT = 0.005
"""Play may be this much beside its limits, mm: rounding of the figures."""

_STYLES = ("dog-bone", "t-bone")
_FINE = 0.001
_LONG = 10_000.0


class Fit(NamedTuple):
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

    at: Point
    fits: tuple[Fit, ...]
    sharp: bool


def prove_joint(kit: Kit, plan: Plan, need: JointNeed) -> Iterator[Finding]:
    """Yield every slot that is too tight or too loose, or that all are well."""
    part = kit.part(need.part)
    operation = operation_of(part, need.feature)
    thick = kit.part(need.takes).thickness
    slots = _slots(part, operation, plan, need, thick)
    if not slots:
        yield _nothing(part, need)
        return
    unmet = [finding for slot in slots for finding in _judge(kit, part, operation, need, slot)]
    yield from unmet
    if not unmet:
        yield _met(kit, part, need, slots)


def _judge(kit: Kit, part: Part, operation: Operation, need: JointNeed, slot: Slot) -> Iterator[Finding]:
    least, most = need.clearance
    for fit in slot.fits:
        tight, loose = fit.play < least - EXACT, fit.play > most + EXACT
        if not (tight or loose):
            continue
        advice = f"Make the slot {format_mm(least - fit.play if tight else fit.play - most)} "
        advice += "larger." if tight else "smaller."
        if tight and slot.sharp:
            advice = "Its corners are rounded by the cutter: set 'corner_relief: dog-bone', or use a smaller cutter."
        play = f"{format_mm(fit.play)} of play" if fit.play >= 0 else f"{format_mm(-fit.play)} too little"
        room = f"takes {format_mm(fit.slot)}" if fit.slot else "has no room at all"
        yield kinds.MATES.found(
            f"{title(part, need.feature)} near {place(slot.at)} is too {'tight' if tight else 'loose'} for "
            f"'{kit.part(need.takes).title}'{purpose(need)}: its {fit.name} {room}, the part measures "
            f"{format_mm(fit.part)}, which is {play}; {_limits(need)} is asked for.",
            advice,
            source=need.source, part=part.key, operation=operation.name, at=slot.at,
        )  # fmt: skip


def _limits(need: JointNeed) -> str:
    least, most = need.clearance
    return f"{plain_number(least, 2)} to {format_mm(most)}"


def _met(kit: Kit, part: Part, need: JointNeed, slots: Sequence[Slot]) -> Finding:
    names = [fit.name for fit in slots[0].fits]
    plays = [[slot.fits[index].play for slot in slots] for index in range(len(names))]
    figures = " and ".join(f"{_span(play)} in {name}" for name, play in zip(names, plays, strict=True))
    places = f"in {len(slots)} slots" if len(slots) > 1 else f"near {place(slots[0].at)}"
    return kinds.MET.found(
        f"{title(part, need.feature)} takes '{kit.part(need.takes).title}'{purpose(need)} {places} with a play of "
        f"{figures}; {_limits(need)} is asked for.",
        "",
        source=need.source, part=part.key, operation=need.feature,
    )  # fmt: skip


def _span(plays: Sequence[float]) -> str:
    low, high = format_mm(min(plays)), format_mm(max(plays))
    return low if low == high else f"{low} to {high}"


def _nothing(part: Part, need: JointNeed) -> Finding:
    where = f" at {place(need.at)}" if need.at else ""
    return kinds.MATES.found(
        f"{title(part, need.feature)} cuts no slot{where} that could take '{need.takes}'.",
        "Put `at` into the middle of the slot." if need.at else "Name a pocket, groove or profile with closed shapes.",
        source=need.source, part=part.key, operation=need.feature, at=need.at,
    )  # fmt: skip


def _slots(part: Part, operation: Operation, plan: Plan, need: JointNeed, thick: float) -> list[Slot]:
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
    return operation.does is Doing.PROFILE and operation.side is Side.OUTSIDE


def sharp_area(operation: Operation) -> MultiPolygon:
    """Return what an operation would clear with a cutter of no width; for a cut outside its lines, what is beside."""
    area = filled(operation.shapes)
    return _all_beside(area) if _outside(operation) else area


def free_area(operation: Operation, plan: Plan, part: Part) -> MultiPolygon:
    """Return what an operation clears, with the corners that the cutter leaves and the reliefs that are asked for."""
    radius = operation.cutter.radius
    if _outside(operation):
        wood = filled(_relieved(operation, "outside"))
        return multi([reached(_all_beside(wood), radius)])
    if operation.does is Doing.POCKET or (operation.does is Doing.PROFILE and operation.side is Side.INSIDE):
        return multi([reached(filled(_relieved(operation, "inside")), radius)])
    cuts = [step.cut for step in plan.steps_of(part.key) if step.operation.name == operation.name and step.cut]
    return multi([union(cuts)])


def _relieved(operation: Operation, side: Inward) -> list[Path]:
    """Return the shapes with their corner reliefs, but for those without room for one: a finding of another check."""
    if operation.relief not in _STYLES:
        return list(operation.shapes)
    style: Style = "dog-bone" if operation.relief == "dog-bone" else "t-bone"
    found = []
    for path in operation.shapes:
        try:
            found.append(corner_relief(path, operation.cutter.radius, style, side=side))
        except ValueError:
            found.append(path)
    return found


def _all_beside(wood: MultiPolygon) -> MultiPolygon:
    from shapely import box

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
    width = largest(lambda size: fits(room, tenon, size, angle), 2 * long, _FINE)
    found = [Fit("width", width, edge)]
    if need.width is not None:
        length = largest(lambda size: fits(room, size, edge, angle), 2 * long, _FINE)
        found.append(Fit("length", length, tenon))
    middle = piece.centroid
    least = need.clearance[0] - EXACT
    sharp = fits(piece, tenon + (least if need.width is not None else 0.0), edge + least, angle)
    return Slot((middle.x, middle.y), tuple(found), bool(sharp))


def _notch(
    free: MultiPolygon, sharp: MultiPolygon, at: Point, depth: float, thick: float, radius: float
) -> Slot | None:
    """Return the slot around a point: between the two walls nearest to each other there, from its closed end up."""
    from shapely import Point as Place

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
    taken = largest(lambda size: fits(wanted, size, depth - 4 * EXACT, angle), 2 * width, _FINE)
    ideal = _between_walls(sharp, angle, width + 4 * radius, (bottom, up, depth))
    return Slot(middle, (Fit("width", taken, thick),), fits(ideal, thick, depth - 4 * EXACT, angle))


def _shortest_chord(area: Polygon, at: Point) -> tuple[Point, Point, float] | None:
    """Return the ends and the angle of the shortest line through a point from wall to wall, square to one of them."""
    chords = [(chord, angle) for angle in _normals(area, at) if (chord := _chord(area, at, angle)) is not None]
    if not chords:
        return None
    (one, other), angle = min(chords, key=lambda found: (round(math.dist(*found[0]), 6), found[1]))
    return one, other, angle


def _normals(area: Polygon, at: Point) -> list[float]:
    """Return the directions square to the edges near a point, degrees."""
    from shapely import Point as Place
    from shapely import get_coordinates

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


def _chord(area: Polygon, at: Point, angle: float) -> tuple[Point, Point] | None:
    from shapely import LineString, get_coordinates
    from shapely import Point as Place

    dx, dy = math.cos(math.radians(angle)) * _LONG, math.sin(math.radians(angle)) * _LONG
    cut = LineString([(at[0] - dx, at[1] - dy), (at[0] + dx, at[1] + dy)]).intersection(area)
    parts = cut.geoms if hasattr(cut, "geoms") else (cut,)
    spot = Place(at)
    piece = min(parts, key=lambda part: float(part.distance(spot)))
    ends = get_coordinates(piece).tolist()
    if len(ends) < 2 or piece.distance(spot) > 1e-3:
        return None
    return (ends[0][0], ends[0][1]), (ends[-1][0], ends[-1][1])


def _closed_end(area: Polygon, middle: Point, angle: float) -> tuple[Point, float]:
    """Return the nearer end of the slot, along its middle line, and the direction away from it, degrees."""
    found = _chord(area, middle, angle + 90)
    if found is None:
        return middle, angle + 90
    end, other = sorted(found, key=lambda point: math.dist(point, middle))
    return end, math.degrees(math.atan2(other[1] - end[1], other[0] - end[0]))


def _between_walls(area: BaseGeometry, angle: float, width: float, upwards: tuple[Point, float, float]) -> BaseGeometry:
    """Return the part of an area in a window over a slot: so wide, and so deep from its closed end."""
    from shapely import Point as Place
    from shapely import Polygon

    (x, y), up, depth = upwards
    ax, ay = math.cos(math.radians(angle)) * width / 2, math.sin(math.radians(angle)) * width / 2
    ux, uy = math.cos(math.radians(up)) * depth, math.sin(math.radians(up)) * depth
    corners = [(x - ax, y - ay), (x + ax, y + ay), (x + ax + ux, y + ay + uy), (x - ax + ux, y - ay + uy)]
    parts = multi([area.intersection(Polygon(corners))]).geoms
    centre = Place(x + ux / 2, y + uy / 2)
    return min(parts, key=lambda part: float(part.distance(centre)), default=multi([]))
