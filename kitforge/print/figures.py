"""Figures for print: millimetres and inches side by side, rounded so that a rounded range never grows."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.language import decimal, later, render_text, say, say_as
from kitforge.model.steps import Phase
from kitforge.model.units import MM_PER_INCH, inch_number, mm_number, plain_number

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from kitforge.model.kit import Stock
    from kitforge.model.plan import Plan, Sheet
    from kitforge.model.steps import Step

RPM = later("rpm")
_AS_MEASURED = 0.0005
"""So much, mm, a length that was measured on a flattened drawing may be off."""


@dataclass(frozen=True, slots=True)
class Measure:
    """A figure in the first unit system, and in the other one ('' when only one is printed)."""

    main: str
    other: str = ""

    def __str__(self) -> str:
        return f"{self.main} ({self.other})" if self.other else self.main


@dataclass(frozen=True, slots=True)
class Units:
    """Which unit system comes first in print and whether the other one follows."""

    first: str
    both: bool

    def pick(self, mm: str, inch: str) -> Measure:
        """Return the two wordings in the order of this choice, with the decimal sign of the language."""
        main, other = (decimal(inch), decimal(mm)) if self.first == "in" else (decimal(mm), decimal(inch))
        return Measure(main, other if self.both else "")

    def length(self, mm: float, places: int = 2) -> Measure:
        """A length."""
        return self.pick(f"{mm_number(mm, places)} mm", f"{inch_number(mm, places)} in")

    def bound(self, mm: float, *, least: bool) -> Measure:
        """A least or a greatest length: rounded up or down, so that what keeps to the printed one keeps to it."""
        turn, value = (math.ceil, mm - _AS_MEASURED) if least else (math.floor, mm + _AS_MEASURED)
        metric, inch = turn(value * 100) / 100, turn(value / MM_PER_INCH * 1000) / 1000 * MM_PER_INCH
        return self.pick(f"{mm_number(metric)} mm", f"{inch_number(inch)} in")

    def size(self, *mm: float, places: int = 2) -> Measure:
        """Two or three lengths, e.g. '300 × 200 × 18 mm', as exact as a single length."""
        metric = " × ".join(mm_number(value, places) for value in mm)
        inch = " × ".join(inch_number(value, places) for value in mm)
        return self.pick(f"{metric} mm", f"{inch} in")

    def feed(self, rate: float, low: float = -math.inf, high: float = math.inf) -> Measure:
        """A feed rate given in mm/min, rounded to a handy figure inside [low, high]."""
        metric = handy(rate, low, high)
        inch = handy(rate / MM_PER_INCH, low / MM_PER_INCH, high / MM_PER_INCH)
        return self.pick(f"{metric} mm/min", f"{inch} in/min")

    def setting(self, value: float, unit: str, low: float = -math.inf, high: float = math.inf) -> Measure:
        """A bare figure of a setting in mm, mm/min or rpm, rounded to a handy one inside [low, high]."""
        metric = handy(value, low, high)
        if not unit.startswith("mm"):
            return Measure(metric)
        return self.pick(metric, handy(value / MM_PER_INCH, low / MM_PER_INCH, high / MM_PER_INCH))

    def span(self, low: float, high: float, unit: str) -> Measure:
        """A bare range of a setting; its ends are rounded inwards."""
        if not unit.startswith("mm"):
            return Measure(between(low, high))
        return self.pick(between(low, high), between(low / MM_PER_INCH, high / MM_PER_INCH))

    def unit(self, unit: str) -> Measure:
        """The names of a setting's unit."""
        return self.pick(unit, unit.replace("mm", "in")) if unit.startswith("mm") else Measure(say_as(unit))


def units_for(choice: str, kit_first: str) -> Units:
    """Return the units for a build option ('mm', 'in' or 'both') and the kit's own first unit."""
    return Units(kit_first, both=True) if choice == "both" else Units(choice, both=False)


def handy(value: float, low: float = -math.inf, high: float = math.inf) -> str:
    """Return a figure with two to three leading digits that still lies inside [low, high].

    Tries the coarsest step first: 1478 in [700, 1900] prints 1 480; 0.0713 prints 0.071.
    """
    step, places = _step(value)
    for _ in range(4):
        share = value / step
        for rounded in (round(share) * step, math.floor(share) * step, math.ceil(share) * step):
            if low - 1e-9 <= rounded <= high + 1e-9 and abs(rounded - value) <= 0.05 * abs(value):
                return grouped(rounded, places)
        step, places = step / 10, places + (step <= 1)
    return grouped(value, places + 1)


def between(low: float, high: float) -> str:
    """Return 'low–high' with the ends rounded inwards, 'up to high' without a lower end, one figure when they meet."""
    if low <= 0:
        return say("up to {high}", high=_below(high))
    if high <= low * (1 + 1e-9):
        return handy(low, low, high)
    step, places = _step(high)
    for _ in range(4):
        bottom, top = math.ceil(low / step - 1e-6) * step, math.floor(high / step + 1e-6) * step
        if 0 < bottom < top and top >= 0.97 * high:
            return f"{grouped(bottom, places)}–{grouped(top, places)}"
        step, places = step / 10, places + (step <= 1)
    return handy((low + high) / 2, low, high)


