"""Whether a body can travel through what was taken out of a part, without turning: an upright cylinder.

The cylinder is as wide as the need asks and as high. Where it can go, a strip of that width and height goes along the
level, and something round of that width up and down; no way that it finds is narrower than asked. Its top stands at a
depth z. Between the depths at which an area begins or ends, the body meets the same layers; the area common to them,
shrunk by half the body's width, is where its axis may be. Such rooms of neighbouring depths are joined where they
overlap (configuration space of a translating body: Lozano-Perez, "Spatial Planning: A Configuration Space Approach",
IEEE Transactions on Computers C-32, 1983).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import NamedTuple

from shapely import MultiPolygon, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from kitforge.geometry.region import Disc, largest_disc, offset, union
from kitforge.model.needs import End
from kitforge.model.record import record
from kitforge.planning.areas import multi
from kitforge.surface.volumes import Hollow, Volume

SLACK = 0.002
"""By how many mm on the radius and in height a way may fall short, for chords and rounding."""

_SAME = 1e-6
_QUARTER = 32
_USED_UP = 0.95
_ROUND = 0.02
_ROOM_OUTSIDE = 50.0


class Level(NamedTuple):
    """A range of depths (from high to low, mm) for the top of the body, in which it meets the same layers."""

    number: int
    high: float
    low: float
    met: frozenset[int]


@record(eq=False)
class FreeSpace:
    """Where the body's axis may be while its top is at a level."""

    level: Level
    area: Polygon


@record(eq=False)
class SpacePath:
    """Where a body comes to from its start, and whether that is the end. rooms: those that it reaches."""

    arrives: bool
    rooms: tuple[FreeSpace, ...]

    @property
    def area(self) -> BaseGeometry:
        """All places that the body's axis comes to, in plan view."""
        return union([room.area for room in self.rooms])


@dataclass
class SpaceMap:
    """The free space of a part, and from where to where a body is to go in it.

    For a passage that leaves the part, the space beside it is free too.
    """

    hollow: Hollow
    begin: str
    end: str | End
    _common: dict[frozenset[int], list[tuple[Polygon, Disc]]] = field(default_factory=dict)
    _layers: list[MultiPolygon] = field(default_factory=list)

    def __post_init__(self) -> None:
        hollow = self.hollow
        inner = {z for volume in hollow.volumes for z in (volume.low, volume.high)}
        marks = sorted({hollow.top, hollow.bottom} | {z for z in inner if hollow.top < z < hollow.bottom})
        self.marks = [z for z, after in pairwise([*marks, hollow.bottom + 1]) if after - z > _SAME]
        self.beside = _beside(hollow)
        self._layers = [self._layer(low, high) for low, high in pairwise(self.marks)]

    def _layer(self, low: float, high: float) -> MultiPolygon:
        middle = (low + high) / 2
        areas = [volume.area for volume in self.hollow.volumes if volume.low < middle < volume.high]
        if self.end is End.OUTSIDE:
            return multi([union([*areas, self.beside])])
        return multi([union(areas).intersection(self.hollow.outline)])

    def starts(self) -> Iterator[tuple[Polygon, tuple[Volume, ...]]]:
        """Yield each separate area of the feature it begins in, with the volumes in it that the end does not have."""
        hollow, feature = self.hollow, self.begin
        for piece in hollow.pieces(feature):
            inside = [
                Volume(feature, multi([volume.area.intersection(piece)]), volume.low, volume.high)
                for volume in hollow.of(feature)
            ]
            volumes = tuple(volume for volume in inside if not volume.area.is_empty)
            yield piece, volumes if isinstance(self.end, End) else self._own(volumes, self.end)

    def travel(self, start: Sequence[Volume], width: float, height: float) -> SpacePath:
        """Return where a body of a width and height comes to from the volumes it may start in, until it arrives."""
        levels = [self._at(level, width) for level in self._levels(height)]
        waiting = [room for rooms in levels for room in rooms if _in_feature(room, start, height)]
        reached, arrives = dict.fromkeys(waiting), self._arrival(width, height)
        while waiting:
            here = waiting.pop()
            if arrives(here):
                return SpacePath(True, tuple(reached))
            for room in [room for near in (-1, 1) for room in _rooms_at(levels, here.level.number + near)]:
                if room not in reached and room.area.intersects(here.area):
                    reached[room] = None
                    waiting.append(room)
        return SpacePath(False, tuple(reached))

    def rooms(self, width: float, height: float) -> list[FreeSpace]:
        """Return everywhere that a body of this size fits, whether it can come there or not."""
        return [room for level in self._levels(height) for room in self._at(level, width)]

    def _at(self, level: Level, width: float) -> list[FreeSpace]:
        less = max(width / 2 - SLACK, 0.0)
        parts = multi([_eroded(area, disc, less) for area, disc in self._free(level.met)]).geoms
        return [FreeSpace(level, part) for part in parts if isinstance(part, Polygon) and not part.is_empty]

    def _levels(self, height: float) -> list[Level]:
        """Return which layers the body meets at the depths of its top where that changes, and between each two."""
        height = max(height - SLACK, _SAME)
        last = self.hollow.bottom - height
        if last < self.hollow.top - _SAME:
            return []
        marks = sorted(z for mark in self.marks for z in (mark, mark - height) if self.hollow.top <= z <= last)
        marks = [z for z, after in pairwise([*marks, last + 1]) if after - z > _SAME]
        depths = sorted([*marks, *((a + b) / 2 for a, b in pairwise(marks))])
        levels: list[Level] = []
        for z in depths:
            met = self._met(z, height)
            if levels and levels[-1].met == met:
                levels[-1] = levels[-1]._replace(low=z)
            else:
                levels.append(Level(len(levels), z, z, met))
        return levels

    def _met(self, z: float, height: float) -> frozenset[int]:
        layers = enumerate(pairwise(self.marks))
        return frozenset(index for index, (low, high) in layers if min(high, z + height) - max(low, z) > _SAME)

    def _free(self, met: frozenset[int]) -> list[tuple[Polygon, Disc]]:
        """Return the areas common to some layers, each with the largest disc in it."""
        if met not in self._common:
            areas = [self._layers[index] for index in sorted(met)]
            common: BaseGeometry = areas[0]
            for area in areas[1:]:
                common = common.intersection(area)
            areas_of = multi([common.simplify(SLACK / 4)]).geoms
            self._common[met] = [(area, largest_disc(area)) for area in areas_of]
        return self._common[met]

    def _arrival(self, width: float, height: float) -> Callable[[FreeSpace], bool]:
        """Return what tells whether a body in a room has come to the end."""
        hollow = self.hollow
        if self.end is End.OUTSIDE:
            away = self.goal(width)
            return lambda room: bool(room.area.intersects(away))
        if self.end is End.TOP:
            return lambda room: room.level.high <= hollow.top + SLACK
        if self.end is End.BOTTOM:
            return lambda room: room.level.low + height >= hollow.bottom - 2 * SLACK
        there = self._own(hollow.of(self.end), self.begin)
        return lambda room: _in_feature(room, there, height)

    def _own(self, volumes: Sequence[Volume], other: str) -> tuple[Volume, ...]:
        """Return the volumes of a feature without what belongs to a larger one: a hole begins beyond its pocket."""
        others = self.hollow.of(other)
        larger = _plan_area(others) >= _plan_area(volumes)
        return without(volumes, others) if larger else tuple(volumes)

    def goal(self, width: float) -> BaseGeometry:
        """Return where the axis of a body is when it is wholly beside the part, or in the feature it goes to."""
        if self.end is End.OUTSIDE:
            return offset(self.beside, -max(width / 2 - SLACK, 0.0))
        if isinstance(self.end, End):
            return multi([])
        return union([volume.area for volume in self.hollow.of(self.end)])


