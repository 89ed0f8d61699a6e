"""Passages: whether a way is open, how wide and high it is at its narrowest, and what would open it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.geometry.region import largest_disc, offset, union
from kitforge.geometry.search import FINE, LEAST, largest
from kitforge.model.findings import Finding
from kitforge.model.kit import Kit, Part
from kitforge.model.needs import End, PassageNeed
from kitforge.model.plan import Plan
from kitforge.model.units import format_mm
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


@dataclass(frozen=True, slots=True, eq=False)
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
        f"{title(part, feature)} takes no wood out of '{part.title}' that a passage could begin or end in.",
        "Name a pocket, dish, groove, hole or inside profile.",
        source=need.source, part=part.key, operation=feature,
    )  # fmt: skip


def _met(ways: Sequence[Way]) -> Finding:
    need, part = ways[0].need, ways[0].part
    widest, index = min((_widest(way, _AMPLE * need.width), index) for index, way in enumerate(ways))
    at = _narrow_place(ways[index], widest)
    more = " or more" if widest >= _AMPLE * need.width else ""
    return kinds.MET.new(
        f"The passage{purpose(need)} from {title(part, need.start)} to {_end_words(part, need.end)} is open: "
        f"{_size(need)} is asked for; {format_mm(widest)}{more} goes through where it is narrowest, near {place(at)}.",
        "",
        source=need.source, part=part.key, operation=need.start, at=at,
    )  # fmt: skip


def _size(need: PassageNeed) -> str:
    return size_of(need.width, need.height, round_body=need.round)


def _end_words(part: Part, end: str | End) -> str:
    if isinstance(end, End):
        return {
            End.OUTSIDE: "the edge of the part",
            End.TOP: "the top face",
            End.BOTTOM: "the bottom face",
        }[end]
    return title(part, end)


def _widest(way: Way, most: float) -> float:
    return largest(lambda width: way.open(width, way.need.height), most)


def _highest(way: Way) -> float:
    return largest(lambda height: way.open(way.need.width, height), way.need.height)


def _unmet(way: Way) -> Finding:
    need, part = way.need, way.part
    begin, end = title(part, need.start), _end_words(part, need.end)
    thick = way.maze.hollow.bottom - way.maze.hollow.top
    if need.height > thick:
        return _found(
            way,
            f"The passage{purpose(need)} is to be {format_mm(need.height)} high, and the part is {format_mm(thick)} "
            "thick.",
            "Use thicker stock, or ask for less.",
        )
    widest = _widest(way, need.width)
    if widest:
        at = _narrow_place(way, widest)
        return _found(
            way,
            f"The passage{purpose(need)} from {begin} to {end} is too narrow: near {place(at)} no more than "
            f"{format_mm(widest)} goes through, and {_size(need)} is asked for.",
            f"Make it at least {format_mm(need.width)} wide there, {format_mm(need.height)} deep.",
            at,
        )
    highest = _highest(way)
    if highest:
        return _found(
            way,
            f"The passage{purpose(need)} from {begin} to {end} is too low: what is {format_mm(need.width)} wide goes "
            f"through up to a height of {format_mm(highest)}, and {format_mm(need.height)} is asked for.",
            f"Cut the way {format_mm(need.height - highest)} deeper where it is shallowest, so that it is "
            f"{format_mm(need.height)} deep.",
        )
    if way.open(LEAST, LEAST):
        return _found(
            way,
            f"The passage{purpose(need)} from {begin} to {end} is both too narrow and too low for {_size(need)}.",
            f"Make it {format_mm(need.width)} wide and {format_mm(need.height)} deep all the way.",
        )
    return _closed(way, begin, end)


def _closed(way: Way, begin: str, end: str) -> Finding:
    need = way.need
    upright = need.end in (End.TOP, End.BOTTOM)
    if not upright and not way.maze.travel(way.start, need.width, need.height).rooms:
        disc = largest_disc(way.piece)
        deep = max(volume.high for volume in way.start) - min(volume.low for volume in way.start)
        return _found(
            way,
            f"No passage{purpose(need)} from {begin} to {end}: {begin} itself is {format_mm(2 * disc.radius)} wide and "
            f"{format_mm(deep)} deep, and {_size(need)} is asked for.",
            "Make it larger, and open a way from it.",
            (disc.x, disc.y),
        )
    opening = opening_for(way.kit, need, way.whole, way.start)
    shut = "it is closed on all sides" if need.end is End.OUTSIDE else "there is wood all the way between them"
    at = opening.at if opening else _middle(way.piece)
    return _found(way, f"No passage{purpose(need)} from {begin} to {end}: {shut}.", _advice(opening, need), at)


def _advice(opening: Opening | None, need: PassageNeed) -> str:
    if opening is not None:
        return f"{opening.words} would open it."
    return f"Cut a way {_size(need)} between them."


def _middle(area: Polygon) -> Point:
    point = area.representative_point()
    return round(point.x, 3), round(point.y, 3)


def _found(way: Way, message: str, advice: str, at: Point | None = None) -> Finding:
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
