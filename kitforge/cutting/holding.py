"""What keeps the piece in place: friction, tape, vacuum, fasteners, tabs. Force N, pressure and strength MPa, mm.

Every capacity is divided by a safety factor that the caller states.
"""

from __future__ import annotations

from math import ceil, inf, pi


def friction_hold(friction: float, normal: float, safety: float) -> float:
    """Return the sideways capacity mu N / S.

    Source: Theoretical holding force of a suction cup, design calculation of a vacuum-component maker.
    """
    return friction * normal / safety


def vacuum_normal(pressure: float, area: float) -> float:
    """Return the force dp A that vacuum presses with.

    Source: How do you size a vacuum cup?, trade-press article (2016).
    """
    return pressure * area


def cup_force(diameter: float, pressure: float) -> float:
    """Return the pull pi d2 / 4 p of a round cup in the units of its arguments.

    Source: The Science of Vacuum-Cup Forces, trade-press article.
    """
    return pi * diameter**2 / 4 * pressure


def shear_hold(strength: float, area: float, safety: float) -> float:
    """Return the sideways capacity tau A / S of tape, tabs or skin.

    Source of the form: How much tape do I need?, technical note on acrylic foam tape.
    """
    return strength * area / safety


def tab_hold(count: int, width: float, thickness: float, strength: float, safety: float) -> float:
    """Return the capacity n w t tau / S of holding tabs. Derived from shear along the grain."""
    return shear_hold(strength, count * width * thickness, safety)


def tabs_needed(
    force: float,
    width: float,
    thickness: float,
    strength: float,
    safety: float,
    at_least: int,
    length: float,
    spacing: float,
) -> int:
    """Return how many tabs hold `force`, and no fewer than `at_least` or one per `spacing` mm of the cut's length.

    Derived from `tab_hold`; the least count and the spacing are common practice.
    """
    one = tab_hold(1, width, thickness, strength, safety)
    return max(at_least, ceil(force / one), ceil(length / spacing))


def skin_hold(length: float, thickness: float, strength: float, safety: float) -> float:
    """Return the capacity of an onion skin `thickness` mm left along `length` mm of cut. Derived from shear."""
    return shear_hold(strength, length * thickness, safety)


def skin_needed(force: float, length: float, strength: float, safety: float) -> float:
    """Return the thickness of onion skin that holds `force`; infinite without any length. Derived."""
    return force * safety / (strength * length) if length > 0 else inf
