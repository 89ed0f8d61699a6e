"""Figures and checks from the height map, each against a figure worked out by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from surface_builders import (
    BALL,
    BOWL,
    V60,
    clock,
    cutter,
    game_board,
    kit,
    on_a_class,
    operation,
    outside,
    part,
    slotted_side,
    steps,
)

from kitforge.geometry.shapes import circle, polyline, rectangle
from kitforge.model.kit import Cutter, CutterKind, Face, Operation, OperationKind, Part, PassOptions, Side, Tabs
from kitforge.model.plan import Plan
from kitforge.model.steps import Step
from kitforge.model.travel import travel_along
from kitforge.surface.checks import (
    broken_through,
    cuts_nothing,
    ridges_left,
    scallop_left,
    undone,
    web_left,
)
from kitforge.surface.figures import areas_of, floor_left
from kitforge.surface.heightmap import SurfaceState, finished, simulate
from kitforge_surface import KINDS, kitforge_check


def states_of(made: Part, cell: float = 0.25) -> list[SurfaceState]:
    return list(simulate(made, steps(made), cell=cell))


def codes_of(made: Part) -> list[str]:
    order = tuple(steps(made))
    return sorted(finding.code for finding in kitforge_check(kit(made), Plan(order, (), (), ())))


def square(size: float, depth: float, **more: Any) -> Operation:
    return operation(OperationKind.POCKET, [rectangle((size, size), centre=(50, 40))], depth, **more)


def test_areas_of_a_board_with_a_round_hole_and_a_pocket() -> None:
    """Face, pocket floor, walls and edge of a plain board, against the closed forms."""
    outline = rectangle((100, 80))
    made = part(
        operation(OperationKind.POCKET, [circle((30, 40), 40)], 8.0),
        operation(OperationKind.PROFILE, [circle((75, 40), 30)], 18.0, through=True, allowance=0.3),
        outside(outline),
        outline=outline,
    )
    areas = areas_of(finished(made, steps(made), cell=0.2), made)
    pocket, hole = math.pi * 20**2, math.pi * 15**2
    assert 2 * 8000 - pocket - 2 * hole == pytest.approx(areas.faces, rel=0.01)
    assert pocket == pytest.approx(areas.hollows, rel=0.03)
    assert math.pi * 40 * 8 + math.pi * 30 * 18 == pytest.approx(areas.walls, rel=0.03)
    assert pytest.approx(areas.edges) == 360 * 18
    assert areas.total == pytest.approx(areas.faces + areas.hollows + areas.walls + areas.edges)


def test_slope_of_a_v_groove_counts_as_its_true_surface() -> None:
    """A V-groove of 90 degrees has sloping sides sqrt(2) times as large as its width."""
    tool = cutter(12.7, CutterKind.V_BIT, angle=90.0)
    made = part(operation(OperationKind.GROOVE, [polyline([(10, 40), (90, 40)])], 3.0, tool))
    areas = areas_of(finished(made, steps(made), cell=0.1), made)
    assert 80 * 6 * math.sqrt(2) + math.pi * 9 * math.sqrt(2) == pytest.approx(areas.hollows, rel=0.03)


def test_floor_left_is_the_thickness_less_the_deepest_cut() -> None:
    """The thinnest floor lies under the deepest cut; a part without cuts has none."""
    made = part(square(30, 6.0), square(12, 15.0))
    found = floor_left(finished(made, steps(made)), made)
    assert found is not None
    assert pytest.approx(found.thickness, abs=1e-4) == 3.0
    assert math.dist(found.at, (50, 40)) < 9
    assert floor_left(finished(part(), ()), part()) is None


def test_what_a_calliper_cannot_stand_on_is_no_floor_to_measure() -> None:
    """Under a V groove lies less wood than under a pocket, but a depth rod does not reach its bottom."""
    vee = operation(
        OperationKind.GROOVE, [polyline([(10, 10), (90, 10)])], 6.0, cutter(12.7, CutterKind.V_BIT, angle=90.0)
    )
    engraved = part(vee)
    assert floor_left(finished(engraved, steps(engraved)), engraved) is None
    both = part(vee, square(30, 4.0))
    found = floor_left(finished(both, steps(both)), both)
    assert found is not None
    assert pytest.approx(found.thickness, abs=1e-4) == 14.0


def test_what_falls_out_with_a_plug_is_no_part_of_the_piece() -> None:
    """Two cuts around one place: the ring between them and the disc in it are waste, with the tabs that hold them."""
    inner, outer = (
        operation(OperationKind.PROFILE, [circle((50, 40), size)], 18.5, side=Side.INSIDE, hold=Tabs(3, 6.0, 2.0),
                  through=True, allowance=0.5)
        for size in (30.0, 60.0)
    )  # fmt: skip
    ring, hole = part(inner, outer), part(outer)
    assert floor_left(finished(ring, steps(ring)).freed(ring), ring) is None
    one, other = (areas_of(finished(made, steps(made)), made) for made in (ring, hole))
    assert one.faces == pytest.approx(other.faces, rel=1e-3)


def test_an_island_in_an_opening_is_no_part_of_the_piece() -> None:
    """Nothing holds it when the pocket around it goes through."""
    shapes = [circle((50, 40), 50.0), circle((50, 40), 30.0)]
    opening = operation(OperationKind.POCKET, shapes, 18.5, through=True, allowance=0.5)
    whole = operation(OperationKind.POCKET, shapes[:1], 18.5, through=True, allowance=0.5)
    one, other = (areas_of(finished(part(cut), steps(part(cut))), part(cut)) for cut in (opening, whole))
    assert one.faces == pytest.approx(other.faces, rel=1e-3)


@pytest.mark.parametrize("size", [30.0, 31.37, 33.0])
def test_the_edge_of_an_opening_whose_tabs_are_sawn_off_is_no_floor(size: float) -> None:
    """A cell that lies half in the opening is half gone, which says nothing of how thick the part is."""
    opening = operation(OperationKind.PROFILE, [circle((50, 40), size)], 18.5, side=Side.INSIDE, hold=Tabs(3, 6.0, 2.0))
    made = part(opening)
    assert floor_left(finished(made, steps(made)).freed(made), made) is None


def test_step_that_cuts_nothing_is_noticed() -> None:
    """A shallow pocket inside a deep one finds no wood."""
    first, second = states_of(part(square(30, 6.0), square(20, 4.0)))
    assert (cuts_nothing(first), cuts_nothing(second)) == (False, True)


def test_a_tiny_cut_is_still_a_cut() -> None:
    """A dot of 0.4 mm³ on a coarse map is no empty step."""
    tool = cutter(1.0)
    (state,) = states_of(part(operation(OperationKind.DISH, (), 0.5, tool, points=((50.0, 40.0),))), cell=1.5)
    assert not cuts_nothing(state)


def test_step_cut_away_later_is_noticed() -> None:
    """A groove that a later pocket removes was for nothing; a pocket in a pocket is not."""
    groove = operation(OperationKind.GROOVE, [polyline([(40, 40), (60, 40)])], 2.0, cutter(3))
    (item,) = undone(states_of(part(groove, square(40, 5.0))))
    assert (item.step.key, item.by.key) == ("board/groove-1", "board/pocket-2")
    assert item.left == 0
    assert undone(states_of(part(square(40, 5.0), groove, square(20, 8.0)))) == []


def test_cuts_in_both_faces_leave_each_other_alone() -> None:
    """A pocket under a larger one in the other face stays; a hole cut through takes it away."""
    below = square(20, 4.0, face=Face.BOTTOM)
    assert undone(states_of(part(below, square(40, 10.0)))) == []
    gone = states_of(part(below, replace(square(40, 18.0), through=True, allowance=0.3)))
    assert [item.step.key for item in undone(gone)] == ["board/pocket-1"]


def test_roughing_is_not_undone_by_its_own_finishing() -> None:
    """Finishing that takes the whole floor down is what roughing left it for."""
    two = replace(square(30, 6.0), roughing=PassOptions(cutter(), leave_walls=0.3, leave_floor=0.5))
    assert undone(states_of(part(two))) == []


@pytest.mark.parametrize(
    ("tool", "stepover", "expected"),
    [(BALL, 0.5, 0.01043), (BALL, 1.2, 0.06061), (BALL, 7.0, 3.0),
     (BOWL, 8.0, 0.0538), (BOWL, 6.0, 0.0), (cutter(), 5.9, 0.0)],
)  # fmt: skip
def test_scallops_follow_the_tabled_formula(tool: Cutter, stepover: float, expected: float) -> None:
    """h = R - sqrt(R² - s²/4); the flat of a bowl bit takes its share off the stepover."""
    (step,) = steps(part(operation(OperationKind.DISH, [circle((50, 40), 50)], 5.0, tool, stepover=stepover)))
    assert expected == pytest.approx(scallop_left(step), abs=1e-4)


def with_few_rounds(step: Step) -> Step:
    """Return the step with only every third of its rounds, as a faulty plan would have it."""
    assert step.travel is not None
    return replace(step, travel=travel_along(step.travel.chains[::3]))


def test_rounds_too_far_apart_leave_ridges() -> None:
    """Rounds 7.2 mm apart with a cutter of 6 mm leave ridges as high as the pocket is deep; the planned ones do not."""
    made = part(square(50, 4.0, stepover=2.4))
    (step,) = steps(made)
    (bad,) = simulate(made, [with_few_rounds(step)])
    found = ridges_left(bad)
    assert found is not None
    assert pytest.approx(found.amount, abs=1e-4) == 4.0
    assert found.area > 50
    assert None is ridges_left(states_of(made)[0])


def test_fine_scallops_are_not_ridges() -> None:
    """A ball nose with a tenth of its diameter as stepover clears its floor."""
    made = part(operation(OperationKind.DISH, [circle((50, 40), 50)], 5.0, BALL, stepover=0.6))
    assert None is ridges_left(states_of(made, 0.2)[0])


def test_cuts_that_meet_from_both_faces() -> None:
    """A pocket that comes out in one from the other face makes a hole; less deep it leaves a web."""
    meet = [square(30, 10.0), square(20, 9.0, face=Face.BOTTOM)]
    made = part(*meet)
    hole = broken_through(states_of(made)[1], made)
    assert hole is not None
    assert 400 - (4 - math.pi) * 9 == pytest.approx(hole.area, rel=0.05)
    stays = part(square(30, 10.0), square(20, 7.0, face=Face.BOTTOM))
    web = web_left(finished(stays, steps(stays)), stays)
    assert web is not None
    assert pytest.approx(web.amount, abs=1e-4) == 1.0
    assert None is broken_through(states_of(stays)[1], stays)


def test_spoilboard_is_reached_by_the_allowance() -> None:
    """A through cut goes below the stock by its allowance, a pocket not at all."""
    outline = rectangle((100, 80))
    through, pocket = steps(part(outside(outline), square(30, 6.0), outline=outline))
    assert (through.into_spoilboard, pocket.into_spoilboard) == pytest.approx((0.3, 0.0))


@pytest.mark.parametrize("made", [game_board(), slotted_side(), clock()], ids=["board", "side", "clock"])
def test_sound_parts_have_no_findings(made: Part) -> None:
    """The example parts are cut without a finding."""
    assert codes_of(made) == []


def test_every_kind_of_finding_can_occur() -> None:
    """One part with every mistake has every kind of finding."""
    groove = operation(OperationKind.GROOVE, [polyline([(10, 10), (30, 10)])], 2.0, cutter(3))
    over = operation(OperationKind.POCKET, [rectangle((40, 16), at=(4, 4))], 5.0)
    drill = cutter(6, CutterKind.DRILL, angle=118.0)
    made = part(
        groove,
        over,
        replace(over, depth=4.0),
        operation(OperationKind.POCKET, [rectangle((60, 40), at=(30, 30))], 9.0),
        operation(OperationKind.POCKET, [rectangle((10, 10), at=(32, 32))], 9.5, face=Face.BOTTOM),
        operation(OperationKind.POCKET, [rectangle((10, 10), at=(70, 32))], 8.0, face=Face.BOTTOM),
        operation(OperationKind.DRILL, (), 18.0, drill, points=((95, 5),), through=True, allowance=0.5),
        operation(OperationKind.DRILL, (), 18.0, drill, points=((95, 15),), through=True, allowance=5.0),
        operation(OperationKind.DRILL, (), 18.0, cutter(4), points=((95, 25),), through=True, allowance=0.0),
        operation(
            OperationKind.GROOVE,
            [polyline([(55, 6), (55, 20)])],
            9.0,
            replace(cutter(3), shank=6.0, cutting_length=4.0),
        ),
        operation(OperationKind.GROOVE, [polyline([(85, 72), (95, 72)])], 9.0, replace(cutter(3), cutting_length=4.0)),
        operation(OperationKind.CHAMFER, [rectangle((20, 8), at=(5, 60))], 19.0, V60, width=3.0, side=Side.ON),
        outside(rectangle((100, 80)), hold=Tabs(4, 8.0, 3.0)),
    )
    faulty = operation(OperationKind.POCKET, [rectangle((24, 16), at=(60, 5))], 3.0)
    made = replace(made, operations=(*made.operations, replace(faulty, name="faulty")))
    order = [with_few_rounds(step) if step.operation.name == "faulty" else step for step in steps(made)]
    found = kitforge_check(kit(made), on_a_class(order, stick_out=19.0))
    assert sorted(kind.code for kind in KINDS) == sorted({finding.code for finding in found})
