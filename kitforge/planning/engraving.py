"""Engraving with a V-bit: its way along the middle of the strokes, worked out once, and what it takes at each depth."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

from kitforge.geometry.region import area_of, offset, opened
from kitforge.lettering.engrave import Engraving, engrave
from kitforge.model.kit import Cutter
from kitforge.model.path import Path

if TYPE_CHECKING:
    from shapely import MultiPolygon, Polygon
    from shapely.geometry.base import BaseGeometry

COARSEST, FINEST = 0.2, 0.02
MOST_POINTS = 100_000
_SLACK = 1e-6


@lru_cache(maxsize=64)
def engraving_of(paths: tuple[Path, ...], cutter: Cutter, greatest: float | None = None) -> Engraving:
    """Return how a V-bit engraves closed paths, at most `greatest` mm deep; open paths are left out.

    Raises LetteringError for paths or a cutter that nothing can be engraved with, ValueError for paths that cross.
    """
    area = area_of([path for path in paths if path.closed])
    return engrave(paths, cutter, greatest, None if area.is_empty else _spacing(area))


def _spacing(area: Polygon | MultiPolygon) -> float:
    """Return how close the points of the outline are looked at: a sixth of the thinnest shape's mean width, mm.

    Coarser points take bends of thin strokes for narrows (tried on the shipped typeface in all weights).
    """
    shapes = [shape for shape in getattr(area, "geoms", [area]) if shape.area > 0]
    mean = min(2 * shape.area / shape.length for shape in shapes)
    return max(min(float(mean) / 6, COARSEST), FINEST, float(area.length) / MOST_POINTS)


def reach_of(cutter: Cutter, greatest: float | None) -> float:
    """Return the radius of the largest circle that the cone fills at the face, at most `greatest` mm deep."""
    if greatest is None:
        return cutter.radius
    return min(cutter.radius, cutter.tip / 2 + greatest * _tangent(cutter))


def taken_at(area: BaseGeometry, cutter: Cutter, greatest: float | None, depth: float = 0.0) -> BaseGeometry:
    """Return what an engraving of an area takes away `depth` mm below the face.

    The flanks stand off the outline by depth * tan(A/2) all round, the tip does not go where it is too wide, and where
    strokes are too wide for the cone only a band along their sides is cut.
    """
    rise, reach = depth * _tangent(cutter), reach_of(cutter, greatest)
    band = area.difference(offset(area, -(2 * reach - rise + _SLACK)))
    return opened(offset(area, -rise), cutter.tip / 2).intersection(band) if depth or cutter.tip else band


def _tangent(cutter: Cutter) -> float:
    return math.tan(math.radians(cutter.angle or 90.0) / 2)
