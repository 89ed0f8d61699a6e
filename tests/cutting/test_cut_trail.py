"""The printed calculation: every line worked again from its printed numbers by an evaluator that knows no physics."""

from __future__ import annotations

import pickle

import pytest
from calculator import worked
from hypothesis import given
from hypothesis import strategies as st

from kitforge.cutting.settings import FEED_FOLLOWS, settings
from kitforge.cutting.sources import HERE
from kitforge.model.settings import (
    CalculationLine,
    Cut,
    CutSettings,
    CutterGeometry,
    CutterKind,
    NoWindow,
    RequestedSettings,
    Work,
)
from kitforge.workshop.cutting_data import cutting_data
from kitforge.workshop.load import load_workshop

SHOP, DATA = load_workshop(), cutting_data()
CUTTERS = st.one_of(
    st.builds(
        lambda shape, d, z: CutterGeometry(shape, d, 3 * d, 6.35, 3 * d + 40, z),
        st.sampled_from([CutterKind.UP_CUT, CutterKind.STRAIGHT, CutterKind.DOWN_CUT, CutterKind.BALL_NOSE]),
        st.floats(1.5, 12.7),
        st.integers(1, 4),
    ),
    st.builds(
        lambda angle: CutterGeometry(CutterKind.V_BIT, 12.7, 11, 6.35, 45, 2, angle=angle, tip=0.2),
        st.floats(20, 120),
    ),
    st.just(CutterGeometry(CutterKind.BOWL, 19.05, 16, 6.35, 55, 2, corner_radius=6.35, centre_cutting=False)),
)
CUTS = st.builds(
    Cut,
    work=st.sampled_from([Work.POCKET, Work.DISH, Work.PROFILE, Work.GROOVE, Work.FACE, Work.DRILL, Work.CHAMFER]),
    depth=st.floats(0.2, 4.0),
    finishing=st.booleans(),
    reach=st.sampled_from([None, 8.0]),
    side_stock=st.sampled_from([0.0, 0.3]),
    cusp=st.sampled_from([None, 0.02]),
    slope=st.sampled_from([0.0, 20.0]),
)
WISHES = st.sampled_from(
    [
        RequestedSettings(),
        RequestedSettings(speed=14_000, depth_per_pass=1.5),
        RequestedSettings(feed=1500, stepover=1.0),
    ]
)


@given(CUTS, CUTTERS, st.sampled_from(sorted(SHOP.materials)), st.sampled_from(sorted(SHOP.machines)), WISHES)
def test_every_line_follows_from_its_own_numbers(
    cut: Cut, cutter: CutterGeometry, material: str, machine: str, wish: RequestedSettings
) -> None:
    """Formula and inputs of each line give its result; only depths found by trial are exempt and say so."""
    found = settings(cut, cutter, SHOP.materials[material], SHOP.machines[machine], DATA, wish)
    for line in found.trail.lines:
        if line.formula.startswith("by trial"):
            reached = line.inputs[-1]
            assert reached.value == pytest.approx(_bound(line), rel=1e-4)
            continue
        assert worked(line) == pytest.approx(line.result, rel=1e-9, abs=1e-9), (line.what, line.formula)


def _bound(line: CalculationLine) -> float:
    """Return what the load of a depth found by trial may reach: the input that stands last in its formula."""
    symbol = line.formula.rsplit(" ", 1)[1]
    return next(given.value for given in line.inputs if given.symbol == symbol)


@given(CUTS, CUTTERS, st.sampled_from(sorted(SHOP.materials)), st.sampled_from(sorted(SHOP.machines)), WISHES)
def test_every_number_has_a_source(
    cut: Cut, cutter: CutterGeometry, material: str, machine: str, wish: RequestedSettings
) -> None:
    """Nothing rests on the bare words 'derived' or 'memory', and what comes from a line is that line's result."""
    found = settings(cut, cutter, SHOP.materials[material], SHOP.machines[machine], DATA, wish)
    lines = found.trail.lines
    for place, line in enumerate(lines):
        assert line.source, line.what
        for number in line.inputs:
            assert number.source.strip() not in ("", "derived", "memory"), (line.what, number)
            assert (number.source == HERE) <= (number.line > 0), (line.what, number)
            if number.line:
                assert number.line <= place, (line.what, number)
                assert lines[number.line - 1].result == number.value, (line.what, number)


@given(CUTS, CUTTERS, st.sampled_from(sorted(SHOP.materials)), st.sampled_from(sorted(SHOP.machines)), WISHES)
def test_every_bound_of_a_window_is_in_the_calculation(
    cut: Cut, cutter: CutterGeometry, material: str, machine: str, wish: RequestedSettings
) -> None:
    """No window has a bound that the printed calculation does not derive."""
    found = settings(cut, cutter, SHOP.materials[material], SHOP.machines[machine], DATA, wish)
    if isinstance(found, CutSettings):
        lines, where = found.trail.lines, dict(found.trail.limits)
        for window in found.windows:
            for limit in (window.low_limit, window.high_limit):
                if limit.reason == FEED_FOLLOWS:  # a row of its own, not a case of a limit
                    assert limit.value in {line.result for line in lines}
                elif limit.reason != "no lower limit":
                    assert lines[where[limit.case] - 1].result == limit.value, (window.quantity, limit)


@given(CUTS, CUTTERS, st.sampled_from(sorted(SHOP.materials)), st.sampled_from(sorted(SHOP.machines)), WISHES)
def test_every_result_is_in_the_calculation(
    cut: Cut, cutter: CutterGeometry, material: str, machine: str, wish: RequestedSettings
) -> None:
    """What is printed of a step stands in a line, unless it came in as it is."""
    found = settings(cut, cutter, SHOP.materials[material], SHOP.machines[machine], DATA, wish)
    if isinstance(found, CutSettings):
        results = {line.result for line in found.trail.lines}
        shown = [found.loads.side_force, found.loads.lift, found.loads.power, found.chip.mean, float(found.passes)]
        shown += [window.start for window in found.windows if not window.author]
        given = {one.value for line in found.trail.lines for one in line.inputs}
        assert [value for value in shown if value not in results | given] == []


def test_a_refusal_shows_what_crosses() -> None:
    """Without a window the lines lead to both limits that leave none."""
    cutter = CutterGeometry(CutterKind.UP_CUT, 6.35, 19, 6.35, 50, 2, max_speed=8000)
    found = settings(Cut(Work.PROFILE, 6), cutter, SHOP.materials["black_cherry"], SHOP.machines["light_router"], DATA)
    assert isinstance(found, NoWindow)
    assert [line.what for line in found.trail.lines] == [
        "speed at least, machine speed",
        "speed at most, cutter maximum",
    ]


def test_the_calculation_survives_packing() -> None:
    """Settings are handed to helper processes; the shop's tables are found again there."""
    found = settings(
        Cut(Work.PROFILE, 6), CutterGeometry(CutterKind.UP_CUT, 6.35, 19, 6.35, 50, 2),
        SHOP.materials["black_cherry"], SHOP.machines["medium_router"], DATA,
    )  # fmt: skip
    assert pickle.loads(pickle.dumps(found)).trail == found.trail