def _below(high: float, least: float = 0.0) -> str:
    step, places = _step(high)
    while (top := math.floor(high / step + 1e-6) * step) < max(high * 0.97, least - 1e-9):
        step, places = step / 10, places + (step <= 1)
    return grouped(top, places)


def up_to(high: float, least: float) -> str:
    """Return 'up to high', rounded down, but never below `least`, which is printed beside it."""
    return say("up to {high}", high=_below(max(high, least), least))


def _step(value: float) -> tuple[float, int]:
    """Return the rounding step for a figure of this size, and its decimal places."""
    if value == 0:
        return 1.0, 0
    size = math.floor(math.log10(abs(value)))
    if size >= 3:
        return (100.0 if size >= 4 else 10.0), 0
    exponent = size - 1
    return 10.0**exponent, max(0, -exponent)


def grouped(value: float, places: int = 0) -> str:
    """Return a number with a thin gap every three digits from 10 000 upwards, without trailing zeros."""
    text = plain_number(value, max(0, places))
    whole, point, rest = text.partition(".")
    if len(whole.lstrip("-")) > 4:
        whole = f"{int(whole):,}".replace(",", "\u00a0")
    return decimal(whole + point + rest)


def figure(value: float, places: int = 2) -> str:
    """Return a number rounded to `places`, without trailing zeros, as the language writes it."""
    return decimal(plain_number(value, places))


def scale_words(scale: float) -> str:
    """Return a scale in words, e.g. '1 : 2' or '5 : 1', never parted at the end of a line."""
    words = f"{decimal(f'{scale:g}')} : 1" if scale > 1 else f"1 : {decimal(f'{1 / scale:.3g}')}"
    return words.replace(" ", "\u00a0")


def minutes(seconds: tuple[float, float]) -> str:
    """Return a span of time in words, e.g. '12–18 min' or '1 h 10 – 1 h 40 min'."""
    return minutes_together([seconds])


def minutes_together(spans: Iterable[tuple[float, float]]) -> str:
    """Return the sum of spans of time in words, of each as it is printed alone: a reader who adds them finds it."""
    found = [tuple(map(_nice_minutes, span)) for span in spans]
    short, long = (sum(ends) for ends in zip(*found, strict=True))
    if short == long:
        return say("about {time}", time=_clock(long)) if long else say("under 1 min")
    if long < 90:
        return say("{short}–{long} min", short=short, long=long)
    return say("{short} to {long}", short=_clock(short), long=_clock(long))


def _nice_minutes(seconds: float) -> int:
    value = seconds / 60
    step = 1 if value < 20 else 5 if value < 120 else 10
    return int(math.ceil(value / step - 1e-9) * step)


def _clock(value: int) -> str:
    hours, rest = divmod(value, 60)
    if not hours:
        return say("{minutes} min", minutes=rest)
    if rest:
        return say("{hours} h {minutes} min", hours=hours, minutes=f"{rest:02d}")
    return say("{hours} h", hours=hours)


def stock_title(stock: Stock) -> str:
    """Return the title of a stock: the author's, or wood and thickness in the language of print."""
    return render_text(stock.title)


def piece_title(sheets: Sequence[Sheet], plan: Plan) -> str:
    """Return the name of pieces of stock: their title, with their numbers where the kit takes several of the stock."""
    stock = sheets[0].stock
    if sum(sheet.stock.key == stock.key for sheet in plan.sheets) < 2:
        return stock_title(stock)
    numbers = sorted(sheet.number for sheet in sheets)
    run = len(numbers) > 2 and numbers[-1] - numbers[0] == len(numbers) - 1
    named = f"{numbers[0]}–{numbers[-1]}" if run else listed([str(number) for number in numbers])
    if len(numbers) == 1:
        return say("{stock}, piece {numbers}", stock=stock_title(stock), numbers=named)
    return say("{stock}, pieces {numbers}", stock=stock_title(stock), numbers=named)


def step_title(step: Step) -> str:
    """Return the title of a step: the author's for its operation, and the phase in the language of print."""
    return render_text(step.title)


def step_subject(step: Step) -> str:
    """Return what a step is cut on: the title of its part, or that it is the whole piece of stock."""
    if step.phase is Phase.CHECKING:
        return stock_title(step.part.stock)
    return say("whole piece of stock") if step.operation.whole else step.part.title


def listed(words: tuple[str, ...] | list[str]) -> str:
    """Return words as a list in a sentence: 'a, b and c', or 'a, x; b; and c' where one holds a comma itself."""
    if len(words) < 2:
        return "".join(words)
    if any(", " in word for word in words):
        return say("{first}; and {last}", first="; ".join(words[:-1]), last=words[-1])
    return say("{first} and {last}", first=", ".join(words[:-1]), last=words[-1])


def sentence(text: str) -> str:
    """Return text with a capital at the start and a full stop at the end."""
    text = text.strip()
    if not text:
        return ""
    return text[0].upper() + text[1:] + ("" if text[-1] in ".!?:" else ".")
