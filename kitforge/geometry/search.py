"""The largest size that still passes."""

from __future__ import annotations

from collections.abc import Callable

FINE = 0.002
"""To how many mm a size is found."""

LEAST = 0.05
"""A way, seat or slot smaller than this counts as none, mm."""


def largest(passes: Callable[[float], bool], most: float, fine: float = FINE) -> float:
    """Return the largest size up to `most` that passes, to `fine` mm from below; 0 where not even 0.05 mm does.

    What passes at a size must pass at every smaller one.
    """
    if not passes(LEAST):
        return 0.0
    if passes(most):
        return most
    low, high = LEAST, most
    while high - low > fine:
        middle = (low + high) / 2
        low, high = (middle, high) if passes(middle) else (low, middle)
    return low
