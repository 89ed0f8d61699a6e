"""Things that must sit in a feature: whether they go in at its floor, with clearance, and how far they stand out."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from kitforge.geometry.region import largest_disc
from kitforge.model.findings import Finding
from kitforge.model.kit import Kit, Part
from kitforge.model.messages import Message, Text, mm, msg
from kitforge.model.needs import SeatNeed
from kitforge.model.plan import Plan
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
        message = msg("{feature} has no floor for it.", feature=title(part, need.feature))
        yield _unmet(part, need, message, msg("Name a pocket, dish or hole."))
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
    short = mm(2 * (need.clearance - room))
    if need.round:
        why = msg("at most {diameter} round goes in at its floor", diameter=mm(2 * disc.radius))
        advice = msg("Make the feature {by} wider.", by=short)
    else:
        why = msg("it is {by} too small at its floor, with the corners that the cutter leaves", by=short)
        advice = msg("Make the feature {by} wider or relieve its corners (corner_relief: dog-bone).", by=short)
    message = msg(
        "{feature} does not hold {thing} near {place}: {why}.",
        feature=title(part, need.feature),
        thing=_thing(need),
        place=place((disc.x, disc.y)),
        why=why,
    )
    return _unmet(part, need, message, advice, (disc.x, disc.y))


def _height(part: Part, need: SeatNeed) -> Finding | None:
    operation = part.operation(need.feature)
    if need.height is None or operation.through:
        return None
    deep = part.finished_depth(operation)
    out = need.height - deep
    begin = msg(
        "In {feature}, {deep} deep, {thing}", feature=title(part, need.feature), deep=mm(deep), thing=_thing(need)
    )
    if out > need.proud + EXACT:
        return _unmet(
            part,
            need,
            msg(
                "{begin} would stand out {out}; {allowed} is allowed.",
                begin=begin,
                out=mm(out),
                allowed=mm(need.proud),
            ),
            msg("Cut it at least {depth} deep.", depth=mm(need.height - need.proud)),
        )
    if need.sunk is not None and -out > need.sunk + EXACT:
        return _unmet(
            part,
            need,
            msg(
                "{begin} would lie {down} below the face; {allowed} is allowed.",
                begin=begin,
                down=mm(-out),
                allowed=mm(need.sunk),
            ),
            msg("Cut it at most {depth} deep.", depth=mm(need.height + need.sunk)),
        )
    return None


def _thing(need: SeatNeed) -> Message:
    """Return what is to be held, with its measures and the room around it."""
    if need.round:
        size = msg("{diameter} round", diameter=mm(need.size[0]))
    else:
        size = msg("{length} × {width}", length=mm(need.size[0]), width=mm(need.size[1]))
    if need.height is not None:
        size = msg("{size}, {height} high", size=size, height=mm(need.height))
    if need.clearance:
        size = msg("{size}, with {clearance} around it", size=size, clearance=mm(need.clearance))
    use: Text = need.use.rstrip(".") if need.use else msg("what it is for")
    return msg("{use} ({size})", use=use, size=size)


def _met(part: Part, need: SeatNeed, room: float) -> Finding:
    operation = part.operation(need.feature)
    message = msg(
        "{feature} holds {thing} with {room} all around",
        feature=title(part, need.feature),
        thing=_thing(need),
        room=mm(max(room, 0.0)),
    )
    if need.height is not None and not operation.through:
        message = msg("{holds} and is {deep} deep", holds=message, deep=mm(part.finished_depth(operation)))
    return kinds.MET.new(msg("{holds}.", holds=message), source=need.source, part=part.key, operation=need.feature)


def _unmet(part: Part, need: SeatNeed, message: Message, advice: Message, at: Point | None = None) -> Finding:
    return kinds.HOLDS.new(message, advice, source=need.source, part=part.key, operation=need.feature, at=at)
