"""Things that must sit in a feature: whether they go in at its floor, with clearance, and how far they stand out."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from kitforge.findings import Finding
from kitforge.geometry.region import largest_disc, union
from kitforge.kit import Face, Kit, Part
from kitforge.needs import SeatNeed
from kitforge.plan import Plan
from kitforge.planning.areas import multi
from kitforge.units import format_mm
from kitforge_needs import kinds
from kitforge_needs.boxfit import direction_of, fits
from kitforge_needs.search import largest
from kitforge_needs.volumes import hollow_of
from kitforge_needs.words import Point, operation_of, place, title

if TYPE_CHECKING:
    from shapely import Polygon

NEAR_FLOOR = 0.05
"""How far above the floor a thing is measured against the walls of a rounded cutter, mm: any edge is that blunt."""

EXACT = 0.005
"""A thing that is this much too large, in mm, still goes in: rounding of the figures."""


def prove_seat(kit: Kit, plan: Plan, need: SeatNeed) -> Iterator[Finding]:
    """Yield what does not fit where, or that everything does."""
    part = kit.part(need.part)
    floors = floors_of(part, plan, need.feature)
    if not floors:
        yield _unmet(part, need, f"{title(part, need.feature)} has no floor for it.", "Name a pocket, dish or hole.")
        return
    rooms = [(floor, clearance_of(floor, need)) for floor in floors]
    tight = [(floor, room) for floor, room in rooms if room < need.clearance - EXACT]
    for floor, room in tight:
        yield _tight(part, need, floor, room)
    high = _height(part, need)
    if high:
        yield high
    if not tight and not high:
        yield _met(part, need, min(room for _, room in rooms))


def floors_of(part: Part, plan: Plan, feature: str) -> list[Polygon]:
    """Return the areas of a feature just above its floor, from left to right."""
    operation = operation_of(part, feature)
    thick, datum = part.stock.actual, operation.datum
    depth = min(operation.depth, datum.wood(thick)) - NEAR_FLOOR
    hollow = hollow_of(part, plan, (depth,))
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
    length, width = need.size
    _, _, angle = direction_of(floor)
    return max(_around(floor, length, width, turn) for turn in {0.0, 90.0, angle, angle + 90.0})


def _around(floor: Polygon, length: float, width: float, angle: float) -> float:
    """Return the clearance around a rectangle turned by an angle: what it can grow on every side."""
    less = min(length, width) / 2
    grown = largest(
        lambda size: fits(floor, length + 2 * (size - less), width + 2 * (size - less), angle),
        max(floor.bounds[2] - floor.bounds[0], floor.bounds[3] - floor.bounds[1]),
        fine=0.002,
    )
    return grown - less


def _tight(part: Part, need: SeatNeed, floor: Polygon, room: float) -> Finding:
    disc = largest_disc(floor)
    short = need.clearance - room
    if need.round:
        figures = f"at most {format_mm(2 * disc.radius)} round goes in at its floor"
    else:
        figures = f"it is {format_mm(2 * short)} too small at its floor, with the corners that the cutter leaves"
    corners = "" if need.round else " or relieve its corners (corner_relief: dog-bone)"
    return _unmet(
        part,
        need,
        f"{title(part, need.feature)} does not hold {_thing(need)} near {place((disc.x, disc.y))}: {figures}.",
        f"Make the feature {format_mm(2 * short)} wider{corners}.",
        (disc.x, disc.y),
    )


def _height(part: Part, need: SeatNeed) -> Finding | None:
    operation = operation_of(part, need.feature)
    if need.height is None or operation.through:
        return None
    deep = part.finished_depth(operation)
    out = need.height - deep
    begin = f"In {title(part, need.feature)}, {format_mm(deep)} deep, {_thing(need)}"
    if out > need.proud + EXACT:
        return _unmet(
            part,
            need,
            f"{begin} would stand out {format_mm(out)}; {format_mm(need.proud)} is allowed.",
            f"Cut it at least {format_mm(need.height - need.proud)} deep.",
        )
    if need.sunk is not None and -out > need.sunk + EXACT:
        return _unmet(
            part,
            need,
            f"{begin} would lie {format_mm(-out)} below the face; {format_mm(need.sunk)} is allowed.",
            f"Cut it at most {format_mm(need.height + need.sunk)} deep.",
        )
    return None


def _thing(need: SeatNeed) -> str:
    measures = f"{format_mm(need.size[0])} round" if need.round else " × ".join(format_mm(side) for side in need.size)
    high = f", {format_mm(need.height)} high" if need.height is not None else ""
    around = f", with {format_mm(need.clearance)} around it" if need.clearance else ""
    return f"{need.use.rstrip('.') if need.use else 'what it is for'} ({measures}{high}{around})"


def _met(part: Part, need: SeatNeed, room: float) -> Finding:
    operation = operation_of(part, need.feature)
    deep = (
        "" if need.height is None or operation.through else f" and is {format_mm(part.finished_depth(operation))} deep"
    )
    return kinds.MET.found(
        f"{title(part, need.feature)} holds {_thing(need)} with {format_mm(max(room, 0.0))} all around{deep}.",
        "",
        source=need.source, part=part.key, operation=need.feature,
    )  # fmt: skip


def _unmet(part: Part, need: SeatNeed, message: str, advice: str, at: Point | None = None) -> Finding:
    return kinds.HOLDS.found(message, advice, source=need.source, part=part.key, operation=need.feature, at=at)
