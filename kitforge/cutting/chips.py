"""Kinematics of milling and the thickness of the chip. Lengths mm, speed min-1, feed mm/min.

D cutter diameter, z teeth, fz feed per tooth, x = ae / D the share of the diameter that is engaged (1: a slot).
Symbols follow ISO 3002.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import acos, asin, cos, degrees, pi, radians, sin, sqrt


def cutting_speed(diameter: float, speed: float) -> float:
    """Return the rim speed vc = pi D n / 1000 in m/min.

    Source: milling formulae, general catalogue of a cutting-tool maker.
    """
    return pi * diameter * speed / 1000


def rim_speed(diameter: float, speed: float) -> float:
    """Return the rim speed pi D n / 60 000 in m/s. Source: as `cutting_speed`, in the unit of the wood trade."""
    return cutting_speed(diameter, speed) / 60


def spindle_speed(diameter: float, cutting_speed_m_min: float) -> float:
    """Return n = 1000 vc / (pi D) in min-1. Source: as `cutting_speed`."""
    return 1000 * cutting_speed_m_min / (pi * diameter)


def speed_for_rim(diameter: float, rim_m_s: float) -> float:
    """Return the spindle speed min-1 at which the rim runs at `rim_m_s` m/s. Derived from `cutting_speed`."""
    return spindle_speed(diameter, rim_m_s * 60)


def feed(feed_per_tooth: float, teeth: int, speed: float) -> float:
    """Return vf = fz z n in mm/min, or in/min for fz in inch.

    Source: milling formulae, general catalogue of a cutting-tool maker."""
    return feed_per_tooth * teeth * speed


def feed_per_tooth(feed_rate: float, teeth: int, speed: float) -> float:
    """Return fz = vf / (z n) in mm. Source: as `feed`."""
    return feed_rate / (teeth * speed)


def removal_rate(width: float, depth: float, feed_rate: float) -> float:
    """Return Q = ae ap vf in mm3/min. Source: cutting data calculation, p. 252 of a tool maker's catalogue."""
    return width * depth * feed_rate


def engagement_angle(share: float) -> float:
    """Return the engaged angle acos(1 - 2x) in radians, for one-sided engagement 0 < x <= 1.

    Source: Cutting data calculation, p. 252 of another tool maker's general catalogue.
    """
    return acos(1 - 2 * min(max(share, 0.0), 1.0))


def inner_arc_angle(radius: float, path_radius: float, stock: float) -> float:
    """Return the engaged angle, radians, of a cutter that takes `stock` off the inside of an arc.

    radius: of the cutter; path_radius: of the arc its centre runs on.
    acos((B2 - r2 - R2) / (2 r R)) with B = r + R - stock.
    Derived; a large path radius gives `engagement_angle`.
    """
    bound = path_radius + radius - stock
    cosine = (bound * bound - path_radius**2 - radius**2) / (2 * path_radius * radius)
    return acos(min(max(cosine, -1.0), 1.0)) if bound > 0 else pi


def maximum_chip(fz: float, share: float) -> float:
    """Return h_max = 2 fz sqrt(x - x2) mm below half engagement, fz from there on. Derived from the tooth's circle."""
    return 2 * fz * sqrt(share - share * share) if share < 0.5 else fz


def mean_chip(fz: float, share: float) -> float:
    """Return the exact mean chip h_m = fz 2x / acos(1 - 2x) mm; a slot gives 2 fz / pi.

    Source: Cutting data calculation, p. 253 of another tool maker's general catalogue.
    """
    return fz * mean_chip_ratio(share)


def mean_chip_ratio(share: float) -> float:
    """Return h_m / fz for an engaged share 0 < x <= 1. Source: as `mean_chip`."""
    return 2 * share / engagement_angle(share)


def mean_chip_short(fz: float, share: float) -> float:
    """Return the short form h_m = fz sqrt(x) mm, for ae < D / 2; 11 % high at x = 0.5.

    Source: Indexable milling catalogue, technical information p. 87.
    """
    return fz * sqrt(share)


def thinning_factor(share: float) -> float:
    """Return what fz is multiplied by to keep h_max when less than half the diameter cuts. Derived; 1 from x = 0.5 up.

    Not to be used in slots, corners and ramps, where the engagement returns to the full one.
    """
    return 1 / (2 * sqrt(share - share * share)) if share < 0.5 else 1.0


def feed_for_edge_angle(chip: float, edge_angle: float) -> float:
    """Return fz = h / sin(kappa_r) mm for a chip h on an edge at kappa_r degrees.

    Source: Indexable milling catalogue, technical information p. 87. A V cutter has kappa_r = 90 - A / 2.
    """
    return chip / sin(radians(edge_angle))


def corner_edge_angle(radius: float, depth: float) -> float:
    """Return the steepest edge angle kappa_r in degrees of a round corner or ball that is `depth` deep. Derived."""
    if depth >= radius:
        return 90.0
    return degrees(acos((radius - depth) / radius))


def depth_derating(ratio: float, table: Sequence[tuple[float, float]]) -> float:
    """Return the chip load factor at ap / D = `ratio`, linear between the rows (ratio, factor) of a chart.

    Source of the usual rows (1: 1.0, 2: 0.75, 3: 0.5): solid-carbide spiral chart of a cutter maker, 2-flute, solid
    wood, v5. Outside the rows the nearest factor holds.
    """
    if ratio <= table[0][0]:
        return table[0][1]
    for (left, above), (right, below) in pairwise(table):
        if ratio <= right:
            return above + (below - above) * (ratio - left) / (right - left)
    return table[-1][1]


def engaged_teeth(teeth: int, share: float) -> float:
    """Return how many teeth cut at once, z theta / 2 pi, and one at least. Derived from the engagement angle."""
    return max(1.0, teeth * engagement_angle(share) / (2 * pi))


def share_for_chip_ratio(ratio: float) -> float:
    """Return the engaged share x below a half whose h_max / fz is `ratio`; 0.5 for a ratio of 1. Derived."""
    return sin(asin(min(ratio, 1.0)) / 2) ** 2


def engaged_width(diameter: float, angle: float) -> float:
    """Return ae mm from the engagement angle in radians, the inverse of `engagement_angle`. Derived."""
    return diameter * (1 - cos(angle)) / 2
