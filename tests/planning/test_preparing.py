"""How stock is made ready: boards as they are sold, glue-ups, flattening; and how long everything takes."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from builders import WORKSHOP, cutter, kit, operation, outside, part, planned, plate, stock
from facing_kits import LETTER_TRAY
from plain_pictures import left_plain

from kitforge.model.findings import Finding
from kitforge.model.kit import CutterKind, Face, Grain, Kit, OperationKind, Stock
from kitforge.model.steps import BlockedStep
from kitforge.pack.times import waiting_words, work_times
from kitforge.pipeline import check_kit, plan_kit
from kitforge.planning.buying import BOARD_FOOT
from kitforge.planning.preparing import BOUGHT, flattening_cutter, glue_up, prepared
from kitforge.plugins import load_plugins
from kitforge.print.figures import Units
from kitforge.workshop.handwork import handwork
from kitforge_booklet.amounts import wood_volume
from kitforge_booklet.stock_plans import stock_plans

MM = Units("mm", both=False)


def solid(width: float, length: float = 500.0, thickness: float = 19.0, **more: object) -> Stock:
    """Return a piece of maple."""
    material = WORKSHOP.materials["sugar_maple"]
    return stock(thickness, length, width, material=material, nominal=19.05, **more)


def of(piece: Stock, *operations: object, **more: object) -> Kit:
    """Return a kit of one part from a piece."""
    outline = plate()
    return kit(part(*operations, outside(outline), outline=outline, stock=piece), **more)  # type: ignore[arg-type]


def face(side: Face) -> object:
    return operation(OperationKind.FACE, (), 1.0, cutter(25.0, CutterKind.SURFACING), face=side)


@pytest.mark.parametrize(("width", "strips"), [(240, None), (260, 3), (500, 5)])
def test_only_what_no_board_gives_is_glued_up(width: float, strips: int | None) -> None:
    """Hardwood is sold up to about 250 mm wide (common practice): 240 mm come from one board, 260 mm do not.

    By hand: 260 + 10 from boards of 130 less 3 for jointing take ceil(270 / 127) = 3 strips, 500 + 10 take 5.
    """
    found = glue_up(solid(width))
    assert (found.strips if found else None) == strips


def test_softwood_is_sold_wider() -> None:
    """A board of nominal 12 in is dressed to 11 1/4 in, 286 mm (PS 20, from memory)."""
    pine = replace(solid(270), material=WORKSHOP.materials["eastern_white_pine"])
    assert glue_up(pine) is None
    assert glue_up(replace(pine, width=300)) is not None


def test_the_author_says_how_wide_his_boards_are() -> None:
    assert glue_up(solid(240, boards=85.0)) is not None
    assert glue_up(solid(400, boards=400.0)) is None


def test_a_glue_up_that_nobody_asked_for_is_found(tmp_path: Path) -> None:
    text = LETTER_TRAY.replace("width: 180 mm", "width: 280 mm")
    for written, expected in (
        (text, True),
        (text.replace("width: 280 mm", "width: 280 mm\n    boards: 100 mm"), False),
    ):
        (tmp_path / "kit.yaml").write_text(written)
        found = [one for one in check_kit(tmp_path, load_plugins()).findings if one.code == "glued-up"]
        assert bool(found) is expected
    assert "glued-up" not in {one.code for one in _checked(tmp_path, LETTER_TRAY)}


def _checked(folder: Path, text: str) -> tuple[Finding, ...]:
    (folder / "kit.yaml").write_text(text)
    return check_kit(folder, load_plugins()).findings


@pytest.mark.parametrize(
    ("thickness", "nominal", "name"),
    [(19.0, 19.05, "4/4"), (12.0, 12.0, "4/4"), (20.6, 25.4, "4/4"), (25.0, 25.0, "5/4"), (38.0, 38.1, "6/4")],
)
def test_boards_are_counted_in_quarters(thickness: float, nominal: float, name: str) -> None:
    """Surfaced boards: 4/4 gives 20.6 mm, 5/4 27.0 mm, 6/4 33.3 mm; nothing counts less than 4/4. A nominal thickness
    that is a rough one, 1 or 1 1/2 in, is taken at its word."""
    assert handwork().sold(thickness, surfaced=True, nominal=nominal).name == name


def test_board_feet_count_the_rough_thickness() -> None:
    """By hand: 12 x 12 in of 3/4 in is one board foot, not three quarters of one (144 cubic inches at 4/4)."""
    square = solid(304.8, 304.8, boards=400.0)
    (ready,) = prepared(of(square), ())
    assert (ready.quarters, ready.glue, ready.flattening) == ("4/4", None, None)
    assert wood_volume(ready) / BOARD_FOOT == pytest.approx(1.0)


def test_the_wood_of_a_glue_up_is_that_of_its_strips() -> None:
    """By hand: 370 + 10 from boards of 85 take 5 strips of 79 as sawn, 475 long, from 4/4 for 19 + 4 mm."""
    (ready,) = prepared(of(solid(370, 450, boards=85.0)), ())
    assert ready.glue is not None
    assert (ready.glue.strips, ready.glue.sawn, ready.quarters) == (5, 79.0, "4/4")
    assert wood_volume(ready) == pytest.approx(5 * 79 * 475 * 25.4)
    (thick,) = prepared(of(solid(370, 450, 22.0, boards=85.0)), ())
    assert thick.quarters == "5/4", "26 mm as glued is more than 4/4 gives"


def test_flattening_wants_a_wide_cutter() -> None:
    """With an end mill of 6 mm a board takes hours: the booklet asks for a surfacing cutter, and the plan counts it."""
    plan = planned(of(solid(400, boards=400.0)))
    (ready,) = plan.prepared
    assert ready.flattening is not None
    assert (ready.flattening.bought, ready.flattening.step.cutter.key) == (True, BOUGHT)
    assert ready.flattening.step.cutter.diameter >= 16
    assert BOUGHT in {one.key for one in plan.cutters}
    own = of(solid(400, boards=400.0), face(Face.TOP))
    assert flattening_cutter(own) is not None


def test_what_the_kit_faces_is_not_flattened_again() -> None:
    wide = solid(400, boards=400.0)
    faces = {one: prepared(of(wide, *[face(side) for side in one]), ())[0].flattening for one in (
        (), (Face.TOP,), (Face.TOP, Face.BOTTOM))}  # fmt: skip
    assert [found.faces if found else () for found in faces.values()] == [tuple(Face), (Face.BOTTOM,), ()]
    whole, half = faces[()], faces[(Face.TOP,)]
    assert whole is not None
    assert half is not None
    assert whole.passes - half.passes in (0, 1), "what is to come off comes off one face or both"


def test_passes_of_flattening_take_the_piece_down_to_the_thickness_that_it_has_on_the_machine() -> None:
    """What is too thick comes off one face where the kit faces the other, which takes nothing of it."""
    for thick, operations in ((20.0, [face(Face.TOP)]), (20.0, []), (26.0, [face(Face.TOP)])):
        (ready,) = prepared(of(solid(400, 450, thick, boards=85.0), *operations), ())
        assert ready.flattening is not None
        assert ready.glue is not None
        over = ready.glue.thickness - thick
        assert ready.flattening.passes * ready.flattening.step.depth >= over - 1e-9


def test_the_booklet_tells_of_one_face_and_of_the_step_that_cuts_the_other() -> None:
    made = of(solid(400, boards=400.0), face(Face.TOP))
    plan = planned(made)
    (told,) = stock_plans(made, plan, plan.machines, MM)
    words = " ".join(map(str, told.flattening))
    assert "cut flat in step 1" in words
    assert "Turn it over" not in words


def test_flattening_counts_in_the_time_at_the_machine() -> None:
    """Both faces of one piece: the passes, two set-ups of 8 to 20 min and one change of cutter of 2 to 5 min."""
    plan = planned(of(solid(400, boards=400.0)))
    (ready,), (machine,) = plan.prepared, plan.machines
    assert ready.flattening is not None
    low, high = machine.flattening_seconds
    passes = ready.flattening.passes
    assert low == pytest.approx(passes * 10.0 + 60 * (2 * 8 + 2))
    assert high == pytest.approx(passes * 20.0 + 60 * (2 * 20 + 5))
    assert machine.machine_seconds[0] == pytest.approx(
        machine.cutting_seconds[0] + machine.handling_seconds[0] + low
    )  # fmt: skip


def test_waiting_counts_wood_glue_and_finish(tmp_path: Path) -> None:
    """By hand: a week for the wood, 25 to 48 h for the glue, two coats of 8 to 12 h, 7 to 14 days until it is cured."""
    text = LETTER_TRAY.replace("width: 180 mm", "width: 180 mm\n    boards: 90 mm")
    (tmp_path / "kit.yaml").write_text(f"{text}finishing: {{sanding: [120], finish: hardwax_oil}}\n")
    made, plan = plan_kit(tmp_path, load_plugins())
    with left_plain():  # of the part as cut only the area to sand counts
        times = work_times(made, plan)
    hours = 3600.0
    assert times.waiting[0] == pytest.approx(hours * (168 + 25 + 2 * 8 + 7 * 24))
    assert times.waiting[1] == pytest.approx(hours * (168 + 48 + 2 * 12 + 14 * 24))
    assert waiting_words(times) == "16–24 days"
    assert times.hands_on[0] > 60 * 15, "one joint, three parts, sanding, two coats"


def test_a_panel_has_no_wait_of_its_own() -> None:
    made = of(stock(18.0, grain=Grain.LENGTH))
    plan = planned(made)
    assert plan.prepared[0].quarters == ""
    assert waiting_words(work_times(made, plan)) == ""


def test_a_class_that_cannot_flatten_is_named() -> None:
    made = of(solid(400, boards=400.0))
    plan = planned(made)
    blocked = [replace(one, flattening={"sheet": BlockedStep(())}) for one in plan.machines]
    (told,) = stock_plans(made, plan, blocked, MM)
    assert "Not on these classes: Medium router" in str(told.flattening[-1])
    assert told.rows == ()
