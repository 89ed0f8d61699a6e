"""The printed calculation: every line worked again from its printed numbers by an evaluator that knows no physics."""

from __future__ import annotations

import pytest
from calculator import worked
from hypothesis import given
from hypothesis import settings as limits
from hypothesis import strategies as st

from kitforge.cutting.notebook import explain
from kitforge.cutting.records import Cut, CutSettings, CutterGeometry, CutterKind, Wish, Work
from kitforge.cutting.settings import settings
from kitforge.cutting.sources import HERE, HOLDING
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
WISHES = st.sampled_from([Wish(), Wish(speed=14_000, depth_per_pass=1.5), Wish(feed=1500, stepover=1.0)])


@limits(max_examples=150, deadline=None)
@given(CUTS, CUTTERS, st.sampled_from(sorted(SHOP.materials)), st.sampled_from(sorted(SHOP.machines)), WISHES)
def test_every_line_follows_from_its_own_numbers(
    cut: Cut, cutter: CutterGeometry, material: str, machine: str, wish: Wish
) -> None:
    """Formula and inputs of each line give its result; only depths found by trial are exempt and say so."""
    found = settings(cut, cutter, SHOP.materials[material], SHOP.machines[machine], DATA, wish)
    for line in found.trail.lines:
        if line.formula.startswith("by trial"):
            continue
        assert worked(line) == pytest.approx(line.result, rel=2e-3, abs=1e-9), (line.what, line.formula)


@limits(max_examples=60, deadline=None)
@given(CUTS, CUTTERS, st.sampled_from(sorted(SHOP.materials)), st.sampled_from(sorted(SHOP.machines)), WISHES)
def test_every_number_has_a_source(cut: Cut, cutter: CutterGeometry, material: str, machine: str, wish: Wish) -> None:
    """Nothing rests on the bare words 'derived' or 'memory', and what comes from the calculation stands in it."""
    found = settings(cut, cutter, SHOP.materials[material], SHOP.machines[machine], DATA, wish)
    results = {line.result for line in found.trail.lines}
    for line in found.trail.lines:
        assert line.source, line.what
        for number in line.inputs:
            assert number.source.strip() not in ("", "derived", "memory"), (line.what, number)
            assert number.source not in (HERE, HOLDING) or number.value in results, (line.what, number)


@limits(max_examples=40, deadline=None)
@given(CUTS, CUTTERS, st.sampled_from(sorted(SHOP.materials)), st.sampled_from(sorted(SHOP.machines)))
def test_every_bound_of_a_window_is_in_the_calculation(
    cut: Cut, cutter: CutterGeometry, material: str, machine: str
) -> None:
    """No window has a bound that the printed calculation does not derive."""
    found = settings(cut, cutter, SHOP.materials[material], SHOP.machines[machine], DATA)
    if isinstance(found, CutSettings):
        results = {line.result for line in found.trail.lines}
        for window in found.windows:
            assert window.high in results, window.quantity
            assert window.low in results or window.low_limit.reason == "no lower limit", window.quantity


def test_a_refusal_shows_the_calculation_up_to_it() -> None:
    """Without a window the print ends with what blocks it."""
    cutter = CutterGeometry(CutterKind.UP_CUT, 6.35, 19, 6.35, 50, 2, max_speed=8000)
    found = settings(Cut(Work.PROFILE, 6), cutter, SHOP.materials["black_cherry"], SHOP.machines["light_router"], DATA)
    text = explain(found)
    assert "cutter maximum" in text
    assert text.splitlines()[-1].startswith("No settings: No speed for the up-cut of 6.35 mm")
