"""What cuts a part loose is seen from the pieces, whatever the cut is called."""

from __future__ import annotations

from dataclasses import replace

from builders import codes, freed, hole, kit, outside, part, planned, plate, setup, stock

from kitforge.model.kit import Face, OperationKind, PassOptions, Side
from kitforge.model.steps import Phase
from kitforge_order import kitforge_check


def test_an_outline_cut_half_from_each_face_frees_the_part_with_the_second() -> None:
    """No operation goes through, so none is said to free the part; the pieces show it."""
    half = replace(outside(plate()), hold=None, through=False, depth=9.5, frees=False)
    other = replace(half, name="other", face=Face.BOTTOM)
    plan = planned(kit(part(half, other), setups=[setup(), setup(Face.BOTTOM)]))
    assert [step.operation.name for step in plan.steps if plan.frees(step)] == [plan.steps[-1].operation.name]


def test_what_is_cut_after_a_part_lies_loose_is_told_whatever_loosened_it() -> None:
    half = replace(outside(plate()), hold=None, through=False, depth=9.5, frees=False)
    other = replace(half, name="other", face=Face.BOTTOM)
    late = replace(half, name="late", does=OperationKind.GROOVE, side=Side.ON, depth=2.0, face=Face.BOTTOM)
    own = replace(kit(part(half, other, late), setups=[setup(), setup(Face.BOTTOM)]), order_as_written=True)
    assert "freeing-not-last" in codes(list(kitforge_check(own, planned(own))))


def test_a_hole_inside_a_part_that_fills_its_board_frees_no_part() -> None:
    board = stock(length=202, width=152)
    plan = planned(kit(part(hole(100, 75, 60, hold=None), stock=board)))
    assert len(plan.setups[0].divisions[-1].pieces) == 2
    assert plan.freed == {}


def test_a_roughing_pass_that_comes_out_below_frees_the_part_and_waits_for_all_other_cuts() -> None:
    own = freed()
    outline = next(one for one in own.operations if one.frees)
    rough = PassOptions(outline.finishing.cutter, leave_walls=0.5)
    twice, late = replace(outline, roughing=rough), hole(100, 75, 60)
    plan = planned(kit(part(twice, late)))
    frees = [step.phase for step in plan.steps if plan.frees(step)]
    assert frees == [Phase.ROUGHING, Phase.FREEING]
    assert plan.frees(plan.steps[-2])
