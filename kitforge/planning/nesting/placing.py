"""Laying copies out one after the other: each where its right end comes to lie farthest left, then lowest.

Everything is in whole hundredths of a millimetre, so that no two places are equal by chance and every machine finds the
same ones.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from kitforge.model.layout import Placement
from kitforge.model.path import Path
from kitforge.model.piece import Bounds
from kitforge.planning.areas import filled
from kitforge.planning.nesting.records import Laid, LayoutTask, Room
from kitforge.planning.nesting.rings import (
    SCALE,
    Point,
    Ring,
    bare,
    extent,
    grown,
    inner_fit,
    mirrored,
    no_fit,
    ring_of,
    shifted,
    turned,
)

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

Key = tuple[str, int]
"""A shape as it may lie: the part and its turn."""
Rings = tuple[Ring, ...]
Free = list[list[Point]]

_LEAN = 4  # common practice, no source
_SIMPLE, _THIN_EDGE = 20, 0.2  # corners of an edge that is taken as it is; mm
_REST = 0.02  # mm: what rounding of rings and places may take from a gap


@dataclass
class Table:
    """All that is known of the shapes of one task; sums of two shapes are worked out once."""

    wanted: LayoutTask
    half: dict[Key, Rings] = field(default_factory=dict)
    bare: dict[Key, Rings] = field(default_factory=dict)
    sums: dict[tuple[object, Key], list[list[Point]]] = field(default_factory=dict)
    inner: dict[tuple[int, Key], Free] = field(default_factory=dict)
    areas: dict[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for copies in self.wanted.parts:
            self._take(copies.part, copies.outlines)
        for key, outline in self.wanted.fixed.items():
            if (key, 0) not in self.half:
                self._take(key, [outline])

    def _take(self, part: str, outlines: Sequence[Path]) -> None:
        """Keep a shape with half the gap around it, and bare for the edges of rooms."""
        from shapely import box

        shape, around = _union(outlines), box(*Bounds.around(path.bounds for path in outlines))
        self.areas[part] = shape.area
        larger, own = grown(shape, self.wanted.gap / 2 + _REST), bare(shape, around)
        for turn in (0, 90, 180, 270):
            self.half[part, turn] = tuple(turned(ring, turn) for ring in larger)
            self.bare[part, turn] = tuple(turned(ring, turn) for ring in own)

    def between(self, still: object, rings: Rings, moving: Key) -> list[list[Point]]:
        """Return where a shape may not lie because of something that is kept out; `still` names that."""
        if (still, moving) not in self.sums:
            self.sums[still, moving] = no_fit(rings, self.half[moving])
        return self.sums[still, moving]

    def apart(self, still: Key, moving: Key) -> list[list[Point]]:
        """Return where a shape may not lie because of another one; pairs that are turned alike are worked out once."""
        if (still, moving) not in self.sums:
            (a, turn), (b, other) = still, moving
            between = (other - turn) % 360
            if turn:
                found = [list(turned(tuple(ring), turn)) for ring in self.apart((a, 0), (b, between))]
            elif b < a:
                found = mirrored(self.apart((b, between), (a, 0)))
            else:
                found = no_fit(self.half[still], self.half[moving])
            self.sums[still, moving] = found
        return self.sums[still, moving]


def _union(outlines: Sequence[Path]) -> BaseGeometry:
    from shapely import union_all

    return union_all([filled([path]) for path in outlines])


@dataclass
class _Filling:
    """A room while it is filled. free: for each shape where its origin may lie, and how many copies that regards."""

    number: int
    room: Room
    table: Table
    inside: Rings
    outside: list[Rings]
    low: bool = False
    lying: list[tuple[Key, Point]] = field(default_factory=list)
    free: dict[Key, tuple[Free, int]] = field(default_factory=dict)

    def place_for(self, key: Key) -> Point | None:
        """Return the best place for a shape, None where there is none."""
        _left, _bottom, right, top = extent(self.table.bare[key])
        spots = ((*self.rank(x + right, y + top), x, y) for ring in self._free(key) for x, y in ring)
        best = min(spots, default=None)
        return best and (best[2], best[3])

    def rank(self, right: int, top: int) -> tuple[int, int]:
        """Return by what places are compared: the right end and then the upper one, or low places before left ones."""
        return (_LEAN * right + top, right) if self.low else (right, top)

    def _free(self, key: Key) -> Free:
        free, regarded = self.free.get(key, (None, 0))
        if free is None:
            free = self._empty(key)
        new = self.lying[regarded:]
        if new and free:
            free = _without(free, [
                shifted(ring, at)
                for still, at in new
                for ring in self.table.apart(still, key)
            ])  # fmt: skip
        self.free[key] = free, len(self.lying)
        return free

    def _empty(self, key: Key) -> Free:
        """Return where a shape may lie in the empty room."""
        if (self.number, key) not in self.table.inner:
            free = inner_fit(self.inside, self.table.bare[key])
            for index, rings in enumerate(self.outside):
                free = _without(free, self.table.between((self.number, index), rings, key)) if free else free
            self.table.inner[self.number, key] = free
        return self.table.inner[self.number, key]


def _without(free: Free, taken: Sequence[Sequence[Point]]) -> Free:
    """Return what is left of an area without others.

    Where two of their edges cross at a very flat angle, the library rounds a corner to one far outside the area (8.9 mm
    were seen): such a corner is put back to the edge that it left.
    """
    import pyclipper

    clipper = pyclipper.Pyclipper()
    clipper.AddPaths(free, pyclipper.PT_SUBJECT, True)
    if taken:
        clipper.AddPaths(taken, pyclipper.PT_CLIP, True)
    found = clipper.Execute(pyclipper.CT_DIFFERENCE, pyclipper.PFT_NONZERO, pyclipper.PFT_NONZERO)
    if not found:
        return []
    left, bottom, right, top = extent(free)
    return [[(min(max(x, left), right), min(max(y, bottom), top)) for x, y in ring] for ring in found]


@dataclass
class Placer:
    """Fills the rooms of a task with sequences of copies."""

    table: Table
    fillings: list[tuple[Rings, list[Rings]]] = field(default_factory=list)

    def __post_init__(self) -> None:
        wanted = self.table.wanted
        for room in wanted.rooms:
            self.fillings.append((_inside(room), _outside(room, wanted.gap)))

    def lay(self, sequence: Sequence[tuple[str, int]], *, low: bool = False) -> Laid:
        """Return the layout of copies (part, number) in this order, each in the first room that has a place for it.

        low: four millimetres to the left count as much as one down; else the left counts alone, then down.
        """
        rooms = [
            _Filling(number, room, self.table, *self.fillings[number], low=low)
            for number, room in enumerate(self.table.wanted.rooms)
        ]
        for filling in rooms:
            filling.lying += [
                ((place.part, place.turn), (round(place.x * SCALE), round(place.y * SCALE)))
                for place in filling.room.fixed
            ]
        placed: dict[int, list[Placement]] = {filling.number: list(filling.room.fixed) for filling in rooms}
        left_over = []
        for part, copy in sequence:
            for filling in rooms:
                found = _best(filling, part)
                if found is not None:
                    turn, (x, y) = found
                    filling.lying.append(((part, turn), (x, y)))
                    placed[filling.number].append(Placement(part, copy, x / SCALE, y / SCALE, turn))
                    break
            else:
                left_over.append((part, copy))
        rows = tuple(tuple(sorted(placed[n], key=lambda one: (one.part, one.copy))) for n in sorted(placed))
        return Laid(rows, tuple(left_over))


def _best(filling: _Filling, part: str) -> tuple[int, Point] | None:
    """Return the turn and place of a part in a room: the best place of all turns, the lower turn of equal ones."""
    found = []
    for turn in filling.room.turns:
        at = filling.place_for((part, turn))
        if at is not None:
            _left, _bottom, right, top = extent(filling.table.bare[part, turn])
            found.append((*filling.rank(at[0] + right, at[1] + top), *at, turn))
    if not found:
        return None
    _first, _second, x, y, turn = min(found)
    return turn, (x, y)


def _inside(room: Room) -> Rings:
    """Return the rings of where parts may be in a room, holes clockwise."""
    from shapely import get_parts

    rings: list[Ring] = []
    inside: BaseGeometry = room.outline.buffer(-room.margin, join_style="mitre")
    if len(room.outline.exterior.coords) > _SIMPLE:
        inside = inside.buffer(-_THIN_EDGE, quad_segs=4).simplify(_THIN_EDGE / 2)  # thinned inwards
    for part in get_parts(inside):
        rings.append(ring_of(part.exterior.coords))
        rings += [tuple(reversed(ring_of(hole.coords))) for hole in part.interiors]
    return tuple(rings)


def _outside(room: Room, gap: float) -> list[Rings]:
    """Return what is kept out of a room, grown so that shapes with half a gap around them stay far enough away."""
    return [tuple(grown(area, max(0.0, away - gap / 2) + _REST)) for area, away in room.kept_out]
