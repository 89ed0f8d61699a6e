"""The narrowest channel of an area: the smallest circle in it that touches two walls facing each other."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from kitforge.geometry.region import largest_disc

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from shapely import Polygon

    Floats = NDArray[np.float64]

FACING_COSINE = 0.966
"""Two walls face each other if they run within 15° of parallel: cos 15°."""

_SIMPLER = 0.002
_MOST_EDGES = 6000
_CHUNK = 2000


class Channel(NamedTuple):
    """A narrow place: its width and its middle, in mm."""

    width: float
    x: float
    y: float


def narrowest_channel(polygon: Polygon) -> Channel:
    """Return the narrowest place between two facing walls; the largest inscribed circle where no walls face each other.

    Walls count as facing within 15° of parallel, so the tips of corners do not count. Widths are exact for straight
    walls and within 0.005 mm for curved ones. Raises ValueError for an outline of more than 6,000 edges.
    """
    import numpy as np

    disc = largest_disc(polygon)
    starts, ends = _edges(polygon)
    if len(starts) > _MOST_EDGES:
        raise ValueError(f"an outline of {len(starts)} edges is too long to search for its narrowest channel")
    widths, middles = _facing_pairs(starts, ends, 2 * disc.radius * (1 + 1e-6))
    order = np.argsort(widths, kind="stable")
    for low in range(0, len(order), _CHUNK):
        chosen = order[low : low + _CHUNK]
        clear = _clearance(polygon, middles[chosen]) >= FACING_COSINE * widths[chosen] / 2 - _SIMPLER
        if clear.any():
            best = chosen[int(clear.argmax())]
            return Channel(float(widths[best]), float(middles[best, 0]), float(middles[best, 1]))
    return Channel(2 * disc.radius, disc.x, disc.y)


def _edges(polygon: Polygon) -> tuple[Floats, Floats]:
    """Return the starts and ends of the edges with the area on their left, both of shape (n, 2)."""
    import numpy as np
    from shapely import Polygon

    outline = polygon.simplify(_SIMPLER).normalize()
    assert isinstance(outline, Polygon)
    rings = [np.asarray(ring.coords) for ring in (outline.exterior, *outline.interiors)]
    # normalized rings run clockwise outside and counter-clockwise inside: the area lies on the right
    rings = [ring[::-1] for ring in rings]
    return np.concatenate([ring[:-1] for ring in rings]), np.concatenate([ring[1:] for ring in rings])


def _facing_pairs(starts: Floats, ends: Floats, widest: float) -> tuple[Floats, Floats]:
    """Return widths and middles of the places where two edges face each other at most `widest` mm apart."""
    import numpy as np

    along = ends - starts
    lengths = np.hypot(along[:, 0], along[:, 1])
    along = along / lengths[:, None]
    widths, middles = [np.empty(0)], [np.empty((0, 2))]
    for index in range(len(starts)):
        facing = np.flatnonzero(along @ along[index] < -FACING_COSINE)
        a = (starts[facing] - starts[index]) @ along[index]
        b = (ends[facing] - starts[index]) @ along[index]
        low, high = np.maximum(b, 0.0), np.minimum(a, lengths[index])
        shared = low <= high + 1e-9
        facing, low, high, a, b = facing[shared], low[shared], high[shared], a[shared], b[shared]
        for share in (0.0, 0.5, 1.0):
            at = low + share * (high - low)
            here = starts[index] + at[:, None] * along[index]
            there = starts[facing] + ((at - a) / (b - a))[:, None] * (ends[facing] - starts[facing])
            offset = there - here
            distance = np.hypot(offset[:, 0], offset[:, 1])
            inward = offset[:, 1] * along[index, 0] - offset[:, 0] * along[index, 1] > 0
            near = inward & (distance <= widest) & (distance > 0)
            widths.append(distance[near])
            middles.append((here + offset / 2)[near])
    return np.concatenate(widths), np.concatenate(middles)


def _clearance(polygon: Polygon, points: Floats) -> Floats:
    """Return the distance of points to the outline in mm, negative outside the area."""
    import numpy as np
    import shapely

    spots = shapely.points(points)
    distance = shapely.distance(polygon.boundary, spots)
    return np.where(shapely.contains_xy(polygon, points[:, 0], points[:, 1]), distance, -distance)
