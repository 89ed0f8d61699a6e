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
    """Return the narrowest place between two walls that face each other; the largest inscribed circle if none do.

    Walls count as facing within 15° of parallel, and corners that stand into the area count as walls, so the tips of
    corners do not count. Widths are exact for straight
    walls and within 0.005 mm for curved ones. Raises ValueError for an outline of more than 6,000 edges.
    """
    import numpy as np

    disc = largest_disc(polygon)
    starts, ends = _edges(polygon)
    if len(starts) > _MOST_EDGES:
        raise ValueError(f"an outline of {len(starts)} edges is too long to search for its narrowest channel")
    widest = 2 * disc.radius * (1 + 1e-6)
    found = [_facing_pairs(starts, ends, widest), _from_hollow_corners(polygon, starts, ends, widest)]
    widths, middles = (np.concatenate(columns) for columns in zip(*found, strict=True))
    order = np.argsort(widths, kind="stable")
    for low in range(0, len(order), _CHUNK):
        chosen = order[low : low + _CHUNK]
        clear = _clearance(polygon, middles[chosen]) >= FACING_COSINE * widths[chosen] / 2 - _SIMPLER
        if clear.any():
            best = chosen[int(clear.argmax())]
            return Channel(float(widths[best]), float(middles[best, 0]), float(middles[best, 1]))
    return Channel(2 * disc.radius, disc.x, disc.y)


def _rings(polygon: Polygon) -> list[Floats]:
    """Return the rings as points that end where they began, with the area on their left."""
    import numpy as np
    from shapely import Polygon

    outline = polygon.simplify(_SIMPLER).normalize()
    assert isinstance(outline, Polygon)
    # normalized rings run clockwise outside and counter-clockwise inside: the area lies on the right
    return [np.asarray(ring.coords)[::-1] for ring in (outline.exterior, *outline.interiors)]


def _edges(polygon: Polygon) -> tuple[Floats, Floats]:
    """Return the starts and ends of the edges with the area on their left, both of shape (n, 2)."""
    import numpy as np

    rings = _rings(polygon)
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


def _from_hollow_corners(polygon: Polygon, starts: Floats, ends: Floats, widest: float) -> tuple[Floats, Floats]:
    """Return widths and middles between corners that stand into the area and the walls and corners across from them."""
    import numpy as np

    along = ends - starts
    lengths = np.hypot(along[:, 0], along[:, 1])
    corners = _hollow_corners(polygon)
    widths, middles = [np.empty(0)], [np.empty((0, 2))]
    for corner in corners:
        foot = ((corner - starts) * along).sum(axis=1) / lengths**2
        across = (foot >= 0) & (foot <= 1)
        targets = np.concatenate([(starts + foot[:, None] * along)[across], corners])
        distance = np.hypot(*(targets - corner).T)
        near = (distance <= widest) & (distance > 1e-9)
        widths.append(distance[near])
        middles.append((targets[near] + corner) / 2)
    return np.concatenate(widths), np.concatenate(middles)


def _hollow_corners(polygon: Polygon) -> Floats:
    """Return the vertices at which the area covers more than half a turn, shape (n, 2)."""
    import numpy as np

    found = [np.empty((0, 2))]
    for ring in _rings(polygon):
        points = ring[:-1]
        into, out = points - np.roll(points, 1, axis=0), np.roll(points, -1, axis=0) - points
        found.append(points[into[:, 0] * out[:, 1] - into[:, 1] * out[:, 0] < 0])
    return np.concatenate(found)


def _clearance(polygon: Polygon, points: Floats) -> Floats:
    """Return the distance of points to the outline in mm, negative outside the area."""
    import numpy as np
    import shapely

    spots = shapely.points(points)
    distance = shapely.distance(polygon.boundary, spots)
    return np.where(shapely.contains_xy(polygon, points[:, 0], points[:, 1]), distance, -distance)
