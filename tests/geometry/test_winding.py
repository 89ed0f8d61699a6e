"""Fonts fill by the non-zero winding rule; here their outlines become loops for the even-odd rule."""

from __future__ import annotations

import math
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import box, union_all

from kitforge.geometry.region import area_of
from kitforge.geometry.shapes import polyline, rectangle
from kitforge.geometry.winding import without_overlaps
from kitforge.model.path import Path, circle


def square(x: float, y: float, size: float, *, hole: bool = False) -> Path:
    """A square by its lower left corner; a hole runs clockwise."""
    path = rectangle((size, size), at=(x, y)).counter_clockwise()
    return path.reversed() if hole else path


def test_sound_outlines_come_back_as_they_are() -> None:
    """An O with its true arcs, and a dot beside it."""
    letters = [circle(0, 0, 10), circle(0, 0, 6).reversed(), circle(20, 0, 2)]
    assert letters == without_overlaps(letters)


def test_a_cross_of_two_bars_is_one_outline() -> None:
    found = without_overlaps([rectangle((30, 4), at=(0, 13)), rectangle((4, 30), at=(13, 0))])
    assert len(found) == 1
    assert pytest.approx(2 * 30 * 4 - 16) == area_of(found).area


def test_a_loop_inside_another_of_the_same_direction_makes_no_hole() -> None:
    assert pytest.approx(100.0) == area_of(without_overlaps([square(0, 0, 10), square(3, 3, 2)])).area


def test_a_bar_across_a_ring_fills_its_hole_where_it_runs() -> None:
    """A ring of 20 with a hole of 10, and a bar of 2 across all of it."""
    found = without_overlaps([square(0, 0, 20), square(5, 5, 10, hole=True), rectangle((30, 2), at=(-5, 9))])
    assert pytest.approx(400 - 100 + 2 * 10 + 2 * 10) == area_of(found).area


def test_a_stroke_that_crosses_itself_is_filled() -> None:
    """A five-pointed star in one stroke winds twice about its middle (area of a pentagram within its hull)."""
    corners = [(math.cos(math.radians(90 + 144 * n)), math.sin(math.radians(90 + 144 * n))) for n in range(5)]
    found = without_overlaps([polyline(corners, closed=True)])
    inner = (3 - math.sqrt(5)) / 2
    assert pytest.approx(5 * inner * math.sin(math.radians(36)), rel=1e-6) == area_of(found).area


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 20), st.integers(0, 20), st.integers(1, 9)), min_size=1, max_size=8, unique=True)
)
def test_loops_of_one_direction_give_their_union(squares: list[tuple[int, int, int]]) -> None:
    found = without_overlaps([square(*one) for one in squares])
    union = union_all([box(x, y, x + size, y + size) for x, y, size in squares])
    assert pytest.approx(union.area, rel=1e-9) == area_of(found).area


def test_what_crosses_without_end_is_left_alone_in_time() -> None:
    """A star of 4,001 points in which nearly every line crosses every other."""
    turns = [2 * math.pi * 2000 * n / 4001 for n in range(4001)]
    star = polyline([(10 * math.cos(turn), 10 * math.sin(turn)) for turn in turns], closed=True)
    started = time.process_time()
    assert [star] == without_overlaps([star])
    assert time.process_time() - started < 10
