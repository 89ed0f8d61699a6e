"""Does it stay put: each hold-down once where it holds and once where it fails, and the freed part."""

from __future__ import annotations

import pytest
from builders import WORKSHOP, cutter, freed, kit, outside, part, planned, rounded, setup

from kitforge.cutting.hold import tab_strength
from kitforge.model.kit import Face, OnionSkin, Tabs
from kitforge.model.plan import FastenerPlace, HoldResult
from kitforge.planning.holding import capacity_of
from kitforge.workshop.cutting_data import cutting_data

AREA = 200.0 * 150.0
STRENGTH = tab_strength(WORKSHOP.materials["birch_plywood"], cutting_data())[0]
FOUR = tuple(FastenerPlace(x, 10.0, 12.0, kind, proposed=True) for kind in ("screws", "brads") for x in range(4))


def results(force: float, lift: float, holds: tuple[str, ...] = ("screws",), **more: object) -> tuple[HoldResult, ...]:
    plan = planned(kit(freed(**more), setups=(setup(Face.TOP, holds),)), force, lift)  # type: ignore[arg-type]
    return plan.machines[0].holding["sheet", 1, "top"]


@pytest.mark.parametrize("key", sorted(WORKSHOP.hold_downs))
def test_every_hold_down_holds_below_its_capacity_and_fails_above(key: str) -> None:
    side = capacity_of(WORKSHOP.hold_downs[key], AREA, FOUR).sideways
    assert side is not None
    assert side > 0
    sheet = next(r for r in results(1.0, 0.5, (key,)) if r.hold_down)
    assert sheet.holds
    failing = next(r for r in results(sheet.capacity * 1.1, 0.5, (key,)) if r.hold_down)
    assert not failing.holds
    assert failing.demand - failing.capacity == pytest.approx(sheet.capacity * 0.1)


def test_clamps_hold_by_friction() -> None:
    """n mu N / S: 4 x 200 N x 0.2 / 2 = 80 N (form: example C31 of the cutting room)."""
    assert capacity_of(WORKSHOP.hold_downs["toggle_clamps"], AREA, ()).sideways == pytest.approx(80.0)


def test_foam_tape_holds_as_its_maker_says() -> None:
    """tau A / S with tape on half of the face; 0.0157 MPa: technical note on acrylic foam tape."""
    tape = WORKSHOP.hold_downs["foam_tape"]
    expected = 0.0157 * AREA / 2 / tape.safety.value
    assert capacity_of(tape, AREA, ()).sideways == pytest.approx(expected)


def test_screws_carry_less_where_they_grip_short() -> None:
    """K d2 of the lightest softwood, reduced for a grip under 7 diameters (Wood Handbook, FPL-GTR-282, p. 8-11)."""
    screws = WORKSHOP.hold_downs["screws"]
    assert screws.diameter is not None
    assert screws.penetration is not None
    short = screws.penetration / (7 * screws.diameter)
    expected = 4 * 23.17 * screws.diameter**2 * short / screws.safety.value
    assert capacity_of(screws, AREA, FOUR).sideways == pytest.approx(expected)


def test_tabs_hold_the_freed_part_by_their_section() -> None:
    freeing = results(40.0, 10.0)[-1]
    assert freeing.held_by == "holding tabs"
    assert freeing.capacity == pytest.approx(4 * 8 * 3 * STRENGTH / 2.0)


def test_a_freed_part_with_nothing_under_it_is_held_by_nothing() -> None:
    loose = part(outside(rounded(0, 0, 200, 150), cutter(6.0), OnionSkin(0.0)))
    from dataclasses import replace

    bare = replace(loose, operations=tuple(replace(o, hold=None) for o in loose.operations))
    plan = planned(kit(bare, setups=(setup(Face.TOP, ("screws",)),)))
    freeing = plan.machines[0].holding["sheet", 1, "top"][-1]
    assert (freeing.held_by, freeing.capacity, freeing.holds) == ("nothing", 0.0, False)


def test_tape_under_the_part_counts_beside_the_tabs() -> None:
    freeing = results(40.0, 10.0, ("masking_tape_glue",))[-1]
    assert freeing.held_by == "holding tabs and Masking tape and cyanoacrylate under the part"


def test_a_hard_cut_gets_more_tabs_where_the_author_left_the_count_open() -> None:
    open_count = part(outside(rounded(0, 0, 200, 150), cutter(6.0), Tabs(None, 4.0, 1.0)))
    easy, hard = (planned(kit(open_count), force, 5.0).steps[-1] for force in (10.0, 60.0))
    assert len(easy.tabs) < len(hard.tabs)
    assert len(hard.tabs) * 4 * 1 * STRENGTH / 2.0 >= 60.0
