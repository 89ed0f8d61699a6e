"""What would open a passage that is closed: the shortest groove or a hole, proven to open it before it is proposed."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from shapely import LineString, MultiPoint, MultiPolygon, get_coordinates, shortest_line
from shapely.geometry.base import BaseGeometry

from kitforge.geometry.region import largest_disc, offset, union
from kitforge.model.kit import CutterKind, Face, Kit
from kitforge.model.messages import NO_ADVICE, Message, Text, mm, msg
from kitforge.model.needs import End, PassageNeed
from kitforge.model.record import record
from kitforge.planning.areas import multi
from kitforge.surface.volumes import Hollow, Volume
from kitforge_needs.free_space import SpaceMap
from kitforge_needs.words import Point, face_words, place

_BEYOND = 0.5
"""How far a proposed groove is lengthened at both ends, mm, so that rounding its figures does no harm."""

_AS_SHORT = 0.05
_FLAT = (CutterKind.STRAIGHT, CutterKind.UP_CUT, CutterKind.DOWN_CUT, CutterKind.COMPRESSION)


@record
class Opening:
    """A cut that would open a passage: from start to end (the same for a hole), its width and depth, mm."""

    start: Point
    end: Point
    width: float
    depth: float
    face: Face
    cutter: Text | None

    @property
    def at(self) -> Point:
        """The middle of it."""
        return (self.start[0] + self.end[0]) / 2, (self.start[1] + self.end[1]) / 2

    @property
    def advice(self) -> Message:
        """What it would do, in words."""
        tool = msg(", cut with {cutter},", cutter=self.cutter) if self.cutter else NO_ADVICE
        if self.start == self.end:
            return msg(
                "A hole {width} wide and {depth} deep in {face} at {at}{tool} would open it.",
                width=mm(self.width),
                depth=mm(self.depth),
                face=face_words(self.face),
                at=place(self.start),
                tool=tool,
            )
        return msg(
            "A groove {width} wide and {depth} deep in {face} from {start} to {end}{tool} would open it.",
            width=mm(self.width),
            depth=mm(self.depth),
            face=face_words(self.face),
            start=place(self.start),
            end=place(self.end),
            tool=tool,
        )


def opening_for(kit: Kit, need: PassageNeed, hollow: Hollow, start: Sequence[Volume]) -> Opening | None:
    """Return the first of the likely cuts that opens the passage, or None."""
    for opening in _likely(kit, need, hollow, start):
        more = replace(hollow, volumes=(*hollow.volumes, volume_of(opening, hollow)))
        if SpaceMap(more, need.start, need.end).travel(start, need.width, need.height).arrives:
            return opening
    return None


def volume_of(opening: Opening, hollow: Hollow) -> Volume:
    """Return what a proposed cut would take out."""
    ends = MultiPoint([opening.start]) if opening.start == opening.end else LineString([opening.start, opening.end])
    area = multi([offset(ends, opening.width / 2)])
    if opening.face is Face.TOP:
        return Volume("", area, hollow.top, hollow.top + opening.depth)
    return Volume("", area, hollow.bottom - opening.depth, hollow.bottom)


def _likely(kit: Kit, need: PassageNeed, hollow: Hollow, start: Sequence[Volume]) -> Iterator[Opening]:
    own = hollow.part.operation(need.start).face
    faces = [own, *(face for face in Face if face is not own)]
    width, cutter = _width(kit, need.width)
    thick = hollow.bottom - hollow.top
    depths = sorted({z for z in _depths(need, hollow, start) if need.height - 1e-9 <= z <= thick})
    if need.end in (End.TOP, End.BOTTOM) or _overlap(need, hollow, start):
        at = _hole_place(need, hollow, start)
        yield from (Opening(at, at, width, depth, face, cutter) for face in faces for depth in depths)
    line = _shortest(need, hollow, start)
    if line is not None:
        yield from (Opening(*line, width, depth, face, cutter) for depth in depths for face in faces)


def _width(kit: Kit, width: float) -> tuple[float, Text | None]:
    """Return the width of the cutter of the kit that cuts it in one go, and its name; else the width asked for."""
    fitting = [c for c in kit.cutters.values() if c.kind in _FLAT and width <= c.diameter + 1e-9]
    best = min(fitting, key=lambda cutter: (cutter.diameter, cutter.key), default=None)
    return (best.diameter, best.name) if best and best.diameter <= 2 * width else (width, None)


def _depths(need: PassageNeed, hollow: Hollow, start: Sequence[Volume]) -> Iterator[float]:
    yield need.height
    ends = () if isinstance(need.end, End) else hollow.of(need.end)
    for volume in (*start, *ends):
        yield from (volume.high - hollow.top, hollow.bottom - volume.low)
    yield hollow.bottom - hollow.top


def _overlap(need: PassageNeed, hollow: Hollow, start: Sequence[Volume]) -> bool:
    return not isinstance(need.end, End) and bool(_common(need, hollow, start).area > 0)


def _common(need: PassageNeed, hollow: Hollow, start: Sequence[Volume]) -> MultiPolygon:
    here = union([volume.area for volume in start])
    if isinstance(need.end, End):
        return multi([here])
    return multi([here.intersection(union([volume.area for volume in hollow.of(need.end)]))])


def _hole_place(need: PassageNeed, hollow: Hollow, start: Sequence[Volume]) -> Point:
    disc = largest_disc(max(_common(need, hollow, start).geoms, key=lambda area: area.area))
    return round(disc.x, 1), round(disc.y, 1)


def _shortest(need: PassageNeed, hollow: Hollow, start: Sequence[Volume]) -> tuple[Point, Point] | None:
    """Return the shortest straight line from where the body comes to now to where it has to come to."""
    maze = SpaceMap(hollow, need.start, need.end)
    here, there = maze.travel(start, need.width, need.height).area, maze.goal(need.width)
    if here.is_empty or there.is_empty:
        return None
    (x0, y0), (x1, y1) = _straight_out(here, there) or get_coordinates(shortest_line(here, there)).tolist()
    run = math.hypot(x1 - x0, y1 - y0)
    if run == 0:
        return None
    dx, dy = (x1 - x0) / run * _BEYOND, (y1 - y0) / run * _BEYOND
    return (round(x0 - dx, 1), round(y0 - dy, 1)), (round(x1 + dx, 1), round(y1 + dy, 1))


def _straight_out(here: BaseGeometry, there: BaseGeometry) -> list[Point] | None:
    """Return the line from the middle of where the body is, if no other way out is shorter by more than 0.05 mm."""
    line = shortest_line(here.centroid, there)
    rest = line.difference(here)
    if rest.is_empty or rest.geom_type != "LineString" or rest.length > here.distance(there) + _AS_SHORT:
        return None
    (x0, y0), (x1, y1) = get_coordinates(rest).tolist()
    return [(x0, y0), (x1, y1)]
