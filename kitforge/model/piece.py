"""One piece of a path: a straight line or a true arc between two points, evaluated in closed form.

With the sweep s = 4 atan(bulge) and the chord c, the radius is c / (2 sin(s/2)) and a point at the share u of the arc
lies at chord length c sin(s u/2) / sin(s/2) from the start. Written this way nothing blows up as the bulge goes to 0.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterable

    import numpy as np
    from numpy.typing import NDArray

TOLERANCE = 0.01
"""Largest distance in mm between an arc and the chords that stand for it, unless a caller says otherwise."""

_STRAIGHT = 1e-12
_SMALL_SWEEP = 0.05


class Bounds(NamedTuple):
    """A box in mm: left, bottom, right, top."""

    left: float
    bottom: float
    right: float
    top: float

    @classmethod
    def around(cls, boxes: Iterable[Bounds]) -> Bounds:
        """Return the box around boxes. Raises ValueError for none."""
        left, bottom, right, top = zip(*boxes, strict=True)
        return cls(min(left), min(bottom), max(right), max(top))

    @property
    def width(self) -> float:
        """Extent along x in mm."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Extent along y in mm."""
        return self.top - self.bottom

    @property
    def centre(self) -> tuple[float, float]:
        """Middle of the box in mm."""
        return (self.left + self.right) / 2, (self.bottom + self.top) / 2


class PathPoint(NamedTuple):
    """A point on a path in mm and the unit direction of travel there."""

    x: float
    y: float
    dx: float
    dy: float


class Piece(NamedTuple):
    """A line (bulge 0) or an arc from (x0, y0) to (x1, y1), in mm."""

    x0: float
    y0: float
    x1: float
    y1: float
    bulge: float = 0.0

    @property
    def is_arc(self) -> bool:
        """Whether the piece is curved."""
        return abs(self.bulge) > _STRAIGHT

    @property
    def chord(self) -> float:
        """Straight distance between the two ends in mm."""
        return math.hypot(self.x1 - self.x0, self.y1 - self.y0)

    @property
    def sweep(self) -> float:
        """Included angle in radians, positive counter-clockwise, 0 for a line."""
        return 4 * math.atan(self.bulge) if self.is_arc else 0.0

    @property
    def radius(self) -> float:
        """Radius in mm; infinite for a line."""
        if not self.is_arc:
            return math.inf
        return self.chord * (1 + self.bulge * self.bulge) / (4 * abs(self.bulge))

    @property
    def centre(self) -> tuple[float, float]:
        """Centre of an arc in mm. Raises ValueError for a line."""
        if not self.is_arc:
            raise ValueError("a straight line has no centre")
        factor = (1 - self.bulge * self.bulge) / (4 * self.bulge)
        middle_x, middle_y = (self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2
        return middle_x - (self.y1 - self.y0) * factor, middle_y + (self.x1 - self.x0) * factor

    @property
    def start_angle(self) -> float:
        """Angle in degrees from the centre to the start, in (-180, 180]."""
        cx, cy = self.centre
        return math.degrees(math.atan2(self.y0 - cy, self.x0 - cx))

    @property
    def end_angle(self) -> float:
        """Angle in degrees from the centre to the end, in (-180, 180]."""
        cx, cy = self.centre
        return math.degrees(math.atan2(self.y1 - cy, self.x1 - cx))

    @property
    def length(self) -> float:
        """Exact length in mm."""
        half = self.sweep / 2
        return self.chord * (half / math.sin(half) if half else 1.0)

    @property
    def segment_area(self) -> float:
        """Signed area in mm² between the chord and the arc, positive counter-clockwise."""
        sweep = self.sweep
        if not sweep:
            return 0.0
        return self.chord**2 / 8 * _sweep_less_sine(sweep) / math.sin(sweep / 2) ** 2

    @property
    def bounds(self) -> Bounds:
        """Exact box, with the extremes of an arc: where it runs along an axis. Stable for nearly straight arcs."""
        if not self.is_arc:
            return Bounds(min(self.x0, self.x1), min(self.y0, self.y1), max(self.x0, self.x1), max(self.y0, self.y1))
        spots = [(self.x0, self.y0), (self.x1, self.y1)]
        spots += [(station.x, station.y) for station in map(self.at, self._shares_along_axes())]
        xs, ys = zip(*spots, strict=True)
        return Bounds(min(xs), min(ys), max(xs), max(ys))

    def _shares_along_axes(self) -> list[float]:
        """Return the shares of the length at which an arc's direction is that of an axis."""
        first = math.atan2(self.y1 - self.y0, self.x1 - self.x0) - self.sweep / 2
        low, high = sorted((first, first + self.sweep))
        quarters = range(math.ceil(low / (math.pi / 2)), math.floor(high / (math.pi / 2)) + 1)
        return [(quarter * math.pi / 2 - first) / self.sweep for quarter in quarters]

    def at(self, share: float) -> PathPoint:
        """Return the point and direction at a share of the length, 0 at the start and 1 at the end."""
        half = self.sweep / 2
        chord = self.chord
        heading = math.atan2(self.y1 - self.y0, self.x1 - self.x0)
        reach = chord * (math.sin(half * share) / math.sin(half) if half else share)
        toward = heading - half + half * share
        travel = heading - half + 2 * half * share
        x, y = self.x0 + reach * math.cos(toward), self.y0 + reach * math.sin(toward)
        return PathPoint(x, y, math.cos(travel), math.sin(travel))

    def part(self, start: float, end: float) -> Piece:
        """Return the part between two shares of the length, as the same kind of piece."""
        first, last = self.at(start), self.at(end)
        return Piece(first.x, first.y, last.x, last.y, math.tan(self.sweep * (end - start) / 4))

    def reversed(self) -> Piece:
        """Return the piece run the other way."""
        return Piece(self.x1, self.y1, self.x0, self.y0, 0.0 - self.bulge)

    def chord_count(self, tolerance: float) -> int:
        """Return how many chords keep within `tolerance` mm of the arc, never fewer than one per quarter turn."""
        sweep = abs(self.sweep)
        if not self.is_arc or self.chord == 0:
            return 1
        step = math.pi / 2
        if tolerance < self.radius:
            # 1 - cos(step/2) = tolerance/radius, written with a sine so that a tiny ratio keeps its digits
            step = min(step, 4 * math.asin(math.sqrt(tolerance / (2 * self.radius))))
        return max(1, math.ceil(sweep / step - 1e-9))

    def inner_points(self, tolerance: float) -> NDArray[np.float64]:
        """Return the points strictly between the ends that divide the arc into chords, shape (n, 2)."""
        import numpy as np

        count = self.chord_count(tolerance)
        if count == 1:
            return np.empty((0, 2))
        half = self.sweep / 2
        share = np.arange(1, count) / count
        toward = math.atan2(self.y1 - self.y0, self.x1 - self.x0) - half + half * share
        reach = self.chord * np.sin(half * share) / math.sin(half)
        return np.column_stack([self.x0 + reach * np.cos(toward), self.y0 + reach * np.sin(toward)])


def _sweep_less_sine(sweep: float) -> float:
    """Return s - sin s; by its series where the plain difference would lose digits."""
    if abs(sweep) > _SMALL_SWEEP:
        return sweep - math.sin(sweep)
    square = sweep * sweep
    return sweep * square / 6 * (1 - square / 20 * (1 - square / 42 * (1 - square / 72)))
