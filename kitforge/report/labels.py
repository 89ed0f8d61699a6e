"""Room for the numbered signs: each as near to its place as it can be without covering another one.

The signs are set one after the other. Around a place, rings of growing size are tried, outwards from the middle of the
drawing first; the first free place wins. The same places give the same signs, and no two signs ever overlap.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from kitforge.report.records import Point

_RINGS = (6.0, 8.5, 11.5, 15.0, 19.0, 24.0, 30.0, 38.0, 48.0, 60.0, 75.0, 95.0, 120.0, 150.0)
_TURNS = 16


@dataclass(frozen=True, slots=True)
class LabelArea:
    """The area on paper in which signs may lie: left, top, right, bottom in mm."""

    left: float
    top: float
    right: float
    bottom: float

    def holds(self, x: float, y: float, reach: float = 0.0) -> bool:
        """Whether a sign of this reach about (x, y) lies inside."""
        across = self.left + reach <= x <= self.right - reach
        return across and self.top + reach <= y <= self.bottom - reach

    def nearest(self, x: float, y: float) -> Point:
        """Return the point of the area nearest to (x, y)."""
        return min(max(x, self.left), self.right), min(max(y, self.top), self.bottom)


@dataclass(slots=True)
class _Table:
    """Signs that lie already, by squares of the paper."""

    gap: float
    cells: dict[tuple[int, int], list[Point]] = field(default_factory=lambda: defaultdict(list))

    def add(self, x: float, y: float) -> None:
        self.cells[self._cell(x, y)].append((x, y))

    def is_free(self, x: float, y: float) -> bool:
        column, row = self._cell(x, y)
        near = (p for i in (-1, 0, 1) for j in (-1, 0, 1) for p in self.cells.get((column + i, row + j), ()))
        return all(math.hypot(x - px, y - py) >= self.gap for px, py in near)

    def _cell(self, x: float, y: float) -> tuple[int, int]:
        return math.floor(x / self.gap), math.floor(y / self.gap)


def settle(places: Sequence[Point], frame: LabelArea, reach: float) -> list[Point | None]:
    """Return where the sign of each place goes, None where there is no room left. Places and frame in mm of paper."""
    taken = _Table(2 * reach + 0.4)
    spots = _Table(reach + 1.0)
    for x, y in dict.fromkeys((round(x, 3), round(y, 3)) for x, y in places):
        spots.add(x, y)
    settled: list[Point | None] = []
    leaders: list[tuple[Point, Point]] = []
    for place in places:
        found = _first_free(place, frame, reach, taken, spots, leaders)
        settled.append(found)
        if found:
            taken.add(*found)
            leaders.append((place, found))
    return settled


def _first_free(
    place: Point, frame: LabelArea, reach: float, taken: _Table, spots: _Table, leaders: Sequence[tuple[Point, Point]]
) -> Point | None:
    fallback: Point | None = None
    for x, y in _candidates(place, frame):
        if not frame.holds(x, y, reach) or not taken.is_free(x, y):
            continue
        fallback = fallback or (x, y)
        if spots.is_free(x, y) and not any(_cross(place, (x, y), *leader) for leader in leaders[-60:]):
            return x, y
    return fallback


def _candidates(place: Point, frame: LabelArea) -> Iterator[Point]:
    x, y = place
    outwards = math.atan2(y - (frame.top + frame.bottom) / 2, x - (frame.left + frame.right) / 2)
    start = round(outwards / (math.pi / 4)) * math.pi / 4
    for ring in _RINGS:
        for k in range(_TURNS):
            angle = start + (k + 1) // 2 * (-1) ** k * 2 * math.pi / _TURNS
            yield x + ring * math.cos(angle), y + ring * math.sin(angle)


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    if a == c:
        return False
    one, two = _turn(a, b, c), _turn(a, b, d)
    three, four = _turn(c, d, a), _turn(c, d, b)
    return one * two < 0 and three * four < 0


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
