"""The order of the steps."""

from __future__ import annotations

from builders import cutter, drilled, freed, kit, outside, part, planned, pocket, rounded
from hypothesis import given
from hypothesis import strategies as st

from kitforge.model.kit import CutterKind, Face, Kit, OperationKind, PassOptions
from kitforge.model.steps import Phase
from kitforge.planning.order import must_follow, stage_of

BIG, SMALL, DRILL = cutter(12.0), cutter(4.0), cutter(6.0, CutterKind.DRILL, angle=118.0)


def keys(plan: object) -> list[str]:
    return [step.key.split("/", 1)[1] for step in plan.steps]  # type: ignore[attr-defined]


def test_the_cut_that_frees_the_part_comes_last_wherever_it_was_written() -> None:
    plan = planned(kit(part(outside(rounded(0, 0, 200, 150)), pocket(rounded(20, 20, 60, 40)))))
    assert plan.frees(plan.steps[-1])
    assert plan.steps[-1].phase is Phase.FREEING


def test_roughing_comes_before_finishing() -> None:
    two = pocket(
        rounded(20, 20, 60, 40),
        roughing=PassOptions(BIG, leave_walls=0.3, leave_floor=0.2),
        finishing=PassOptions(SMALL),
    )
    plan = planned(kit(freed(two)))
    assert keys(plan)[:2] == ["pocket-1/roughing", "pocket-1/finishing"]


def test_the_same_cutter_goes_on_where_it_can() -> None:
    """Two cutters taking turns in the author's order need one change when computed, not three."""
    turns = [pocket(rounded(10 + 45 * index, 20, 35, 40), tool=(BIG, SMALL)[index % 2]) for index in range(4)]
    plan = planned(kit(part(*turns)))
    assert [step.cutter.key for step in plan.steps] == [BIG.key, BIG.key, SMALL.key, SMALL.key]


def test_as_written_stays_as_written() -> None:
    turns = [pocket(rounded(10 + 45 * index, 20, 35, 40), tool=(BIG, SMALL)[index % 2]) for index in range(4)]
    plan = planned(kit(part(*turns), order_as_written=True))
    assert keys(plan) == ["pocket-1", "pocket-2", "pocket-3", "pocket-4"]


def test_a_shallow_pocket_opens_the_way_for_a_deep_one_inside_it() -> None:
    deep = pocket(rounded(40, 40, 30, 30), depth=12.0, tool=SMALL)
    shallow = pocket(rounded(20, 20, 90, 80), depth=4.0, tool=SMALL)
    plan = planned(kit(part(deep, shallow)))
    assert keys(plan) == ["pocket-2", "pocket-1"]


def test_the_face_that_frees_comes_after_the_other_face() -> None:
    bottom = pocket(rounded(20, 20, 60, 40), face=Face.BOTTOM)
    plan = planned(kit(freed(bottom)))
    assert [setup.face for setup in plan.setups] == [Face.BOTTOM, Face.TOP]


@given(st.permutations(range(5)))
def test_no_step_ever_runs_before_one_it_must_follow(order: list[int]) -> None:
    """A third of all orders: each pair is written both ways many times over."""
    operations = [
        pocket(rounded(20, 20, 60, 40), tool=BIG),
        pocket(rounded(30, 30, 30, 20), depth=10.0, tool=SMALL),
        drilled((150.0, 100.0), tool=DRILL),
        outside(rounded(0, 0, 200, 150)),
        pocket(rounded(100, 20, 60, 40), tool=SMALL),
    ]
    plan = planned(kit(part(*[operations[index] for index in order], outline=rounded(0, 0, 200, 150))))
    for index, later in enumerate(plan.steps):
        for after in plan.steps[index + 1 :]:
            assert not must_follow(later, after)
    stages = [stage_of(step) for step in plan.steps]
    assert stages == sorted(stages)


def test_a_drilled_hole_is_no_through_cut_that_waits() -> None:
    plan = planned(kit(freed(drilled((50.0, 50.0), tool=DRILL, depth=18.0, through=True))))
    assert plan.steps[0].operation.does is OperationKind.DRILL


def boards() -> Kit:
    """Two slats that fill a sheet each, one with work on both faces, and knobs that lie beside the second."""
    slat = freed(pocket(rounded(20, 20, 60, 40), face=Face.BOTTOM), outline=rounded(0, 0, 560, 200), key="slat")
    post = freed(pocket(rounded(20, 20, 60, 40)), outline=rounded(0, 0, 560, 250), key="post", count=2)
    knob = freed(drilled((20.0, 20.0), tool=DRILL), outline=rounded(0, 0, 60, 60), key="knob", count=4)
    return kit(slat, post, knob)


def test_the_order_is_board_by_board() -> None:
    """With several pieces of stock a piece is cut on both faces before the next one is laid on."""
    plan = planned(boards())
    sheets = [sheet for setup in plan.setups for sheet in setup.sheets]
    assert len(plan.sheets) > 1
    assert [sheet.number for sheet in sheets] == sorted(sheet.number for sheet in sheets)
    for setup in plan.setups:
        lying = {place.part for sheet in setup.sheets for place in sheet.placements}
        assert {plan.step(key).part.key for key in setup.steps} <= lying
        for sheet in setup.sheets:
            assert {place.part for place in sheet.placements} == lying
    cut = {(sheet.number, step) for setup in plan.setups for sheet in setup.sheets for step in setup.steps}
    wanted = {(sheet.number, step.key) for sheet in plan.sheets for step in plan.steps if sheet.copies(step.part.key)}
    assert cut == wanted


def test_steps_are_numbered_as_they_are_met() -> None:
    plan = planned(boards())
    met = list(dict.fromkeys(key for setup in plan.setups for key in setup.steps))
    assert [step.key for step in plan.steps] == met
    assert [step.number for step in plan.steps] == list(range(1, len(met) + 1))


def test_pieces_laid_out_alike_are_one_setup() -> None:
    plan = planned(kit(freed(outline=rounded(0, 0, 560, 200), count=3)))
    assert [[sheet.number for sheet in setup.sheets] for setup in plan.setups] == [[1, 2, 3]]
