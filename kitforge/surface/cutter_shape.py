"""The shape of a cutter in motion: how high its surface stands above its tip, by the distance from its axis."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from kitforge.model.kit import Cutter, CutterKind

_POINTED = (CutterKind.V_BIT, CutterKind.DRILL)
_USUAL_ANGLE = {CutterKind.V_BIT: 90.0, CutterKind.DRILL: 118.0}


def slope(cutter: Cutter) -> float:
    """Return the rise per mm of radius of a pointed cutter, 1 / tan(half the included angle); 0 for a flat one."""
    if cutter.kind not in _POINTED:
        return 0.0
    angle = cutter.angle or _USUAL_ANGLE[cutter.kind]
    return 1 / math.tan(math.radians(angle) / 2)


def corner(cutter: Cutter) -> float:
    """Return the radius of the rounded corner, mm: half the diameter for a ball nose (ISO 13399: RE)."""
    if cutter.kind is CutterKind.BALL_NOSE:
        return cutter.radius
    return min(cutter.corner_radius, cutter.radius)


def flat(cutter: Cutter) -> float:
    """Return the radius of the flat under the cutter, mm."""
    if cutter.kind in _POINTED:
        return min(cutter.tip / 2, cutter.radius) if cutter.kind is CutterKind.V_BIT else 0.0
    return cutter.radius - corner(cutter)


def rise(cutter: Cutter, radius: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return how far above the tip (mm) the cutter's surface lies at `radius` mm from its axis.

    Radii beyond the cutter count as its rim. A point rises as a cone, a rounded corner as a quarter circle
    (machining geometry; ISO 13399 SIG and RE).
    """
    outside = np.clip(radius, 0, cutter.radius) - np.float32(flat(cutter))
    np.maximum(outside, 0, out=outside)
    if cutter.kind in _POINTED:
        return outside * np.float32(slope(cutter))
    round_corner = np.float32(corner(cutter))
    height: NDArray[np.float32] = round_corner - np.sqrt(np.maximum(round_corner**2 - outside**2, 0))
    return height


def full_width_height(cutter: Cutter) -> float:
    """Return how far above its tip (mm) a cutter has its full diameter: the length of a point, the corner's radius.

    A point has the length (r - flat) / tan(angle / 2) (geometry; ISO 13399 SIG).
    """
    return (cutter.radius - flat(cutter)) * slope(cutter) if cutter.kind in _POINTED else corner(cutter)


def reach_at(cutter: Cutter, depth: float) -> float:
    """Return the radius (mm) that the cutter cuts at the face with its tip `depth` mm below it."""
    if depth <= 0:
        return 0.0
    if cutter.kind in _POINTED:
        return min(cutter.radius, flat(cutter) + depth / slope(cutter))
    around = corner(cutter)
    if depth >= around:
        return cutter.radius
    return flat(cutter) + math.sqrt(depth * (2 * around - depth))
