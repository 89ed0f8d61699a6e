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
    turned = rotate(area.simplify(_SIMPLER), -angle, origin=(0, 0)) if angle else area.simplify(_SIMPLER)
    starts, ends = _edges(turned)
    if not len(starts):
        return turned
    corners = np.array([(x * along / 2, y * across / 2) for x in (-1, 1) for y in (-1, 1)])
    points = np.concatenate([starts[:, None] + corners, ends[:, None] + corners], axis=1)
    swept = np.asarray(convex_hull(multipoints(points)))
    return turned.difference(union_all(swept[get_dimensions(swept) == 2]))


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


def fits(area: BaseGeometry, along: float, across: float, angle: float = 0.0) -> bool:
    """Return whether the rectangle lies in the area somewhere."""
    return bool(middles(area, along, across, angle).area > 0)


def direction_of(area: BaseGeometry) -> tuple[float, float, float]:
    """Return the long side, the short side and the angle (degrees) of the smallest rectangle around an area."""
    corners = get_coordinates(area.minimum_rotated_rectangle).tolist()
    sides = [(math.hypot(b[0] - a[0], b[1] - a[1]), a, b) for a, b in itertools.pairwise(corners[:3])]
    (short, _, _), (long, a, b) = sorted(sides)
    return long, short, round(math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])) % 180, 6)
