"""The law of zero and depth: every depth counts from a surface that exists at that moment."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from builders import (
    WORKSHOP,
    cutter,
    freed,
    hole,
    kit,
    operation,
    outside,
    part,
    planned,
    plate,
    pocket,
    rounded,
    setup,
    stock,
)
from facing_kits import LETTER_TRAY, PEN_REST
from hypothesis import given
from hypothesis import strategies as st
from kit_samples import DEMOS, checked_demo

from kitforge.model.datum import Datum
from kitforge.model.kit import Face, Kit, OnionSkin, Operation, OperationKind, PassOptions, Tabs
from kitforge.model.plan import Plan
from kitforge.model.steps import Step
from kitforge.model.workshop import Span
from kitforge.pictures.drawn.views import face_views
from kitforge.pipeline import check_kit, plan_kit
from kitforge.planning.fit import misfits
from kitforge.planning.layers import pack_drawings
from kitforge.plugins import load_plugins
from kitforge.surface.heightmap import finished, simulate

WIDE = cutter(25.0)


def face(depth: float, **more: object) -> Operation:
    """Return a facing of the whole stock."""
    return operation(OperationKind.FACE, (), depth, WIDE, **more)


def step_of(plan: Plan, part_key: str, does: OperationKind) -> Step:
    return next(step for step in plan.steps_of(part_key) if step.operation.does is does)


def written(folder: Path, text: str) -> tuple[Kit, Plan]:
    (folder / "kit.yaml").write_text(text)
    return plan_kit(folder, load_plugins())


def keeps_the_law(made: Kit, plan: Plan) -> None:
    """Compare every step with the stock as the cutters before it have left it."""
    for one in made.parts:
        for state in simulate(one, plan.steps_of(one.key), cell=2.0, ceiling=60_000):
            step, surface = state.step, state.before
            own = surface.top if step.face is Face.TOP else surface.bottom
            highest = 0.0 if own is None else float(own.min())
            assert step.datum.below == pytest.approx(highest, abs=1e-3), f"{step.key}: its datum is not there"
            there = float(surface.remaining().max())
            assert step.wood == pytest.approx(there, abs=1e-3), f"{step.key}: wood under its datum"
            assert 0 <= step.top < step.depth
            assert step.through == (step.into_spoilboard > 0 or step.depth == pytest.approx(step.wood))
            if step.through:
                assert step.operation.through
        left = finished(one, plan.steps_of(one.key), cell=2.0, ceiling=60_000)
        thick = float(left.remaining().max())
        assert one.thickness == pytest.approx(thick, abs=1e-3)


@pytest.mark.parametrize("name", DEMOS)
def test_every_demo_kit_keeps_the_law(name: str) -> None:
    checked = checked_demo(name)
    keeps_the_law(checked.kit, checked.plan)


@pytest.mark.parametrize("text", [LETTER_TRAY, PEN_REST], ids=["tray", "rest"])
def test_faced_kits_keep_the_law(tmp_path: Path, text: str) -> None:
    keeps_the_law(*written(tmp_path, text))


@given(
    st.lists(st.sampled_from([(Face.TOP, 0.4), (Face.TOP, 1.5), (Face.BOTTOM, 0.7)]), max_size=3),
    st.floats(1.0, 9.0),
    st.sampled_from([Tabs(4, 8.0, 2.0), OnionSkin(0.4)]),
    st.sampled_from(list(Face)),
    st.booleans(),
)
def test_random_facings_keep_the_law(
    facings: list[tuple[Face, float]], depth: float, hold: Tabs | OnionSkin, pocketed: Face, as_written: bool
) -> None:
    cuts = [face(taken, face=side) for side, taken in facings]
    cuts.append(pocket(rounded(20, 20, 60, 40), depth=depth, face=pocketed))
    cuts += [hole(150, 100, 30), outside(plate(), hold=hold)]
    made = kit(part(*cuts, outline=plate()), order_as_written=as_written)
    keeps_the_law(made, planned(made))


def test_a_floor_lies_below_the_new_face() -> None:
    """12 mm below a face that was lowered by 1.5 mm is 13.5 mm below the board as it came; 24 - 13.5 = 10.5 stay."""
    sheet = stock(24.0)
    made = kit(part(face(1.5), pocket(rounded(20, 20, 60, 40), depth=12.0), stock=sheet))
    plan = planned(made)
    deep = step_of(plan, "board", OperationKind.POCKET)
    assert (deep.datum, deep.depth, deep.tip) == (Datum(1.5, 0.0, "board/face-1"), 12.0, 13.5)
    left = finished(made.parts[0], plan.steps, cell=1.0)
    row, column = left.grid.index(50, 40)
    assert float(left.remaining()[row, column]) == pytest.approx(10.5, abs=1e-3)


def test_a_through_cut_goes_its_allowance_into_the_spoilboard_after_facing() -> None:
    made = kit(freed(face(1.5)))
    freeing = planned(made).steps[-1]
    assert (freeing.wood, freeing.depth, freeing.through) == (16.5, 17.0, True)
    assert freeing.into_spoilboard == pytest.approx(0.5)
    assert made.parts[0].thickness == 16.5


def test_the_face_is_taken_off_all_parts_of_its_stock_once_for_each_sheet() -> None:
    """A facing without shapes is of the whole stock: of the parts beside it too, and of no other stock."""
    one, other = part(face(1.0), outside(plate())), part(outside(plate()), key="lid", count=9)
    alone = part(outside(plate()), key="alone", stock=stock(key="rest"))
    setups = (setup(), setup(stock="rest"))
    plan = planned(kit(one, other, alone, setups=setups))
    facing = step_of(plan, "lid", OperationKind.FACE)
    assert facing.copies == sum(sheet.stock.key == "sheet" for sheet in plan.sheets) > 1
    assert facing.cut is not None
    low_x, low_y, high_x, high_y = facing.cut.bounds
    assert low_x <= 0
    assert low_y <= 0
    assert (high_x, high_y) >= (600, 400), "the whole sheet, not the outline of one part"
    assert plan.step("lid/outside").wood == 17.0
    assert plan.step("alone/outside").wood == 18.0
    assert not [step for step in plan.steps_of("alone") if step.operation.does is OperationKind.FACE]


def test_two_parts_that_ask_for_the_same_face_are_faced_once() -> None:
    plan = planned(kit(part(face(1.0), outside(plate())), part(face(1.0), outside(plate()), key="lid")))
    assert sum(step.operation.does is OperationKind.FACE for step in plan.steps) == 1
    assert {step.wood for step in plan.steps if plan.frees(step)} == {17.0}


def test_facing_a_part_of_the_face_leaves_the_zero_where_it_was() -> None:
    seat = operation(OperationKind.FACE, [rounded(20, 20, 60, 40)], 2.0, WIDE)
    made = kit(freed(seat, pocket(rounded(100, 20, 60, 40))))
    assert {step.datum for step in planned(made).steps} == {Datum()}
    assert made.parts[0].thickness == 18.0


def test_facing_is_first_even_with_two_passes() -> None:
    """Roughing and finishing a face are no roughing of a pocket, which may come after other cuts."""
    two = face(1.2, roughing=PassOptions(WIDE, leave_floor=0.2))
    plan = planned(kit(freed(pocket(rounded(20, 20, 60, 40), tool=cutter(12.0)), two)))
    assert [step.key.split("/", 1)[1] for step in plan.steps[:2]] == ["face-2/roughing", "face-2/finishing"]
    rough, fine = plan.steps[:2]
    assert (rough.datum.below, rough.top, rough.depth) == (0.0, 0.0, 1.0)
    assert (fine.datum.by, fine.top) == (rough.key, 0.0), "the old face is gone when the finishing pass begins"
    assert fine.datum.below == pytest.approx(1.0)
    assert fine.depth == pytest.approx(0.2)
    after = plan.steps[2].datum
    assert after == Datum(after.below, 0.0, fine.key)
    assert after.below == pytest.approx(1.2)


def test_a_skin_is_no_through_cut() -> None:
    """0.5 mm of 18 mm stay: the cut ends 17.5 mm down, and its layer says so."""
    plan = planned(kit(part(outside(plate(), hold=OnionSkin(0.5)))))
    step = plan.steps[0]
    assert (step.depth, step.through, step.into_spoilboard) == (17.5, False, 0.0)
    notes = {str(note) for drawing in pack_drawings(plan, [step.part]) for note in drawing.notes.values()}
    assert all(note.startswith("17.5 mm below the face, ") for note in notes)
    assert len(notes) == 1


def test_a_roughing_pass_of_a_through_cut_leaves_what_it_says() -> None:
    two = pocket(
        rounded(20, 20, 60, 40), depth=18.0, through=True, allowance=0.5,
        roughing=PassOptions(cutter(12.0), leave_walls=0.5, leave_floor=0.3), finishing=PassOptions(cutter(4.0)),
    )  # fmt: skip
    rough, fine, walls = planned(kit(part(two))).steps
    assert (rough.depth, rough.through) == pytest.approx((17.7, False))
    assert (fine.top, fine.depth, fine.through) == pytest.approx((17.7, 18.5, True))
    assert (walls.top, walls.depth, walls.through) == (0.0, 18.5, True)


def test_the_surface_shows_the_same_as_the_figures() -> None:
    """With the underside faced by 0.7 mm first, a hole from the top has 17.3 mm to go and comes out."""
    made = kit(freed(face(0.7, face=Face.BOTTOM), hole(60, 60, 30, hold=Tabs(2, 6.0, 2.0))))
    plan = planned(made)
    assert [setup.face for setup in plan.setups] == [Face.BOTTOM, Face.TOP]
    step = step_of(plan, "board", OperationKind.PROFILE)
    assert step.wood == pytest.approx(17.3)
    assert step.datum == Datum(0.0, 0.7)
    left = finished(made.parts[0], plan.steps, cell=0.5)
    assert np.any(left.remaining() == 0)


def test_facings_that_cannot_be_are_found(tmp_path: Path) -> None:
    from sample_kits import refusals

    deep = LETTER_TRAY.replace("depth: 1.5 mm", "depth: 24 mm")
    found = refusals(tmp_path, deep, load_plugins())
    assert [one.code for one in found if one.severity == "error"] == ["faced-away"]
    assert "24 mm off" in str(found[0].message)
    again = "      - {do: face, name: plane, cutter: wide, depth: 2 mm}\n      - {do: groove"
    differing = LETTER_TRAY.replace("      - {do: groove", again)
    found = refusals(tmp_path, differing, load_plugins())
    assert [one.code for one in found if one.severity == "error"] == ["facing-differs"]


def test_what_stays_under_a_pocket_is_found_from_the_faced_board(tmp_path: Path) -> None:
    """24 mm less 1.5 mm of facing are 22.5 mm: a pocket of 22 mm leaves half a millimetre, one of 22.5 mm nothing."""
    for depth, code in (("22 mm", "floor-thin"), ("22.5 mm", "cut-too-deep")):
        (tmp_path / "kit.yaml").write_text(LETTER_TRAY.replace("depth: 12 mm", f"depth: {depth}"))
        found = check_kit(tmp_path, load_plugins()).findings
        assert code in {one.code for one in found if one.operation == "hollow"}


def test_facing_that_covers_a_part_makes_it_thinner_and_is_no_feature_of_its_drawing() -> None:
    """Shapes that hold the whole outline are a new face for this part, not for the one beside it."""
    over = operation(OperationKind.FACE, [rounded(-10, -10, 220, 170)], 2.0, WIDE)
    made = kit(
        part(over, pocket(rounded(20, 20, 60, 40)), outside(plate())),
        part(pocket(rounded(20, 20, 60, 40)), outside(plate()), key="lid"),
    )
    plan = planned(made)
    assert [one.thickness for one in made.parts] == [16.0, 18.0]
    assert plan.step("board/pocket-2").datum == Datum(2.0, 0.0, "board/face-1")
    assert plan.step("lid/pocket-1").datum == Datum()
    (view,) = face_views(made.parts[0])
    assert [feature.depth for feature in view.features] == [6.0]
    keeps_the_law(made, plan)


def test_the_deepest_travel_counts_from_the_board_as_it_came() -> None:
    """16 mm below a face that was lowered by 2 mm are 18 mm of travel, and 5 mm stay above the stock."""
    low = replace(WORKSHOP.machines["medium_router"], z_travel=Span(22.0, 30.0))
    deep = pocket(rounded(20, 20, 60, 40), depth=15.5)
    for facing, fits in (((), True), ((face(2.0),), False)):
        made = kit(part(*facing, deep), machines=())
        told = misfits(low, planned(made).sheets, planned(made).steps, 12.0)
        assert (not any("travel in Z" in str(one) for one in told)) is fits
