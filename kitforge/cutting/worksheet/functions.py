"""The functions of the worksheet beyond arithmetic. Their twins for pages are in functions.js."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from kitforge.model.workshop import Span

HALVINGS, NARROW = 40, 1e-5
"""A search ends after so many halvings or when it is this narrow, mm: a hundredth of what a machine repeats."""

Row = Sequence[float] | Sequence[str | float] | tuple[str, float]


def chart(rows: Sequence[Sequence[float]], x: float, column: int) -> float:
    """Return a column of a chart at `x`, linear between its rows; beyond them the nearest row holds."""
    before = rows[0]
    if x <= before[0]:
        return before[column]
    for row in rows[1:]:
        if x <= row[0]:
            return before[column] + (row[column] - before[column]) * ((x - before[0]) / (row[0] - before[0]))
        before = row
    return before[column]


def step(rows: Sequence[Sequence[float]], x: float, column: int) -> float:
    """Return a column of the first row that reaches up to `x`, of the last where none does."""
    for row in rows:
        if x <= row[0]:
            return row[column]
    return rows[-1][column]


def least(rows: Sequence[Sequence[float]] | Sequence[tuple[str, float]], column: int) -> float:
    """Return the smallest number of a column."""
    return min(float(row[column]) for row in rows)


def most(rows: Sequence[Sequence[float]] | Sequence[tuple[str, float]], column: int) -> float:
    """Return the largest number of a column."""
    return max(float(row[column]) for row in rows)


def nearest(rows: Sequence[tuple[str, float]], column: int, x: float, low: float, high: float) -> float | None:
    """Return the number of a column between `low` and `high` that is nearest to `x`, the first of two; None without."""
    fitting = [float(row[column]) for row in rows if low <= float(row[column]) <= high]
    return min(fitting, key=lambda value: abs(value - x), default=None)


def named(rows: Sequence[tuple[str, float]], x: float) -> str | None:
    """Return the name in the first row whose number is exactly `x`, None without."""
    return next((name for name, value in rows if value == x), None)


def fits(ranges: Sequence[Span], x: float, slack: float) -> bool:
    """Return whether a value lies in one of the ranges, give or take `slack`."""
    return any(span.low - slack <= x <= span.high + slack for span in ranges)


def largest(top: float, holds: Callable[[float], bool]) -> float:
    """Return the largest value from 0 up to `top` for which a condition holds that fails from somewhere on."""
    low, high = 0.0, top
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if holds(middle):
            low = middle
        else:
            high = middle
        if high - low < NARROW:
            break
    return low
