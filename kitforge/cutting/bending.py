"""How far a cutter bends and how hard it is stressed. Lengths mm, force N, modulus and stress MPa."""

from __future__ import annotations

from math import pi

EQUIVALENT_DIAMETER = 0.80
"""Diameter of a solid bar of the same stiffness over the cutting diameter. Kops, Vo: CIRP Annals 39(1):93 (1990)."""


def tip_deflection(
    force: float, length: float, diameter: float, modulus: float, core: float = EQUIVALENT_DIAMETER
) -> float:
    """Return the deflection 64 F L3 / (3 pi E (k D)4) at the tip of a plain cantilever.

    Source: beam theory with the equivalent diameter of Kops and Vo, CIRP Annals 39(1):93-96 (1990).
    """
    return 64 * force * length**3 / (3 * pi * modulus * (core * diameter) ** 4)


def stepped_compliance(
    fluted: float, stick_out: float, diameter: float, shank: float, modulus: float, core: float = EQUIVALENT_DIAMETER
) -> float:
    """Return the deflection per N at the tip of a cutter: `fluted` mm at k D, the rest to `stick_out` at the shank.

    Derived by integrating M2 / EI over both parts (beam theory), k after Kops and Vo (1990). mm/N.
    """
    fluted = min(fluted, stick_out)
    front = _inertia(core * diameter)
    back = _inertia(shank)
    return (fluted**3 / front + (stick_out**3 - fluted**3) / back) / (3 * modulus)


def bending_stress(force: float, length: float, diameter: float, core: float = EQUIVALENT_DIAMETER) -> float:
    """Return the stress 32 F L / (pi (k D)3) at the root of a bar. Source: beam theory, k after Kops and Vo (1990)."""
    return 32 * force * length / (pi * (core * diameter) ** 3)


def stepped_stress(
    fluted: float, stick_out: float, diameter: float, shank: float, core: float = EQUIVALENT_DIAMETER
) -> float:
    """Return the highest bending stress per N of tip force, MPa/N: where the flutes end or at the collet. Derived."""
    fluted = min(fluted, stick_out)
    return max(bending_stress(1.0, fluted, diameter, core), bending_stress(1.0, stick_out, shank, 1.0))


def grip_length(shank_length: float, shank: float, diameters: float = 2.0, share: float = 0.75) -> float:
    """Return how much of the shank the collet holds: `diameters` shank diameters or `share` of it, the longer.

    Never more than the shank itself. Common practice, no source.
    """
    return min(shank_length, max(diameters * shank, share * shank_length))


def _inertia(diameter: float) -> float:
    return pi * diameter**4 / 64
