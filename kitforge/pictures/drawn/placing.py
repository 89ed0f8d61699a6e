"""Where words stand in a drawing: beside what they name, over as little ink as can be, never over other words.

A plain search: every candidate gets a cost, the cheapest wins, the first of equals. Coordinates are those of the
canvas, mm of paper, y downwards.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from collections.abc import Iterable


_INK, _CROSSING, _BLOCKED = 3.0, 2.5, 1000.0
"""What a millimetre of line under the words, a line across the leader, and a place that is taken cost, mm of leader."""
_MOST_TRIED = 150
"""Free places whose ink is measured, so that a crowded drawing does not take long."""
_FOOT, _AIR, _SURE = 0.4, 0.5, 1e-6
"""So near its foot a leader crosses nothing; so much around words should be clear; so far inside a box an end of a line
is surely in it, mm."""
_EM = {" ": 0.2, ".": 0.25, ",": 0.25, "(": 0.31, ")": 0.31, "m": 0.83, "i": 0.25, "−": 0.5, "-": 0.32, "Ø": 0.66}


class Box(NamedTuple):
    """A box on the canvas."""

    left: float
    top: float
    right: float
    bottom: float

    def overlaps(self, other: Box) -> bool:
        """Whether two boxes share more than an edge."""
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )


class Leader(NamedTuple):
    """A straight line from what is named to the words."""

    x0: float
    y0: float
    x1: float
    y1: float


@dataclass(frozen=True, slots=True)
class LabelPlace:
    """A place for words: the middle of their box, the leader where one is needed, and what it costs beforehand."""

    x: float
    y: float
    leader: Leader | None = None
    cost: float = 0.0


def words_width(words: str, size: float) -> float:
    """Return how wide a line of words is, mm, within a tenth: widths of the shipped typeface, 0.5 em for most."""
    return size * sum(_EM.get(sign, 0.6 if sign.isupper() else 0.5) for sign in words)


def words_room(words: str, size: float) -> float:
    """Return how much room a line of words is given, mm: its width as it is known, and some to be sure."""
    return words_width(words, size) * 1.06


def box_around(x: float, y: float, width: float, height: float) -> Box:
    """Return the box of this size with its middle at (x, y)."""
    return Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def half_along(dx: float, dy: float, width: float, height: float) -> float:
    """Return how far the edge of a box lies from its middle in a direction of length 1, mm."""
    return min(width / 2 / max(abs(dx), 1e-9), height / 2 / max(abs(dy), 1e-9))


@dataclass(frozen=True, slots=True, eq=False)
class _Lines:
    """Straight lines, each from (x0, y0) by (dx, dy), how long they are, and the box around each of them."""

    ends: NDArray[np.float64]
    x0: NDArray[np.float64]
    y0: NDArray[np.float64]
    dx: NDArray[np.float64]
    dy: NDArray[np.float64]
    long: NDArray[np.float64]
    left: NDArray[np.float64]
    right: NDArray[np.float64]
    top: NDArray[np.float64]
    bottom: NDArray[np.float64]

    def near(self, box: Box) -> NDArray[np.intp]:
        """Return the numbers of the lines whose boxes reach the box; no other one has a piece in it."""
        beside = np.flatnonzero((self.right >= box.left) & (self.left <= box.right))
        return beside[(self.bottom[beside] >= box.top) & (self.top[beside] <= box.bottom)]


@dataclass(frozen=True, slots=True, eq=False)
class _Ends:
    """The ends of lines that have a length, from left to right."""

    x: NDArray[np.float64]
    y: NDArray[np.float64]

    def any_in(self, box: Box) -> bool:
        """Whether one is surely in a box: then some of its line is as well."""
        first, last = self.x.searchsorted((box.left + _SURE, box.right - _SURE))
        y = self.y[first:last]
        return bool(((y > box.top + _SURE) & (y < box.bottom - _SURE)).any())


def _ends_of(lines: _Lines) -> _Ends:
    long = lines.ends[lines.long > 0]
    x, y = np.concatenate([long[:, 0], long[:, 2]]), np.concatenate([long[:, 1], long[:, 3]])
    order = np.argsort(x, kind="stable")
    return _Ends(x[order], y[order])


def _lines_between(ends: NDArray[np.float64]) -> _Lines:
    """Return the lines between points, shape (n, 4)."""
    x0, y0, x1, y1 = np.ascontiguousarray(ends.T)
    dx, dy = x1 - x0, y1 - y0
    left, right, top, bottom = np.minimum(x0, x1), np.maximum(x0, x1), np.minimum(y0, y1), np.maximum(y0, y1)
    return _Lines(ends, x0, y0, dx, dy, np.hypot(dx, dy), left, right, top, bottom)


@dataclass(slots=True)
class Ground:
    """What a drawing already holds: the canvas, the lines, and the boxes of words that nothing may cover."""

    width: float
    height: float
    taken: list[Box] = field(default_factory=list)
    _lines: list[NDArray[np.float64]] = field(default_factory=list)
    _all: _Lines | None = None
    _ends: _Ends | None = None

    def add_run(self, points: NDArray[np.float64]) -> None:
        """Add a run of straight lines, points of shape (n, 2)."""
        if len(points) > 1:
            self._lines.append(np.column_stack([points[:-1], points[1:]]))
            self._all = self._ends = None

    def add_line(self, x0: float, y0: float, x1: float, y1: float) -> None:
        """Add one straight line."""
        self.add_run(np.array([(x0, y0), (x1, y1)]))

    def _segments(self) -> _Lines:
        if self._all is None:
            self._all = _lines_between(np.concatenate(self._lines) if self._lines else np.empty((0, 4)))
        return self._all

    def has_ink(self, box: Box) -> bool:
        """Whether there is any length of lines inside a box; most often an end of one tells."""
        if self._ends is None:
            self._ends = _ends_of(self._segments())
        return self._ends.any_in(box) or self.ink(box) > 0

    def ink(self, box: Box) -> float:
        """Return the length of lines inside a box, mm (Liang and Barsky's clipping, all lines near it at once)."""
        lines = self._segments()
        near = lines.near(box)
        if not len(near):
            return 0.0
        enter, leave = np.zeros(len(near)), np.ones(len(near))
        for starts, runs, low, high in (
            (lines.x0, lines.dx, box.left, box.right),
            (lines.y0, lines.dy, box.top, box.bottom),
        ):
            start, run = starts[near], runs[near]
            level = np.abs(run) < 1e-12
            safe = np.where(level, 1.0, run)
            one, two = (low - start) / safe, (high - start) / safe
            within = (start >= low) & (start <= high)
            enter = np.maximum(enter, np.where(level, np.where(within, 0.0, 2.0), np.minimum(one, two)))
            leave = np.minimum(leave, np.where(level, 1.0, np.maximum(one, two)))
        # summed with the others, which have none: the order of a sum decides its last digit, and that between equals
        inside = np.zeros(len(lines.long))
        inside[near] = np.clip(leave - enter, 0.0, 1.0) * lines.long[near]
        return float(np.sum(inside))

    def crossings(self, leader: Leader) -> int:
        """Return how many lines a leader crosses, not counting the one that it stands on."""
        lines = self._segments().ends
        dx, dy = leader.x1 - leader.x0, leader.y1 - leader.y0
        skip = min(1.0, _FOOT / max(math.hypot(dx, dy), _FOOT))
        foot = leader.x0 + skip * dx, leader.y0 + skip * dy
        ends = [dx * (lines[:, i + 1] - leader.y0) - dy * (lines[:, i] - leader.x0) for i in (0, 2)]
        ex, ey = lines[:, 2] - lines[:, 0], lines[:, 3] - lines[:, 1]
        own = [ex * (y - lines[:, 1]) - ey * (x - lines[:, 0]) for x, y in (foot, leader[2:])]
        return int(np.count_nonzero((ends[0] * ends[1] < 0) & (own[0] * own[1] < 0)))

    def is_free(self, box: Box, leader: Leader | None) -> bool:
        """Whether words and leader keep to the canvas and clear of other words."""
        left, top, right, bottom = box
        if left < 0 or top < 0 or right > self.width or bottom > self.height:
            return False
        for low_x, low_y, high_x, high_y in self.taken:  # written out: this is asked of thousands of places
            if left < high_x and low_x < right and top < high_y and low_y < bottom:
                return False
        return leader is None or not any(_through(leader, other) for other in self._beside(leader))

    def _beside(self, leader: Leader) -> list[Box]:
        """Return the boxes of words that the box around a leader reaches into; it runs through no other one."""
        x0, y0, x1, y1 = leader
        left, right = (x0, x1) if x0 < x1 else (x1, x0)
        top, bottom = (y0, y1) if y0 < y1 else (y1, y0)
        return [one for one in self.taken if left < one[2] and one[0] < right and top < one[3] and one[1] < bottom]

    def choose(self, places: Iterable[LabelPlace], width: float, height: float) -> LabelPlace | None:
        """Return the cheapest place for words of this size, None if there are no candidates. It is then taken."""
        return self.choose_first(sorted(places, key=lambda one: one.cost), width, height)

    def choose_first(self, places: Iterable[LabelPlace], width: float, height: float) -> LabelPlace | None:
        """Return what `choose` does of places of which none costs less beforehand than the one before it."""
        best, least, tried = None, math.inf, 0
        for place in places:
            if place.cost >= least or tried >= _MOST_TRIED:
                break
            box = box_around(place.x, place.y, width, height)
            free = self.is_free(box, place.leader)
            tried += free
            cost = self._cost(place, box) if free else place.cost + _BLOCKED
            if cost < least:
                best, least = place, cost
        if best is not None:
            self.take(box_around(best.x, best.y, width, height), best.leader)
        return best

    def _cost(self, place: LabelPlace, box: Box) -> float:
        around = Box(box.left - _AIR, box.top - _AIR, box.right + _AIR, box.bottom + _AIR)
        cost = place.cost + _INK * self.ink(around)
        if place.leader is not None:
            cost += _CROSSING * self.crossings(place.leader)
        return cost

    def take(self, box: Box, leader: Leader | None = None) -> None:
        """Keep later words off this box, and off the leader as far as can be."""
        self.taken.append(box)
        if leader is not None:
            self.add_line(*leader)


def _through(leader: Leader, box: Box) -> bool:
    """Whether a leader runs through a box, clipped to it (Liang and Barsky)."""
    enter, leave = 0.0, 1.0
    for start, end, low, high in (
        (leader.x0, leader.x1, box.left, box.right),
        (leader.y0, leader.y1, box.top, box.bottom),
    ):
        run = end - start
        if abs(run) < 1e-12:
            if not low < start < high:
                return False
            continue
        one, two = (low - start) / run, (high - start) / run
        enter, leave = max(enter, min(one, two)), min(leave, max(one, two))
    return leave - enter > 1e-9
