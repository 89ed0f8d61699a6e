"""Specific cutting force, tooth force and power. Lengths mm, force N, kc N/mm2, power W.

The model: kc(h, rho) = kc_ref (h / h_ref)^-m (rho / rho_ref)^n g w, with g for the direction of the grain and w for the
wear of the edge, and a band that says how far off it may be. Chip thickness is clamped to the range it was made for.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, pow, radians, tan


@dataclass(frozen=True, slots=True)
class ForceModel:
    """Constants of the specific cutting force. `low`, `high`: the band; `thinnest`, `thickest`: clamp of h mm."""

    reference: float
    chip: float
    density: float
    chip_exponent: float
    density_exponent: float
    thinnest: float
    thickest: float
    low: float
    high: float
    source: str

    def specific_force(self, chip: float, density: float, grain: float = 1.0, wear: float = 1.0) -> float:
        """Return kc in N/mm2 at a chip thickness mm and a density kg/m3.

        Source: shape after Curti et al., Eur. J. Wood Prod. 79:667 (2021) and the exponent form kc = kc1 / hm^mc
        (milling catalogue of a tool maker, p. 253); constants chosen, see the model's `source`.
        """
        clamped = min(max(chip, self.thinnest), self.thickest)
        thin = pow(clamped / self.chip, -self.chip_exponent)
        return self.reference * thin * pow(density / self.density, self.density_exponent) * grain * wear

    def chip_for_line_force(self, line_force: float, density: float, factor: float = 1.0) -> float:
        """Return the chip h mm at which kc h reaches `line_force` N per mm of edge; the inverse of kc h.

        `factor` multiplies kc (grain, wear, band). Derived; h rises with the force throughout, so it is unique.
        """
        scale = self.specific_force(self.chip, density) * factor * pow(self.chip, self.chip_exponent)
        chip = pow(line_force / scale, 1 / (1 - self.chip_exponent))
        if chip < self.thinnest:
            return line_force / (scale * pow(self.thinnest, -self.chip_exponent))
        if chip > self.thickest:
            return line_force / (scale * pow(self.thickest, -self.chip_exponent))
        return chip


def tooth_force(specific: float, depth: float, chip: float) -> float:
    """Return the tangential force Ft = kc ap h of one tooth in N. Source: ISO 3002-4, as kc = Fc / A."""
    return specific * depth * chip


def cutting_power(specific: float, removal: float) -> float:
    """Return P = kc Q in W at the cutter, kc in N/mm2 and Q in mm3/min.

    Source: Cutting power for face milling, general catalogue of a cutting-tool maker (there in kW over 60e6).
    """
    return specific * removal / 60_000


def motor_power(power_at_cutter: float, efficiency: float) -> float:
    """Return the power the motor draws for `power_at_cutter`. Source: as `cutting_power`, its machine coefficient."""
    return power_at_cutter / efficiency


def turning_power(specific: float, depth: float, feed_per_turn: float, cutting_speed: float) -> float:
    """Return P = kc ap f vc / 60 in W. Source: Cutting power for turning, general catalogue of a cutting-tool maker."""
    return specific * depth * feed_per_turn * cutting_speed / 60


def rim_force(power: float, diameter: float, speed: float) -> float:
    """Return the mean force at the rim, P / vc, in N. Derived."""
    return power / (pi * diameter * speed / 60_000)


def axial_lift(tangential: float, helix: float) -> float:
    """Return the pull Ft tan(helix) along the axis that an up-cut spiral puts on the piece, N. Derived."""
    return tangential * tan(radians(helix))
