"""Whether a body can travel through what was taken out of a part, without turning: an upright cylinder.

The cylinder is as wide as the need asks and as high. Where it can go, a strip of that width and height goes along the
level, and something round of that width up and down; no way that it finds is narrower than asked. Its top stands at a
depth z. Between the depths at which an area begins or ends, the body meets the same layers; the area common to them,
shrunk by half the body's width, is where its axis may be. Such rooms of neighbouring depths are joined where they
overlap (configuration space of a translating body: Lozano-Perez, "Spatial Planning: A Configuration Space Approach",
IEEE Transactions on Computers C-32, 1983).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING

from kitforge.geometry.region import offset, union
from kitforge.needs import End
from kitforge.planning.areas import multi
from kitforge_needs.volumes import Hollow, Volume

if TYPE_CHECKING:
    from shapely import MultiPolygon, Polygon
    from shapely.geometry.base import BaseGeometry

SLACK = 0.002
"""By how many mm on the radius and in height a way may fall short, for chords and rounding."""

_SAME = 1e-6
_ROOM_OUTSIDE = 50.0


@dataclass(frozen=True, slots=True, eq=False)
class Room:
    """Where the body's axis may be while its top is at the depth z."""

    level: int
    z: float
    area: Polygon


@dataclass(frozen=True, slots=True, eq=False)
class Journey:
    """Where a body comes to from its start, and whether that is the end. rooms: those that it reaches."""

    arrives: bool
    rooms: tuple[Room, ...]

    @property
    def area(self) -> BaseGeometry:
        """All places that the body's axis comes to, in plan view."""
        return union([room.area for room in self.rooms])


@dataclass
class Maze:
    """The free space of a part: for a passage that leaves it, the space beside it is part of that."""

    hollow: Hollow
    end: str | End
    _common: dict[frozenset[int], MultiPolygon] = field(default_factory=dict)
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

    def travel(self, start: Sequence[Volume], width: float, height: float) -> Journey:
        """Return where a body of a width and height comes to from the volumes it may start in."""
        rooms = self.rooms(width, height)
        waiting = [room for room in rooms if _in_feature(room, start, height)]
        reached = dict.fromkeys(waiting)
        levels: dict[int, list[Room]] = {}
        for room in rooms:
            levels.setdefault(room.level, []).append(room)
        while waiting:
            here = waiting.pop()
            for room in (*levels.get(here.level - 1, ()), *levels.get(here.level + 1, ())):
                if room not in reached and room.area.intersects(here.area):
                    reached[room] = None
                    waiting.append(room)
        return Journey(self._arrives(list(reached), width, height), tuple(reached))

    def rooms(self, width: float, height: float) -> list[Room]:
        """Return everywhere that a body of this size fits, whether it can come there or not."""
        from shapely import Polygon

        height = max(height - SLACK, _SAME)
        found = []
        for level, z in enumerate(self._levels(height)):
            area = offset(self._free(z, height), -max(width / 2 - SLACK, 0.0))
            parts = area.geoms if hasattr(area, "geoms") else (area,)
            found += [Room(level, z, part) for part in parts if isinstance(part, Polygon) and not part.is_empty]
        return found

    def _levels(self, height: float) -> list[float]:
        """Return the depths of the body's top at which the layers it meets change, and one between each two of them."""
        last = self.hollow.bottom - height
        if last < self.hollow.top - _SAME:
            return []
        marks = sorted(z for mark in self.marks for z in (mark, mark - height) if self.hollow.top <= z <= last)
        marks = [z for z, after in pairwise([*marks, last + 1]) if after - z > _SAME]
        return sorted([*marks, *((a + b) / 2 for a, b in pairwise(marks))])

    def _free(self, z: float, height: float) -> MultiPolygon:
        met = frozenset(
            index
            for index, (low, high) in enumerate(pairwise(self.marks))
            if min(high, z + height) - max(low, z) > _SAME
        )
        if met not in self._common:
            areas = [self._layers[index] for index in sorted(met)]
            common: BaseGeometry = areas[0]
            for area in areas[1:]:
                common = common.intersection(area)
            self._common[met] = multi([common])
        return self._common[met]

    def _arrives(self, rooms: Sequence[Room], width: float, height: float) -> bool:
        if self.end is End.OUTSIDE:
            away = self.goal(width)
            return any(room.area.intersects(away) for room in rooms)
        if self.end is End.TOP:
            return any(room.z <= self.hollow.top + SLACK for room in rooms)
        if self.end is End.BOTTOM:
            return any(room.z + height >= self.hollow.bottom - 2 * SLACK for room in rooms)
        there = self.hollow.of(self.end)
        return any(_in_feature(room, there, height) for room in rooms)

    def goal(self, width: float) -> BaseGeometry:
        """Return where the axis of a body is when it is wholly beside the part, or in the feature it goes to."""
        if self.end is End.OUTSIDE:
            return offset(self.beside, -max(width / 2 - SLACK, 0.0))
        if isinstance(self.end, End):
            return multi([])
        return union([volume.area for volume in self.hollow.of(self.end)])


def _beside(hollow: Hollow) -> MultiPolygon:
    from shapely import box

    left, low, right, high = hollow.outline.bounds
    room = _ROOM_OUTSIDE + max(right - left, high - low)
    return multi([box(left - room, low - room, right + room, high + room).difference(hollow.outline)])


def _in_feature(room: Room, volumes: Sequence[Volume], height: float) -> bool:
    """Return whether the body's axis may be in a feature while some of its height is."""
    return any(
        min(room.z + height, volume.high) - max(room.z, volume.low) > SLACK and room.area.intersects(volume.area)
        for volume in volumes
    )


def starts(hollow: Hollow, feature: str) -> Iterator[tuple[Polygon, tuple[Volume, ...]]]:
    """Yield each separate area of a feature with the volumes in it."""
    for piece in hollow.pieces(feature):
        inside = [
            Volume(feature, multi([volume.area.intersection(piece)]), volume.low, volume.high)
            for volume in hollow.of(feature)
        ]
        yield piece, tuple(volume for volume in inside if not volume.area.is_empty)
