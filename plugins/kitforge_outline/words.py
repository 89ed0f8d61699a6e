"""Wording that several checks share."""

from __future__ import annotations

from kitforge.units import format_mm, plain_number

Point = tuple[float, float]


def place(at: Point) -> str:
    """Return a place in words, e.g. '(12.5, 3) mm'."""
    return f"({plain_number(at[0], 2)}, {plain_number(at[1], 2)}) mm"


def size(length: float) -> str:
    """Return a length that may be very small, e.g. '0.004 mm'."""
    return format_mm(length, 2 if length >= 0.1 else 4)


def times(count: int) -> str:
    """Return how often, e.g. 'at 3 places'."""
    return "at one place" if count == 1 else f"at {count} places"
