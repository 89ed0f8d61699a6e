"""Whether a rectangle fits into an area: where its middle may be (erosion by a box, the Minkowski difference)."""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from shapely import (
    Polygon,
    convex_hull,
    get_coordinates,
    get_dimensions,
    get_parts,
    intersection,
    length,
    linestrings,
    multipoints,
    union_all,
)
from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry

if TYPE_CHECKING:
    Floats = NDArray[np.float64]

_SIMPLER = 0.002
# Corners nearer than this lie on one line across, and lines are looked at so far beside corners, mm.
_DIGITS, _HAIR = 5, 1e-5


def middles(area: BaseGeometry, along: float, across: float, angle: float = 0.0) -> BaseGeometry:
    """Return where the middle of a rectangle may be that lies wholly in the area.

    The rectangle measures `along` by `across` mm, its first side turned by `angle` degrees from the x axis; the answer
    is in coordinates turned back by that angle about the origin. From the area is taken what each of its edges sweeps
    when the rectangle slides along it with its middle.
    """
    return RectangleTrials(area, angle).middles(along, across)


def fits(area: BaseGeometry, along: float, across: float, angle: float = 0.0) -> bool:
    """Return whether the rectangle lies in the area somewhere."""
    return RectangleTrials(area, angle).fits(along, across)


class RectangleTrials:
    """An area in which rectangles of one direction are tried; larger ones only where a smaller one had room."""

    def __init__(self, area: BaseGeometry, angle: float = 0.0) -> None:
        simpler = area.simplify(_SIMPLER)
        self._area = rotate(simpler, -angle, origin=(0, 0)) if angle else simpler
        self._starts, self._ends = _edges(self._area)
        # Sides of the largest rectangle that had room so far, and where its middle may be.
        self._held: tuple[float, float, BaseGeometry] = (0.0, 0.0, self._area)

    def middles(self, along: float, across: float) -> BaseGeometry:
        """Return what `middles` does."""
        return self._without_sweeps(self._area, along, across)

    def fits(self, along: float, across: float) -> bool:
        """Return whether a rectangle lies in the area somewhere."""
        if self._area.is_empty or _exceeds(self._area, along, across):
            return False
        # Where a rectangle lies, every smaller one lies about the same middle.
        larger = along >= self._held[0] and across >= self._held[1]
        where = self._without_sweeps(self._held[2] if larger else self._area, along, across)
        if where.area > 0:
            self._held = along, across, where
            return True
        return False

    def _without_sweeps(self, where: BaseGeometry, along: float, across: float) -> BaseGeometry:
        """Return places less those that the area's edges sweep; only of edges near them."""
        if not len(self._starts):
            return where
        corners = np.array([(x * along / 2, y * across / 2) for x in (-1, 1) for y in (-1, 1)])
        points = np.concatenate([self._starts[:, None] + corners, self._ends[:, None] + corners], axis=1)
        box = np.array(where.bounds)
        near = ((points.max(axis=1) >= box[:2]) & (points.min(axis=1) <= box[2:])).all(axis=1)
        swept = np.asarray(convex_hull(multipoints(points[near])))
        return where.difference(union_all(swept[get_dimensions(swept) == 2]))


def _exceeds(area: BaseGeometry, along: float, across: float) -> bool:
    left, low, right, high = area.bounds
    return along > right - left or across > high - low


def _edges(area: BaseGeometry) -> tuple[Floats, Floats]:
    """Return the starts and ends of all edges, both of shape (n, 2)."""
    rings = [
        get_coordinates(ring)
        for part in get_parts(area)
        if isinstance(part, Polygon)
        for ring in (part.exterior, *part.interiors)
    ]
    if not rings:
        return np.empty((0, 2)), np.empty((0, 2))
    return np.concatenate([ring[:-1] for ring in rings]), np.concatenate([ring[1:] for ring in rings])


def widest(area: BaseGeometry, along: float, angle: float = 0.0) -> float:
    """Return how wide a rectangle can be at most that lies in the area and measures `along` mm, 0 where none does.

    Its first side is turned by `angle` degrees from the x axis. Where the middle of that side may lie is what `middles`
    leaves for a rectangle of no width; the widest one stands on the longest line across that area. Such lines grow
    evenly from corner to corner of it, so that the longest one passes through a corner.
    """
    room = middles(area, along, 0.0, angle)
    places = np.unique(np.round(get_coordinates(room)[:, 0], _DIGITS))
    if not len(places):
        return 0.0
    low, high = room.bounds[1] - 1, room.bounds[3] + 1
    beside = np.unique(np.concatenate([places - _HAIR, places + _HAIR]))
    lines = linestrings([[(x, low), (x, high)] for x in beside.tolist()])
    return float(length(get_parts(intersection(lines, room))).max(initial=0.0))


def direction_of(area: BaseGeometry) -> tuple[float, float, float]:
    """Return the long side, the short side and the angle (degrees) of the smallest rectangle around an area."""
    corners = get_coordinates(area.minimum_rotated_rectangle).tolist()
    sides = [(math.hypot(b[0] - a[0], b[1] - a[1]), a, b) for a, b in itertools.pairwise(corners[:3])]
    (short, _, _), (long, a, b) = sorted(sides)
    return long, short, round(math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])) % 180, 6)
