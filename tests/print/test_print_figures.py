"""Figures in print: rounding never leaves the range, both unit systems stand side by side."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitforge.language import say_counted
from kitforge.print.figures import Measure, Units, between, grouped, handy, listed, minutes, units_for


def _value(text: str) -> float:
    return float(text.replace("\u00a0", ""))


@pytest.mark.parametrize(
    ("value", "low", "high", "expected"),
    [
        (1478.0, 700.0, 1900.0, "1480"),
        (107.87, 50.0, 107.87, "107"),
        (0.0713, 0.01, 1.0, "0.071"),
        (18000.0, 6000.0, 24000.0, "18\u00a0000"),
        (2.1666, 0.0, 2.2225, "2.2"),
    ],
)
def test_a_handy_figure_has_few_digits_and_stays_in_range(value: float, low: float, high: float, expected: str) -> None:
    assert handy(value, low, high) == expected


@settings(max_examples=150, deadline=None)
@given(st.floats(0.01, 50000), st.floats(0.01, 1.0), st.floats(1.0, 30.0))
def test_a_handy_figure_lies_in_its_range_and_within_a_twentieth(start: float, down: float, up: float) -> None:
    low, high = start * down, start * up
    shown = _value(handy(start, low, high))
    assert low * 0.999 <= shown <= high * 1.001
    assert math.isclose(shown, start, rel_tol=0.06)


@settings(max_examples=150, deadline=None)
@given(st.floats(0.01, 50000), st.floats(1.0, 30.0))
def test_a_printed_range_never_reaches_beyond_the_computed_one(low: float, factor: float) -> None:
    ends = [_value(end) for end in between(low, low * factor).split("–")]
    assert min(ends) >= low * 0.999
    assert max(ends) <= low * factor * 1.001


@settings(max_examples=150, deadline=None)
@given(st.floats(0.05, 20000), st.floats(1.3, 10.0), st.floats(0.0, 1.0))
def test_the_start_value_in_print_never_lies_above_its_range(low: float, factor: float, share: float) -> None:
    high = low * factor
    top = _value(between(low, high).split("–")[-1])
    assert _value(handy(low + share * (high - low), low, high)) <= top * 1.031


def test_a_range_without_a_lower_end_says_so() -> None:
    assert between(0.0, 1.298346) == "up to 1.29"


def test_units_put_the_chosen_system_first() -> None:
    """25.4 mm are exactly one inch (international yard and pound agreement of 1959)."""
    assert Units("in", both=True).length(25.4) == Measure("1.000 in", "25.4 mm")
    assert Units("mm", both=True).length(25.4) == Measure("25.4 mm", "1.000 in")


@pytest.mark.parametrize(
    ("mm", "places", "metric", "inches"),
    [
        (3.175, 2, "3.175", "0.125"),
        (1.5875, 2, "1.59", "0.0625"),
        (9.525, 2, "9.525", "0.375"),
        (6.35, 2, "6.35", "0.250"),
        (4.7625, 2, "4.76", "0.1875"),
        (0.79, 2, "0.79", "0.031"),
        (79.0, 0, "79", "3.11"),
        (27.4, 0, "27", "1.08"),
        (475.0, 1, "475", "18.70"),
        (0.2, 1, "0.2", "0.008"),
    ],
)
def test_parts_of_an_inch_are_exact_and_rough_sizes_rough(mm: float, places: int, metric: str, inches: str) -> None:
    """Sixteenths as a rule reads them (arithmetic of the inch of 25.4 mm); nobody saws to a thousandth."""
    assert Units("mm", both=True).length(mm, places) == Measure(f"{metric} mm", f"{inches} in")
    assert Units("in", both=True).size(mm, places=places) == Measure(f"{inches} in", f"{metric} mm")


def test_one_system_alone_prints_no_other() -> None:
    assert units_for("mm", "in").length(12.7) == Measure("12.7 mm")


def test_both_systems_follow_the_kit() -> None:
    assert units_for("both", "in").first == "in"


def test_a_feed_is_rounded_in_each_system_for_itself() -> None:
    assert Units("mm", both=True).setting(1500.0, "mm/min", 1000.0, 2000.0) == Measure("1500", "59")


@pytest.mark.parametrize(
    ("seconds", "expected"),
    [((20, 40), "about 1 min"), ((400, 700), "7–12 min"), ((3600, 7200), "1 h to 2 h"), ((0, 0), "under 1 min")],
)
def test_times_are_rounded_up_to_handy_steps(seconds: tuple[float, float], expected: str) -> None:
    assert minutes(seconds) == expected


def test_small_numbers_are_words_and_lists_read_as_sentences() -> None:
    assert say_counted("one tab", "{count} tabs", 4) == "four tabs"
    assert say_counted("one copy", "{count} copies", 28) == "28 copies"
    assert listed(["a", "b", "c"]) == "a, b and c"
    assert grouped(12345.0) == "12\u00a0345"
