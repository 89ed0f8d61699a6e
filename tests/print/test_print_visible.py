"""Small cuts in the pictures of the steps: large enough to be seen, in their own shape, clear of one another."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, MultiPolygon, Point, box
from shapely.ops import substring

from kitforge.pictures.drawn.part import step_picture
from kitforge.pictures.drawn.visible import made_visible, width_of
from kitforge.pictures.drawn.ways import stretches_of
from kitforge.print.svg import VERMILLION

if TYPE_CHECKING:
    from kitforge.model.plan import Plan


def sizes(shape: object) -> tuple[float, float]:
    left, bottom, right, top = shape.bounds  # type: ignore[attr-defined]
    return right - left, top - bottom


def test_the_width_of_a_stroke_and_of_a_ring_is_that_of_its_line() -> None:
    assert width_of(box(0, 0, 20, 3)) == pytest.approx(3)
    ring = box(0, 0, 50, 50).difference(box(2, 2, 48, 48))
    assert width_of(ring) == pytest.approx(2, rel=0.05)  # type: ignore[arg-type]


def test_a_short_stroke_stays_a_stroke() -> None:
    """A mark of 6 by 1.2 mm at 1:5 is grown to half a millimetre of paper and stays more than twice as long."""
    (grown,) = made_visible([box(0, 0, 6, 1.2)], 0.2)
    length, width = (value * 0.2 for value in sizes(grown))
    assert width == pytest.approx(0.5, abs=0.02)
    assert length > 2 * width


def test_a_small_hole_is_grown_and_a_large_one_left() -> None:
    small, large = Point(0, 0).buffer(2), Point(100, 0).buffer(20)
    grown, same = made_visible([small, large], 0.1)
    assert sizes(grown)[0] * 0.1 == pytest.approx(1.5, abs=0.02)
    assert same.equals(large)


@given(st.floats(0.02, 1.0), st.floats(2.5, 30), st.integers(2, 12))
def test_grown_cuts_never_touch(scale: float, pitch: float, count: int) -> None:
    holes = [Point(index * pitch, 0).buffer(1) for index in range(count)]
    grown = made_visible(holes, scale)
    assert not any(one.intersects(two) for one, two in itertools.pairwise(grown))
    assert all(after.buffer(1e-9).contains(before) for before, after in zip(holes, grown, strict=True))


@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)), min_size=2, max_size=12, unique=True))
def test_a_cut_grows_into_three_tenths_of_the_gap_to_its_nearest_neighbour(places: list[tuple[int, int]]) -> None:
    """Wherever the others lie, and whether or not they grow themselves: the large ones in the last column do not."""
    sides = [35 if x == 9 else 2 for x, _ in places]
    cuts = [box(40 * x, 40 * y, 40 * x + side, 40 * y + side) for side, (x, y) in zip(sides, places, strict=True)]
    for number, (cut, grown) in enumerate(zip(cuts, made_visible(cuts, 0.05), strict=True)):
        gap = min(cut.distance(other) for at, other in enumerate(cuts) if at != number)
        by = 0.0 if sides[number] == 35 else min((1.5 / 0.05 - 2) / 2, 0.3 * gap)
        assert sizes(grown)[0] == pytest.approx(sides[number] + 2 * by, abs=1e-6)


def test_the_picture_of_a_step_fills_small_strokes_each_for_itself(plan: Plan) -> None:
    marks = MultiPolygon([box(20 * i, 10, 20 * i + 6, 11) for i in range(1, 9)])
    svg = step_picture(replace(plan.steps[0], cut=marks, tabs=()), (), 54, 60).svg
    filled = re.findall(rf'<path d="M[^"]*" fill="{VERMILLION}"', svg)
    assert len(filled) == 8


@given(
    st.lists(st.tuples(st.integers(-9, 9), st.integers(-9, 9)), min_size=2, max_size=12, unique=True),
    st.lists(st.floats(0, 0.9), min_size=1, max_size=5),
    st.floats(0.01, 0.1),
)
def test_stretches_of_a_way_are_those_of_the_library(
    corners: list[tuple[int, int]], starts: list[float], share: float
) -> None:
    """Also where one begins or ends in a corner; against shapely, to the last digit."""
    way = LineString([*corners, corners[0]])
    along, long = [start * way.length for start in starts], share * way.length
    expected = [list(substring(way, start, start + long).coords) for start in along]
    assert [list(one.coords) for one in stretches_of(way, along, long)] == expected
