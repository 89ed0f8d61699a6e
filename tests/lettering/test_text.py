"""Text set on lines and arcs."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitforge.geometry.region import area_of
from kitforge.lettering.text import Align, Arc, Lettering, text_on_arc, text_on_line, width_of
from kitforge.lettering.typeface import LetteringError, shipped_typeface
from kitforge.model.path import Path

FACE = shipped_typeface("Bold")


def box(paths: list[Path]) -> tuple[float, float, float, float]:
    return area_of(paths).bounds


@settings(max_examples=15, deadline=None)
@given(st.floats(1, 300))
def test_capitals_are_as_high_as_asked(height: float) -> None:
    """The size of text is the height of a capital."""
    _, low, _, high = box(text_on_line("H", FACE, Lettering(height)))
    assert (0.0, height) == pytest.approx((low, high), abs=1e-6 * height)


def test_outlines_have_arcs_and_true_area() -> None:
    """Curves become arcs; the area of text is that of its polygon with holes, and grows with the square of size."""
    one, two = (text_on_line("Bo8", FACE, Lettering(height)) for height in (10.0, 20.0))
    assert any(path.has_arcs for path in one)
    assert len(one) == 1 + 2 + 2 + 3 - 0 or len(one) == 8
    assert 4 * area_of(one).area == pytest.approx(area_of(two).area, rel=2e-3)


@pytest.mark.parametrize(("align", "share"), [(Align.LEFT, 0.0), (Align.CENTRE, 0.5), (Align.RIGHT, 1.0)])
def test_alignment_puts_start_middle_or_end_at_the_place(align: Align, share: float) -> None:
    """The advance of the line, not its ink, is aligned."""
    how = Lettering(10.0, align=align)
    plain, moved = text_on_line("Clock", FACE, Lettering(10.0)), text_on_line("Clock", FACE, how, (100.0, 50.0))
    width = width_of("Clock", FACE, how)
    assert box(plain)[0] + 100 - share * width == pytest.approx(box(moved)[0])
    assert box(plain)[1] + 50 == pytest.approx(box(moved)[1])


def test_spacing_widens_between_characters_only() -> None:
    """Spacing is added once between each pair of characters."""
    narrow, wide = (width_of("HHH", FACE, Lettering(10.0, spacing=s)) for s in (0.0, 2.0))
    assert narrow + 4.0 == pytest.approx(wide)


def test_lines_run_downwards() -> None:
    """A line break goes down by the leading."""
    two = text_on_line("H\nH", FACE, Lettering(10.0, leading=1.5))
    assert pytest.approx(box(two)[1]) == -15.0


def test_mirrored_text_reads_right_from_behind() -> None:
    """Mirroring keeps area and height and turns left into right."""
    plain, mirror = (text_on_line("Pf", FACE, Lettering(10.0, mirrored=flag)) for flag in (False, True))
    assert (-box(plain)[2], -box(plain)[0]) == pytest.approx((box(mirror)[0], box(mirror)[2]))
    assert area_of(plain).area == pytest.approx(area_of(mirror).area, rel=1e-4)


def test_turned_text_is_turned_about_its_place() -> None:
    """A quarter turn lets the text run upwards from the place."""
    left, low, right, high = box(text_on_line("HHHH", FACE, Lettering(10.0, turn=90.0), (5.0, 5.0)))
    assert (left, right) == pytest.approx((-5.0, 5.0))
    assert high - low > 20
    assert low < 10


@settings(max_examples=15, deadline=None)
@given(st.floats(25, 200), st.floats(-180, 180), st.booleans())
def test_letters_stand_on_the_arc(radius: float, middle: float, inside: bool) -> None:
    """Every letter stays between the base line and the height of the capitals; the text is centred on its angle."""
    arc = Arc(3.0, -2.0, radius, middle, inside=inside)
    points = [(x - 3, y + 2) for path in text_on_arc("HIH", FACE, Lettering(8.0), arc) for x, y in path.flatten()]
    away = [math.hypot(x, y) for x, y in points]
    half = 8.0
    low, high = (radius - 8.0, math.hypot(radius, half)) if inside else (radius, math.hypot(radius + 8.0, half))
    assert low - 1e-6 <= min(away)
    assert max(away) <= high
    turned = [math.remainder(math.atan2(y, x) - math.radians(middle), math.tau) for x, y in points]
    assert max(turned) == pytest.approx(-min(turned), abs=0.02)


def test_mirrored_text_on_an_arc_is_the_mirror_image() -> None:
    """About the vertical through the centre."""
    arc = Arc(10.0, 0.0, 40.0, 90.0)
    plain, mirror = (text_on_arc("AB", FACE, Lettering(8.0, mirrored=flag), arc) for flag in (False, True))
    assert 20 - box(plain)[0] == pytest.approx(box(mirror)[2])


@pytest.mark.parametrize(
    ("text", "how"),
    [("x" * 401, Lettering(10)), ("x", Lettering(0.1)), ("x", Lettering(math.nan)), ("x", Lettering(10, spacing=1e9))],
)
def test_measures_that_make_no_sense_are_refused(text: str, how: Lettering) -> None:
    """Endless text, sizes out of all proportion, and numbers that are none."""
    with pytest.raises(LetteringError):
        text_on_line(text, FACE, how)


@pytest.mark.parametrize("arc", [Arc(0, 0, 0), Arc(0, 0, math.inf), Arc(0, 0, 5), Arc(0, 0, 6, inside=True)])
def test_circles_too_small_for_the_text_are_refused(arc: Arc) -> None:
    """A circle must hold the text once round, and its letters inside."""
    with pytest.raises(LetteringError):
        text_on_arc("CLOCKWORK", FACE, Lettering(8.0), arc)