def _beside(hollow: Hollow) -> MultiPolygon:
    left, low, right, high = hollow.outline.bounds
    room = _ROOM_OUTSIDE + max(right - left, high - low)
    return multi([box(left - room, low - room, right + room, high + room).difference(hollow.outline)])


def _eroded(area: Polygon, disc: Disc, less: float) -> BaseGeometry:
    """Return an area shrunk by `less` mm.

    What is left of a round area that is nearly used up is taken as a disc: to shrink it exactly takes a thousand times
    as long.
    """
    if disc.radius + _SAME < less:
        return multi([])
    if less > _USED_UP * disc.radius and area.area < math.pi * (disc.radius + _ROUND) ** 2:
        return Point(disc.x, disc.y).buffer(max(disc.radius - less, _SAME))
    return area.buffer(-less, quad_segs=_QUARTER)


def _rooms_at(levels: Sequence[Sequence[FreeSpace]], number: int) -> Sequence[FreeSpace]:
    return levels[number] if 0 <= number < len(levels) else ()


def _plan_area(volumes: Sequence[Volume]) -> float:
    return union([volume.area for volume in volumes]).area


def without(volumes: Sequence[Volume], others: Sequence[Volume]) -> tuple[Volume, ...]:
    """Return what is in some volumes but not in others; the volumes themselves where nothing would be left."""
    left = list(volumes)
    for other in others:
        left = [piece for volume in left for piece in _cut_off(volume, other)]
    return tuple(left) or tuple(volumes)


def _cut_off(volume: Volume, other: Volume) -> Iterator[Volume]:
    low, high = max(volume.low, other.low), min(volume.high, other.high)
    if high - low <= SLACK:
        yield volume
        return
    beside = multi([volume.area.difference(other.area)])
    common = multi([volume.area.intersection(other.area)])
    if not beside.is_empty:
        yield Volume(volume.feature, beside, volume.low, volume.high)
    for above, below in ((volume.low, low), (high, volume.high)):
        if not common.is_empty and below - above > SLACK:
            yield Volume(volume.feature, common, above, below)


def _in_feature(room: FreeSpace, volumes: Sequence[Volume], height: float) -> bool:
    """Return whether the body's axis may be in a feature while some of its height is."""
    return any(
        min(room.level.low + height, volume.high) - max(room.level.high, volume.low) > SLACK
        and room.area.intersects(volume.area)
        for volume in volumes
    )
