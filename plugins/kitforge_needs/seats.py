"""Things that must sit in a feature: whether they go in at its floor, with clearance, and how far they stand out."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from kitforge.geometry.region import largest_disc
from kitforge.model.findings import Finding
from kitforge.model.kit import Kit, Part
from kitforge.model.needs import SeatNeed
from kitforge.model.plan import Plan
from kitforge.model.units import format_mm
from kitforge.surface.seats import clearance_of, floors_of
from kitforge_needs import kinds
from kitforge_needs.words import Point, place, title

if TYPE_CHECKING:
    from shapely import Polygon

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
    operation = part.operation(need.feature)
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
    operation = part.operation(need.feature)
    deep = (
        "" if need.height is None or operation.through else f" and is {format_mm(part.finished_depth(operation))} deep"
    )
    return kinds.MET.new(
        f"{title(part, need.feature)} holds {_thing(need)} with {format_mm(max(room, 0.0))} all around{deep}.",
        "",
        source=need.source, part=part.key, operation=need.feature,
    )  # fmt: skip


def _unmet(part: Part, need: SeatNeed, message: str, advice: str, at: Point | None = None) -> Finding:
    return kinds.HOLDS.new(message, advice, source=need.source, part=part.key, operation=need.feature, at=at)
