"""Placed parts as solids, and where two of them share room.

A part is a few flat layers (areas with the wood between two depths). Two layers are tried on points spread evenly over
the box in which both can lie, in the coordinates of one of them, at most 0.3 mm apart or `MOST_POINTS` along an edge.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from shapely import contains_xy, prepare
from shapely.geometry.base import BaseGeometry

from kitforge.model.kit import AssemblyPose
from kitforge.surface.layers import WoodLayer

if TYPE_CHECKING:
    Points = NDArray[np.float64]
    Indices = NDArray[np.intp]

MOST_POINTS = 48
_APART = 0.3
_SQUARE = 1e-12  # a direction whose part along another is less is square to it
Spot = tuple[float, float, float]


@dataclass(frozen=True)
class Slab:
    """A grown or shrunk layer in the part's coordinates: low and high are z, mm."""

    area: BaseGeometry
    low: float
    high: float

    def corners(self) -> Points:
        """Return the eight corners of its box, shape (8, 3)."""
        left, bottom, right, top = self.area.bounds
        return np.array([(x, y, z) for x in (left, right) for y in (bottom, top) for z in (self.low, self.high)])


@dataclass(frozen=True)
class Body:
    """A part where it stands."""

    standing: AssemblyPose
    layers: tuple[WoodLayer, ...]

    @cached_property
    def axes(self) -> Points:
        """The part's x, y and z in space, as rows."""
        x, y = np.array(self.standing.along_x), np.array(self.standing.along_y)
        return np.array([x, y, np.cross(x, y)])

    def world(self, points: Points) -> Points:
        """Return points (n, 3) of the part in space."""
        moved: Points = points @ self.axes + np_array(self.standing.at)
        return moved

    def own(self, points: Points) -> Points:
        """Return points (n, 3) of space in the part's coordinates."""
        moved: Points = (points - np_array(self.standing.at)) @ self.axes.T
        return moved

    def slabs(self, by: float) -> tuple[Slab, ...]:
        """Return its layers, each grown by so much on all sides, or shrunk where it is below 0, mm."""
        found = []
        for layer in self.layers:
            area, low, high = layer.area.buffer(by, quad_segs=4), -layer.bottom - by, -layer.top + by
            if high > low and not area.is_empty:
                prepare(area)
                found.append(Slab(area, low, high))
        return tuple(found)


def np_array(values: Sequence[float]) -> Points:
    """Return numbers as an array."""
    return np.array(values, dtype=np.float64)


@dataclass(frozen=True)
class Grown:
    """A body with its layers grown or shrunk, and its box in space as low and high corner."""

    body: Body
    slabs: tuple[Slab, ...]
    low: Points
    high: Points


def grown(body: Body, by: float) -> Grown:
    """Return a body with its layers grown by so much, or shrunk where it is below 0, mm."""
    slabs = body.slabs(by)
    corners = np.concatenate([body.world(slab.corners()) for slab in slabs]) if slabs else np.full((1, 3), np.nan)
    return Grown(body, slabs, corners.min(axis=0), corners.max(axis=0))


def near(a: Grown, b: Grown) -> bool:
    """Return whether the boxes of two bodies share room."""
    return bool((a.low < b.high).all() and (b.low < a.high).all())


def shared(a: Grown, b: Grown) -> Spot | None:
    """Return a point in space, about the middle of the room that two bodies share; None where they share none."""
    for own, other in slab_pairs(a, b):
        found = _shared(a.body, own, b.body, other)
        if found is not None:
            return found
    return None


def slab_pairs(a: Grown, b: Grown) -> Iterator[tuple[Slab, Slab]]:
    """Yield the pairs of layers of two bodies."""
    return ((own, other) for own in a.slabs for other in b.slabs)


def _shared(a: Body, own: Slab, b: Body, other: Slab) -> Spot | None:
    boxes = [_box(*pair) for pair in ((a, own, b, other), (b, other, a, own))]
    if any((high <= low).any() for low, high in boxes):
        return None
    first, second = (math.prod((high - low).tolist()) for low, high in boxes)
    return _tried(a, own, b, other, boxes[0]) if first <= second else _tried(b, other, a, own, boxes[1])


def _box(a: Body, own: Slab, b: Body, other: Slab) -> tuple[Points, Points]:
    """Return the box, in the coordinates of a, in which both layers can lie."""
    mine, theirs = own.corners(), a.own(b.world(other.corners()))
    return np.maximum(mine.min(axis=0), theirs.min(axis=0)), np.minimum(mine.max(axis=0), theirs.max(axis=0))


def _tried(a: Body, own: Slab, b: Body, other: Slab, box: tuple[Points, Points]) -> Spot | None:
    x, y, z = (_spread(float(low), float(high)) for low, high in zip(*box, strict=True))
    flat_x, flat_y = (side.ravel() for side in np.meshgrid(x, y, indexing="ij"))
    row, column = np.nonzero(contains_xy(own.area, flat_x, flat_y).reshape(len(x), len(y)))
    # The other's coordinates are start + x * turn[0] + y * turn[1] + z * turn[2], axis by axis.
    turn = a.axes @ b.axes.T
    start = b.own(np_array(a.standing.at)[None])[0]
    depth = (start[2] + x[row] * turn[0, 2] + y[column] * turn[1, 2])[:, None] + z * turn[2, 2]
    spot, level = np.nonzero((depth > other.low) & (depth < other.high))
    tried = row[spot], column[spot], level
    both = _within(other.area, (x, y, z), tried, start[:2], turn[:, :2])
    points = np.column_stack([side[index[both]] for side, index in zip((x, y, z), tried, strict=True)])
    if not len(points):
        return None
    middle = points[np.argmin(((points - points.mean(axis=0)) ** 2).sum(axis=1))]
    found: list[float] = a.world(middle[None])[0].tolist()
    return found[0], found[1], found[2]


def _within(
    area: BaseGeometry, sides: Sequence[Points], tried: Sequence[Indices], start: Points, turn: Points
) -> NDArray[np.bool_]:
    """Return which points of a grid lie in an area in plan view; tried: their numbers along each of its sides.

    Where one side of the grid stands square to the area, points along it lie above one another: they are one place.
    """
    seen = [side for side in range(3) if np.abs(turn[side]).max() > _SQUARE]
    if len(seen) == 3:
        found = start + sum(sides[k][tried[k]][:, None] * turn[k] for k in seen)
        return np.asarray(contains_xy(area, found))
    one, other = seen
    places = start + sides[one][:, None, None] * turn[one] + sides[other][:, None] * turn[other]
    inside: NDArray[np.bool_] = contains_xy(area, places.reshape(-1, 2)).reshape(places.shape[:2])
    return inside[tried[one], tried[other]]


def _spread(low: float, high: float) -> Points:
    count = min(MOST_POINTS, max(2, math.ceil((high - low) / _APART)))
    return np.linspace(low, high, 2 * count + 1)[1::2]
