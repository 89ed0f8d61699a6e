"""Outlines as fonts fill them, by the non-zero winding rule, turned into loops that do not overlap.

Drawings are filled by the even-odd rule here, which makes a hole where two strokes of a letter are drawn across each
other, or where the letters of a script run into one another.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from shapely import (
    LinearRing,
    LineString,
    MultiPolygon,
    Polygon,
    STRtree,
    get_coordinates,
    get_parts,
    linestrings,
    polygonize,
    union_all,
)

from kitforge.geometry.region import REGION_TOLERANCE, polygons
from kitforge.model.path import Path, Vertex

if TYPE_CHECKING:
    Loops = Sequence[NDArray[np.float64]]

MOST_POINTS = 20_000
MOST_CROSSINGS = 20_000
_CHUNK = 500
_SAME = 1e-6


def without_overlaps(paths: Sequence[Path]) -> list[Path]:
    """Return closed paths that enclose by the even-odd rule what the given ones enclose by the non-zero one.

    Paths that need no change come back as they are, arcs included; else all of them as lines within 0.001 mm. Paths
    that cross more often than any text does are returned unchanged.
    """
    if _same_by_both_rules(paths):
        return list(paths)
    loops = [path.flatten(REGION_TOLERANCE) for path in paths if len(path.vertices) > 1]
    if sum(map(len, loops)) > MOST_POINTS or _crosses_too_often(loops):
        return list(paths)
    return [_path(ring) for area in _filled(loops) for ring in (area.exterior, *area.interiors)]


def _same_by_both_rules(paths: Sequence[Path]) -> bool:
    """Return whether no path meets another and every one in another runs the other way round."""
    try:
        areas = polygons(paths)
    except ValueError:
        return False
    signed = abs(sum(path.to_polygon(REGION_TOLERANCE).area * (1 if path.area > 0 else -1) for path in paths))
    return abs(sum(area.area for area in areas) - signed) <= _SAME * max(signed, 1.0)


def _crosses_too_often(loops: Loops) -> bool:
    pieces = np.concatenate([np.stack([loop[:-1], loop[1:]], axis=1) for loop in loops])
    lines = np.asarray(linestrings(pieces))
    tree, found = STRtree(lines), 0
    for start in range(0, len(lines), _CHUNK):
        found += len(tree.query(lines[start : start + _CHUNK], predicate="intersects")[0])
        if found > MOST_CROSSINGS:
            return True
    return False


def _filled(loops: Loops) -> list[Polygon]:
    """Return the areas around which the loops wind."""
    noded = union_all([LineString(loop) for loop in loops if len(loop) > 2])
    faces = [face for face in get_parts(polygonize(get_parts(noded).tolist())) if _winds(face, loops)]
    whole = union_all(faces)
    parts = whole.geoms if isinstance(whole, MultiPolygon) else (whole,)
    return [part for part in parts if isinstance(part, Polygon) and part.area > 0]


def _winds(face: Polygon, loops: Loops) -> bool:
    inner = face.representative_point()
    return sum(_turns_about(loop, inner.x, inner.y) for loop in loops) != 0


def _turns_about(loop: NDArray[np.float64], x: float, y: float) -> int:
    """Return how often a closed loop winds around a point: crossings of a ray, upward ones less downward ones."""
    a, b = loop[:-1], loop[1:]
    left = (b[:, 0] - a[:, 0]) * (y - a[:, 1]) - (x - a[:, 0]) * (b[:, 1] - a[:, 1])
    up = (a[:, 1] <= y) & (b[:, 1] > y) & (left > 0)
    down = (a[:, 1] > y) & (b[:, 1] <= y) & (left < 0)
    return int(up.sum()) - int(down.sum())


def _path(ring: LinearRing) -> Path:
    return Path(tuple(Vertex(float(x), float(y)) for x, y in get_coordinates(ring)[:-1]))
