"""A row's passes add up to the depth that its page prints, in both systems of units."""

from __future__ import annotations

import csv
import io
import math
import re

import pytest
from divided_passes import divided
from hypothesis import given
from hypothesis import strategies as st

from kitforge.model.passes import INCH, MM, Figures, passes_of
from kitforge.model.units import mm_number
from kitforge.pipeline import CheckedKit
from kitforge.print.figures import units_for
from kitforge.print.settings import step_view
from kitforge_sheet.table import settings_table

_MORE = 0.03  # as much deeper than an equal share a pass may be for the sake of a handy figure


def printed(words: str) -> float:
    """Return the number that a page shows, e.g. 4.9 of '4.9 mm'."""
    found = re.search(r"[\d.]+", words.replace("\u00a0", ""))
    assert found, words
    return float(found.group())


def test_equal_passes_where_it_comes_out_even() -> None:
    """18 mm in four passes are 4 x 4.5 mm, and 0.709 in are 3 x 0.18 in and a last of 0.169 in."""
    four = passes_of(0.0, 18.0, 4, 5.0)
    assert (four.count, four.each, four.last) == (4, 4.5, None)
    inches = passes_of(0.0, 18.0, 4, 5.0, INCH)
    assert (inches.count, inches.each, inches.last) == (3, 0.18, 0.169)
    assert inches.height == pytest.approx(0.709)


def test_else_the_last_pass_takes_what_is_left() -> None:
    """19.5 mm in four passes would be 4.875 mm each: 4.9, 4.9, 4.9 and 4.8."""
    four = passes_of(0.0, 19.5, 4, 5.2)
    assert (four.count, four.each, four.last) == (3, 4.9, 4.8)


def test_a_depth_per_pass_of_the_author_is_printed_as_he_wrote_it() -> None:
    """5.5 mm by 2 mm: two passes of 2 and a last of 1.5; not three of 1.83."""
    own = passes_of(0.0, 5.5, 3, 4.0, asked=2.0)
    assert (own.count, own.each, own.last) == (2, 2.0, 1.5)


@given(
    st.floats(0.0, 20.0),
    st.floats(0.05, 60.0),
    st.floats(0.1, 12.0),
    st.sampled_from([MM, INCH]),
    st.one_of(st.none(), st.floats(0.05, 12.0)),
)
def test_passes_add_up_as_printed(
    top: float, height: float, most: float, figures: Figures, asked: float | None
) -> None:
    """The sum is that of the printed figures; no pass but by rounding is deeper than the deepest sound one."""
    tip, count = top + height, max(1, math.ceil(height / most - 1e-6))
    found = passes_of(top, tip, count, most, figures, asked)
    whole = max(1, figures.steps(tip) - figures.steps(top))
    assert found.height == pytest.approx(figures.value(whole), abs=1e-9)
    assert found.each > 0
    assert found.last is None or found.last > 0
    metric = passes_of(top, tip, count, most, MM, asked)
    if metric.total < 12 and metric.each > 0.2:
        assert found.total == metric.total
    if asked is None:
        assert found.last is None or found.last < found.each
        place = 10.0**-figures.places
        assert found.each <= most * figures.per_mm * place + place
        assert found.each <= height * figures.per_mm * place / count * (1 + _MORE) + 2 * place
        assert found.total <= count


@given(st.integers(1, 8000), st.floats(0.1, 12.0))
def test_half_a_hundredth_goes_the_same_way_as_in_the_depth(halves: int, most: float) -> None:
    """0.225 in are 5.715 mm, which is printed as 5.71: two passes of 2.86 would be more."""
    deep = halves * 0.005
    found = passes_of(0.0, deep, max(1, math.ceil(deep / most)), most)
    thousandths = mm_number(deep).partition(".")[2][2:]
    assert found.height == pytest.approx(max(0.01, float(mm_number(deep))), abs=0.005 if thousandths else 1e-9)


@pytest.mark.parametrize("first", ["mm", "in"])
def test_rows_of_every_demo_kit_add_up_in_both_systems(demo: CheckedKit, first: str) -> None:
    """52 of 159 rows fell short of the depth, or beyond it, before the rule of passes."""
    units = units_for("both", first)
    for machine in demo.plan.machines:
        for step in demo.plan.steps:
            if step.key in machine.settings:
                row = step_view(demo.plan, machine, machine.settings[step.key], units)
                own, others = divided(row.passes.count, row.passes.more)
                assert own[1] == row.passes.last
                systems = (("main", 2 if first == "mm" else 3, own), ("other", 3 if first == "mm" else 2, others))
                for system, places, (count, last) in systems:
                    what = f"{step.key} on {machine.machine.key}, {system}"
                    tip, top = (printed(getattr(units.length(value), system)) for value in (step.depth, step.top))
                    each = getattr(row.depth.start, system)
                    together = count * printed(each) + (printed(last) if last else 0.0)
                    assert round(together, places) == round(tip - top, places), what
                    span = getattr(row.depth.span, system)
                    assert not span or printed(each) <= printed(span.split("–")[-1]) + 1e-9, what


def test_the_table_adds_up_and_names_the_surface(demo: CheckedKit) -> None:
    rows = list(csv.DictReader(io.StringIO(settings_table(demo.plan, demo.plan.machines).decode())))
    by_row: dict[tuple[str, str], dict[str, dict[str, str]]] = {}
    for row in rows:
        by_row.setdefault((row["machine_class"], row["step_key"]), {})[row["setting"]] = row
    for key, settings in by_row.items():
        start = {name: float(row["start"]) for name, row in settings.items() if row["start"]}
        together = start["passes"] * start["depth_per_pass"] + start.get("last_pass", 0.0)
        assert together == pytest.approx(start["depth"] - start["starts_at"], abs=0.0101), key
        assert settings["depth"]["low_limit"].split(" after ")[0] in ("top", "bottom")
