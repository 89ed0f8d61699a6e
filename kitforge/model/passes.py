"""The rule of passes: how a depth is divided, in figures that can be typed in and add up.

A row prints `count` equal passes of `each` and, where they do not reach, one named last pass; together they are the
depth that the page prints, to the last figure, in millimetres and in inches alike. The rule is only here:

1. One pass if one is enough. Else as few as the deepest sound pass allows, all alike where that comes out even.
2. Else each is rounded up to a handy figure, no more than 3 % and never so far that the last pass is less than half of
   the others, and the last pass takes what is left. What the rounding adds stays below the deepest sound pass.
3. Where the author asks for a depth per pass, it is as he asks, and the last pass takes what is left.

There are as many passes in inches as in millimetres, but for dozens of passes so thin that rounding them saves one.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from kitforge.model.record import record
from kitforge.model.units import MM_PER_INCH, inch_number, mm_number

_MOST_MORE = 0.03
_LEAST_LAST = 0.5
_SLACK = 1e-6


@record
class Figures:
    """How a depth is written in a unit: how many steps of its last place make a mm, and handy multiples of them.

    written: gives a length in mm as a document prints it, so that half a step goes the same way in both.
    """

    per_mm: float
    places: int
    handy: tuple[int, ...]
    written: Callable[[float], str]

    def steps(self, length: float) -> int:
        """Return a length in mm in steps of the last place, rounded as it is printed."""
        return round(float(self.written(length)) * 10.0**self.places)

    def value(self, steps: int) -> float:
        """Return steps of the last place as a number of the unit."""
        return float(round(steps * 10.0**-self.places, self.places))


MM = Figures(100.0, 2, (10, 5, 2, 1), mm_number)
INCH = Figures(1000.0 / MM_PER_INCH, 3, (10, 5, 2, 1), inch_number)


@record
class Passes:
    """Equal passes, and a last one of another depth or None; in mm or in inches."""

    count: int
    each: float
    last: float | None = None

    @property
    def total(self) -> int:
        """How many passes there are."""
        return self.count + (self.last is not None)

    @property
    def height(self) -> float:
        """What they take away together."""
        return self.count * self.each + (self.last or 0.0)


def passes_of(
    top: float, tip: float, count: int, most: float, figures: Figures = MM, asked: float | None = None
) -> Passes:
    """Return the passes from `top` down to `tip`, mm below the datum, as both are printed in a unit.

    count: fewest passes that are sound; most: the deepest sound one, mm; asked: the author's own depth per pass, mm.
    """
    height = max(1, figures.steps(tip) - figures.steps(top))
    if asked is not None:
        count = max(1, math.ceil((tip - top) / asked - _SLACK))
        each = height if count == 1 else max(1, figures.steps(asked))
    else:
        each = _each(height, count, math.floor(most * figures.per_mm + _SLACK), figures.handy)
    count = min(count, math.ceil(height / each))
    last = height - (count - 1) * each
    if last == each:
        return Passes(count, figures.value(each))
    return Passes(count - 1, figures.value(each), figures.value(last))


def _each(height: int, count: int, most: int, handy: tuple[int, ...]) -> int:
    if count <= 1:
        return height
    if height % count == 0:
        return height // count
    even = height / count
    limit = min(most, even * (1 + min(_MOST_MORE, (1 - _LEAST_LAST) / count)))
    rounded = (math.ceil(even / step) * step for step in handy)
    return next((each for each in rounded if each <= limit), math.ceil(even))
