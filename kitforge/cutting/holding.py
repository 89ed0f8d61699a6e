"""What keeps the piece in place: friction, tape, vacuum, fasteners. Force N, pressure and strength MPa, mm.

Every capacity is divided by a safety factor that the caller states.
"""

from __future__ import annotations


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


def shear_hold(strength: float, area: float, safety: float) -> float:
    """Return the sideways capacity tau A / S of tape.

    Source of the form: How much tape do I need?, technical note on acrylic foam tape.
    """
    return strength * area / safety
