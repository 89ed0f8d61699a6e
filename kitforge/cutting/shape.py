"""What a cutter's shape leaves behind, for the rooms that draw it. Lengths mm, angles degrees."""

from __future__ import annotations

from math import radians, tan


def point_length(diameter: float, point_angle: float) -> float:
    """Return the length D / (2 tan(sigma / 2)) of a drill point. Derived."""
    return diameter / (2 * tan(radians(point_angle / 2)))
