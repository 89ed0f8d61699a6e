"""What a drawing stands for: polygons of many short sides that are circles, loops that run there and back."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from kitforge.model.path import Path, circle, is_circle

ROUND_CORNERS = 0.01
"""How far corners may lie from a circle to be its polygon, mm: coordinates are often rounded to a hundredth."""

ROUND_SIDES = 0.05
"""How far the middles of the sides may lie inside that circle, mm: half of what a hobby router repeats. Taste."""

LEAST_SIDES = 12
"""Polygons of fewer sides are what they are: hexagons for nuts, octagons. Taste."""

_FLAT = 1e-6


def as_circle(path: Path) -> Path | None:
    """Return the circle that a closed path of short sides or arcs stands for, None if it is no such path or is one."""
    if not path.closed or is_circle(path) is not None:
        return None
    if not path.has_arcs and len(path.vertices) < LEAST_SIDES:
        return None
    if len(path.vertices) < 3 or _is_far_from_square(path):
        return None
    corners = np.array([(vertex.x, vertex.y) for vertex in path.vertices])
    x, y, radius = _fitted(corners)
    if not math.isfinite(radius) or np.abs(np.hypot(*(corners - (x, y)).T) - radius).max() > ROUND_CORNERS:
        return None
    pieces = path.pieces()
    for piece in pieces:
        middle = piece.at(0.5)
        off = radius - math.hypot(middle.x - x, middle.y - y)
        if not -ROUND_CORNERS <= off <= (ROUND_CORNERS if piece.is_arc else ROUND_SIDES):
            return None
    lines = sum(not piece.is_arc for piece in pieces)
    if lines > 0 and len(pieces) < LEAST_SIDES:
        return None
    return circle(x, y, radius) if _goes_round_once(corners - (x, y)) else None


def _is_far_from_square(path: Path) -> bool:
    """Return whether the box tells already that the path is no circle: most paths end here."""
    box = path.bounds
    return abs(box.width - box.height) > 2 * (ROUND_SIDES + ROUND_CORNERS) + 1e-3 * box.width


def _fitted(corners: NDArray[np.float64]) -> tuple[float, float, float]:
    """Return centre and radius of the circle nearest to points, by least squares of x² + y² = 2 a x + 2 b y + c."""
    middle = corners.mean(axis=0)
    shifted = corners - middle
    left = np.column_stack([2 * shifted, np.ones(len(shifted))])
    (a, b, c), *_ = np.linalg.lstsq(left, (shifted**2).sum(axis=1), rcond=None)
    return float(a + middle[0]), float(b + middle[1]), math.sqrt(max(0.0, float(c + a * a + b * b)))


def _goes_round_once(spokes: NDArray[np.float64]) -> bool:
    angles = np.arctan2(spokes[:, 1], spokes[:, 0])
    steps = np.diff(np.append(angles, angles[0]))
    steps = (steps + np.pi) % (2 * np.pi) - np.pi
    one_way = bool((steps > 0).all() or (steps < 0).all())
    return one_way and abs(abs(float(steps.sum())) - 2 * np.pi) < 1e-6


def as_line(path: Path) -> Path | None:
    """Return the open line that a closed path runs along there and back, None if the path encloses something."""
    if not path.closed or path.has_arcs or len(path.vertices) > 64:
        return None
    box = path.bounds
    reach = max(box.width, box.height)
    if reach == 0 or abs(path.area) > _FLAT * reach:
        return None
    along = 0 if box.width >= box.height else 1
    low = min(path.vertices, key=lambda vertex: vertex[along])
    high = max(path.vertices, key=lambda vertex: vertex[along])
    dx, dy = (high.x - low.x) / reach, (high.y - low.y) / reach
    if any(abs((v.x - low.x) * dy - (v.y - low.y) * dx) > _FLAT for v in path.vertices):
        return None
    return Path((low, high), closed=False)
