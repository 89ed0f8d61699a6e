"""Passages: whether a way is open, how wide and high it is at its narrowest, and what would open it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from kitforge.geometry.region import largest_disc, offset, union
from kitforge.geometry.search import FINE, LEAST, largest
from kitforge.model.findings import Finding
from kitforge.model.kit import Kit, Part
from kitforge.model.messages import Message, Value, mm, msg
from kitforge.model.needs import End, PassageNeed
from kitforge.model.plan import Plan
from kitforge.model.record import record
from kitforge.planning.areas import multi
from kitforge.surface.volumes import Hollow, Volume, around, hollow_of
from kitforge_needs import kinds
from kitforge_needs.free_space import SpaceMap
from kitforge_needs.openings import Opening, opening_for
from kitforge_needs.words import Point, place, purpose, size_of, title

if TYPE_CHECKING:
    from shapely import Polygon


_AMPLE = 2.0
"""How many times the width asked for is looked for at most."""


@record(eq=False)
class Way:
    """One passage to be proven: from one area of the feature it begins in."""

    kit: Kit
    need: PassageNeed
    whole: Hollow
    maze: SpaceMap
    piece: Polygon
    start: tuple[Volume, ...]

    @property
    def part(self) -> Part:
        """The part the passage is in."""
        return self.maze.hollow.part

    def open(self, width: float, height: float) -> bool:
        """Return whether a body of this width and height comes to the end."""
        return self.maze.travel(self.start, width, height).arrives


def prove_passage(kit: Kit, plan: Plan, need: PassageNeed) -> Iterator[Finding]:
    """Yield a finding for each area of the feature from which there is no way, or one that says there is."""
    part = kit.part(need.part)
    hollow = hollow_of(part, plan, (need.height,))
    ways = [
        Way(kit, need, hollow, SpaceMap(around(hollow, start), need.start, need.end), piece, start)
        for piece, start in SpaceMap(hollow, need.start, need.end).starts()
    ]
    if not ways or (not isinstance(need.end, End) and not hollow.of(need.end)):
        yield _nothing_cut(part, need, need.start if not ways else str(need.end))
        return
    closed = [way for way in ways if not way.open(need.width, need.height)]
    if closed:
        yield from (_unmet(way) for way in closed)
    else:
        yield _met(ways)


def _nothing_cut(part: Part, need: PassageNeed, feature: str) -> Finding:
    return kinds.PASSAGE.new(
        msg(
            "{feature} takes no wood out of '{part}' that a passage could begin or end in.",
            feature=title(part, feature),
            part=part.title,
        ),
        msg("Name a pocket, dish, groove, hole or inside profile."),
        source=need.source,
        part=part.key,
        operation=feature,
    )


def _met(ways: Sequence[Way]) -> Finding:
    need, part = ways[0].need, ways[0].part
    widest, index = min((_widest(way, _AMPLE * need.width), index) for index, way in enumerate(ways))
    at = _narrow_place(ways[index], widest)
    through = (
        msg("{size} or more", size=mm(widest)) if widest >= _AMPLE * need.width else msg("{size}", size=mm(widest))
    )
    return kinds.MET.new(
        msg(
            "The passage{purpose} from {start} to {end} is open: {asked} is asked for; {widest} goes through where it "
            "is narrowest, near {place}.",
            purpose=purpose(need),
            start=title(part, need.start),
            end=_end_words(part, need.end),
            asked=_size(need),
            widest=through,
            place=place(at),
        ),
        source=need.source,
        part=part.key,
        operation=need.start,
        at=at,
    )


def _size(need: PassageNeed) -> Message:
    return size_of(need.width, need.height, round_body=need.round)


def _end_words(part: Part, end: str | End) -> Message:
    if isinstance(end, End):
        return {
            End.OUTSIDE: msg("the edge of the part"),
            End.TOP: msg("the top face"),
            End.BOTTOM: msg("the bottom face"),
        }[end]
    return msg("{feature}", feature=title(part, end))


def _widest(way: Way, most: float) -> float:
    return largest(lambda width: way.open(width, way.need.height), most)


def _highest(way: Way) -> float:
    return largest(lambda height: way.open(way.need.width, height), way.need.height)


def _unmet(way: Way) -> Finding:
    need = way.need
    thick = way.maze.hollow.bottom - way.maze.hollow.top
    if need.height > thick:
        return _found(
            way,
            msg(
                "The passage{purpose} is to be {height} high, and the part is {thick} thick.",
                purpose=purpose(need),
                height=mm(need.height),
                thick=mm(thick),
            ),
            msg("Use thicker stock, or ask for less."),
        )
    widest = _widest(way, need.width)
    if widest:
        return _too_narrow(way, widest)
    highest = _highest(way)
    if highest:
        return _too_low(way, highest)
    if way.open(LEAST, LEAST):
        return _found(
            way,
            msg(
                "The passage{purpose} from {start} to {end} is both too narrow and too low for {asked}.",
                **_course(way),
                asked=_size(need),
            ),
            msg("Make it {width} wide and {height} deep all the way.", width=mm(need.width), height=mm(need.height)),
        )
    return _closed(way)


def _course(way: Way) -> dict[str, Value]:
    """Return what the passage is for, where it begins and where it ends, as values of a message."""
    need, part = way.need, way.part
    return {"purpose": purpose(need), "start": title(part, need.start), "end": _end_words(part, need.end)}


def _too_narrow(way: Way, widest: float) -> Finding:
    need, at = way.need, _narrow_place(way, widest)
    return _found(
        way,
        msg(
            "The passage{purpose} from {start} to {end} is too narrow: near {place} no more than {widest} goes "
            "through, "
            "and {asked} is asked for.",
            **_course(way),
            place=place(at),
            widest=mm(widest),
            asked=_size(need),
        ),
        msg("Make it at least {width} wide there, {height} deep.", width=mm(need.width), height=mm(need.height)),
        at,
    )


def _too_low(way: Way, highest: float) -> Finding:
    need = way.need
    return _found(
        way,
        msg(
            "The passage{purpose} from {start} to {end} is too low: what is {width} wide goes through up to a height "
            "of "
            "{highest}, and {height} is asked for.",
            **_course(way),
            width=mm(need.width),
            highest=mm(highest),
            height=mm(need.height),
        ),
        msg(
            "Cut the way {by} deeper where it is shallowest, so that it is {height} deep.",
            by=mm(need.height - highest),
            height=mm(need.height),
        ),
    )


def _closed(way: Way) -> Finding:
    need = way.need
    upright = need.end in (End.TOP, End.BOTTOM)
    if not upright and not way.maze.travel(way.start, need.width, need.height).rooms:
        disc = largest_disc(way.piece)
        deep = max(volume.high for volume in way.start) - min(volume.low for volume in way.start)
        return _found(
            way,
            msg(
                "No passage{purpose} from {start} to {end}: {start} itself is {width} wide and {deep} deep, and "
                "{asked} is "
                "asked for.",
                **_course(way),
                width=mm(2 * disc.radius),
                deep=mm(deep),
                asked=_size(need),
            ),
            msg("Make it larger, and open a way from it."),
            (disc.x, disc.y),
        )
    opening = opening_for(way.kit, need, way.whole, way.start)
    at = opening.at if opening else _middle(way.piece)
    if need.end is End.OUTSIDE:
        message = msg("No passage{purpose} from {start} to {end}: it is closed on all sides.", **_course(way))
    else:
        message = msg(
            "No passage{purpose} from {start} to {end}: there is wood all the way between them.", **_course(way)
        )
    return _found(way, message, _advice(opening, need), at)


def _advice(opening: Opening | None, need: PassageNeed) -> Message:
    return opening.advice if opening is not None else msg("Cut a way {size} between them.", size=_size(need))


def _middle(area: Polygon) -> Point:
    point = area.representative_point()
    return round(point.x, 3), round(point.y, 3)


def _found(way: Way, message: Message, advice: Message, at: Point | None = None) -> Finding:
    return kinds.PASSAGE.new(
        message, advice, source=way.need.source, part=way.part.key, operation=way.need.start,
        at=at or _middle(way.piece),
    )  # fmt: skip


def _narrow_place(way: Way, widest: float) -> Point:
    """Return where a body a little too wide gets stuck: what only the narrower one reaches, nearest to the start."""
    height = way.need.height
    through = way.maze.travel(way.start, max(widest - 2 * FINE, LEAST / 2), height)
    stuck = way.maze.travel(way.start, widest + 2 * FINE, height)
    begin = stuck.area if stuck.rooms else way.piece
    everywhere = union([offset(room.area, 3 * FINE) for room in way.maze.rooms(widest + 2 * FINE, height)])
    narrow = multi([through.area.difference(everywhere)])
    if narrow.is_empty:
        return _middle(way.piece)
    nearest = min(narrow.geoms, key=lambda area: (round(area.distance(begin), 3), area.bounds))
    return _middle(nearest)
