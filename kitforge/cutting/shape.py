"""What cutters leave behind: cusps, V grooves, drill points, ramps. Lengths mm, angles degrees."""

from __future__ import annotations

from math import atan, cos, degrees, pi, radians, sqrt, tan


def cusp(radius: float, stepover: float, slope: float = 0.0) -> float:
    """Return the cusp R - sqrt(R2 - (s / (2 cos t))2) that a ball of `radius` leaves on a slope of t degrees.

    Source: Formula for finding allowance when step depth is less than cutter radius, shop page (2006); the slope is
    derived. Raises ValueError when neighbouring passes no longer meet.
    """
    half = stepover / (2 * cos(radians(slope)))
    if half > radius:
        raise ValueError(f"passes {stepover:g} mm apart do not meet under a radius of {radius:g} mm")
    return radius - sqrt(radius * radius - half * half)


def stepover_for_cusp(radius: float, height: float, slope: float = 0.0) -> float:
    """Return s = 2 sqrt(h (2R - h)) cos t, the inverse of `cusp`. Source: as `cusp`."""
    height = min(height, radius)
    return 2 * sqrt(height * (2 * radius - height)) * cos(radians(slope))


def bowl_cusp(diameter: float, corner_radius: float, stepover: float) -> float:
    """Return the cusp of a bowl cutter on a flat floor: 0 while its flat D - 2r overlaps, then that of r. Derived."""
    return cusp(corner_radius, max(0.0, stepover - bowl_flat(diameter, corner_radius)))


def bowl_flat(diameter: float, corner_radius: float) -> float:
    """Return the width of the flat under a bowl cutter, D - 2r mm."""
    return diameter - 2 * corner_radius


def bowl_stepover(diameter: float, corner_radius: float, height: float) -> float:
    """Return the widest stepover that keeps the cusp of `bowl_cusp` to `height`. Derived."""
    return bowl_flat(diameter, corner_radius) + stepover_for_cusp(corner_radius, height)


def effective_diameter_ball(diameter: float, depth: float) -> float:
    """Return 2 sqrt(ap (D - ap)), where a ball nose cuts at `depth`; D from half the diameter on.

    Source: Cutting data calculation, p. 252 of another tool maker's general catalogue.
    """
    return 2 * sqrt(depth * (diameter - depth)) if depth < diameter / 2 else diameter


def effective_diameter_bowl(diameter: float, corner_radius: float, depth: float) -> float:
    """Return the diameter at which a round corner meets the top of a cut `depth` deep. Derived."""
    return bowl_flat(diameter, corner_radius) + effective_diameter_ball(2 * corner_radius, depth)


def v_depth(width: float, included_angle: float, tip: float = 0.0) -> float:
    """Return the depth (w - t) / (2 tan(A / 2)) of a V groove `width` wide, t the flat of the tip. Derived."""
    return (width - tip) / (2 * tan(radians(included_angle / 2)))


def v_width(depth: float, included_angle: float, tip: float = 0.0) -> float:
    """Return the width t + 2 d tan(A / 2) of a V groove `depth` deep. Derived."""
    return tip + 2 * depth * tan(radians(included_angle / 2))


def point_length(diameter: float, point_angle: float) -> float:
    """Return the length D / (2 tan(sigma / 2)) of a drill point. Derived."""
    return diameter / (2 * tan(radians(point_angle / 2)))


def ramp_length(depth: float, angle: float) -> float:
    """Return the travel dz / tan(a) that a ramp at `angle` degrees needs. Derived."""
    return depth / tan(radians(angle))


def helix_angle(pitch: float, hole_diameter: float, diameter: float) -> float:
    """Return the angle atan(p / (pi (Dh - D))) in degrees of a helical entry. Derived."""
    return degrees(atan(pitch / (pi * (hole_diameter - diameter))))


def helix_pitch(angle: float, path_diameter: float) -> float:
    """Return the pitch pi d tan(a) of a helix on a path of diameter d. Derived, the inverse of `helix_angle`."""
    return pi * path_diameter * tan(radians(angle))
