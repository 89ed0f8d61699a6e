"""The middle line of an area (medial axis) with the radius of the inscribed circle at every point.

The boundary is set with close points; the edges of their Voronoi diagram inside the area approach its medial axis
(Brandt and Algazi 1992, "Continuous skeleton computation by Voronoi diagram"). Edges between neighbouring boundary
points are noise: an edge stays if its two points are seen under a wide enough angle from it. Radii are true distances
to the boundary.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from shapely import (
    LineString,
    MultiLineString,
    MultiPolygon,
    Polygon,
    contains_xy,
    distance,
    get_coordinates,
    line_merge,
    points,
    prepare,
)
from shapely.geometry.polygon import orient

from kitforge.lettering.typeface import LetteringError
from kitforge.model.messages import msg
from kitforge.model.record import record

MOST_POINTS = 200_000
# Sine of half the angle under which the two boundary points of an edge must be seen; 0.34 keeps corners to 140 deg.
_WIDE = 0.34
# Sine beyond which the two points lie on opposite sides of a stroke, not of a corner of more than 20 degrees.
OPPOSITE = 0.985


@record(eq=False)
class Axis:
    """chains: arrays (n, 3) of x, y and the radius of the inscribed circle, mm. stroke: the narrowest half width of
    a stroke between opposite sides and where it is; None for an area without such a place."""

    chains: tuple[NDArray[np.float64], ...]
    stroke: tuple[float, float, float] | None


def axis_of(area: Polygon | MultiPolygon, spacing: float) -> Axis:
    """Return the middle line of an area whose boundary is set with points at most `spacing` mm apart.

    Raises LetteringError if that takes more than 200,000 points.
    """

    polygons = [p for p in getattr(area, "geoms", [area]) if p.area > 0]
    count = sum(p.length for p in polygons) / spacing
    if not (math.isfinite(count) and count <= MOST_POINTS):
        raise LetteringError(
            msg(
                "The outlines need {count} points to be followed; at most {most_points} are taken.",
                count=f"{count:,.0f}",
                most_points=f"{MOST_POINTS:,}",
            )
        )
    chains: list[NDArray[np.float64]] = []
    strokes = []
    for polygon in polygons:
        found = _of_polygon(polygon, spacing)
        chains += found.chains
        strokes += [found.stroke] if found.stroke is not None else []
    return Axis(tuple(chains), min(strokes, key=lambda s: s[2], default=None))


def _of_polygon(polygon: Polygon, spacing: float) -> Axis:
    from scipy.spatial import Voronoi

    corners, samples = _samples(polygon, spacing)
    diagram = Voronoi(samples)
    prepare(polygon)
    within = contains_xy(polygon, diagram.vertices)
    ends, sites = np.asarray(diagram.ridge_vertices), diagram.ridge_points
    inner = (ends >= 0).all(axis=1)
    inner &= within[ends[:, 0]] & within[ends[:, 1]]
    ends, sites = ends[inner], sites[inner]
    boundary = polygon.boundary
    radius = distance(points(diagram.vertices), boundary)
    apart = np.hypot(*(samples[sites[:, 0]] - samples[sites[:, 1]]).T)
    angle = apart / np.maximum(2 * radius[ends].mean(axis=1), 1e-12)
    keep = angle > _WIDE
    if not keep.any():
        return Axis((_deepest(diagram.vertices[within], radius[within]),), None)
    chains = _chains(diagram.vertices, ends[keep], corners, spacing)
    opposite = ends[angle > OPPOSITE]
    opposite = opposite[~_near(diagram.vertices[opposite].mean(axis=1), corners, 4 * spacing)]
    return Axis(_with_radius(chains, polygon, spacing), _narrowest(diagram.vertices, radius, opposite))


def _samples(polygon: Polygon, spacing: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the convex corners of a polygon, and points along its boundary."""
    corners, samples = [], []
    solid = orient(polygon)
    for ring in (solid.exterior, *solid.interiors):
        samples.append(np.asarray(ring.segmentize(spacing).coords)[:-1, :2])
        here = np.asarray(ring.coords)[:-1, :2]
        before, after = here - np.roll(here, 1, axis=0), np.roll(here, -1, axis=0) - here
        turn = np.arctan2(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0], (before * after).sum(axis=1))
        corners.append(here[turn > math.radians(25)])
    return np.concatenate(corners), np.concatenate(samples)


def _deepest(vertices: NDArray[np.float64], radius: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the one middle point of an area without branches, such as a disc."""
    best = int(np.argmax(radius))
    return np.array([[*vertices[best], radius[best]]])


def _near(places: NDArray[np.float64], corners: NDArray[np.float64], reach: float) -> NDArray[np.bool_]:
    """Return which places lie within `reach` mm of a corner."""
    from scipy.spatial import KDTree

    if not len(corners) or not len(places):
        return np.zeros(len(places), dtype=bool)
    away: NDArray[np.float64] = KDTree(corners).query(places)[0]
    return away < reach


def _narrowest(
    vertices: NDArray[np.float64], radius: NDArray[np.float64], ends: NDArray[np.intp]
) -> tuple[float, float, float] | None:
    if not len(ends):
        return None
    least = ends.ravel()[int(np.argmin(radius[ends]))]
    return float(vertices[least, 0]), float(vertices[least, 1]), float(radius[least])


def _chains(
    vertices: NDArray[np.float64], ends: NDArray[np.intp], corners: NDArray[np.float64], spacing: float
) -> list[NDArray[np.float64]]:
    """Return the edges joined to chains, the loose ends run out into the corners they point at."""
    lines = line_merge(MultiLineString(list(vertices[ends])))
    merged = [get_coordinates(line) for line in getattr(lines, "geoms", [lines])]
    if not len(corners):
        return merged
    from scipy.spatial import KDTree

    tree, count = KDTree(corners), np.bincount(ends.ravel(), minlength=len(vertices))
    loose = {tuple(point) for point in vertices[count == 1]}
    return [_run_out(chain, tree, loose, 4 * spacing) for chain in merged]


def _run_out(
    chain: NDArray[np.float64], tree: object, loose: set[tuple[float, ...]], reach: float
) -> NDArray[np.float64]:
    for _ in range(2):
        chain = chain[::-1]
        if tuple(chain[-1]) in loose:
            away, which = tree.query(chain[-1])  # type: ignore[attr-defined]
            if away <= reach:
                chain = np.vstack([chain, tree.data[which]])  # type: ignore[attr-defined]
    return chain


def _with_radius(
    chains: Sequence[NDArray[np.float64]], polygon: Polygon, spacing: float
) -> tuple[NDArray[np.float64], ...]:
    """Return the chains with close points and the true radius at each; 0 where a chain touches the outside."""
    boundary, found = polygon.boundary, []
    for chain in chains:
        close = get_coordinates(LineString(chain).segmentize(spacing))
        radius = np.where(contains_xy(polygon, close), distance(points(close), boundary), 0.0)
        found.append(np.column_stack([close, radius]))
    return tuple(found)
