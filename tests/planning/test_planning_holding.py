"""Does it stay put: each hold-down once where it holds and once where it fails, and the freed part."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from builders import WORKSHOP, cutter, freed, hole, kit, outside, part, planned, plate, pocket, rounded, setup, stock

from kitforge.cutting.hold import Held
from kitforge.model.holds import HoldResult
from kitforge.model.kit import Face, OnionSkin, Part, Tabs
from kitforge.model.plan import PlannedSetup
from kitforge.planning.acting import Refused, refused
from kitforge.planning.fasteners import as_driven, fastener_length
from kitforge.planning.holding import capacity_of

AREA = 200.0 * 150.0
FOUR_TABS = 4 / (math.cos(math.radians(34)) / 48 + math.sin(math.radians(34)) / 72) / 2
"""Two tabs of 8 x 3 mm on each pair of sides, in plywood: 48 N along its edge and 72 N off it (2/3 w t tau, w t tau of
3 MPa); at 34 degrees, where all four bear least, both parts of the pull are added; factor 2."""


def results(force: float, lift: float, holds: tuple[str, ...] = ("screws",), **more: object) -> tuple[HoldResult, ...]:
    plan = planned(kit(freed(**more), setups=(setup(Face.TOP, holds),)), force, lift)  # type: ignore[arg-type]
    return plan.machines[0].holding["sheet", 1, "top"]


@pytest.mark.parametrize("key", sorted(WORKSHOP.hold_downs))
def test_every_hold_down_holds_below_its_capacity_and_fails_above(key: str) -> None:
    own = kit(part(pocket(rounded(20, 20, 60, 40))), setups=(setup(Face.TOP, (key,)),))
    (sheet,) = planned(own, 1.0, 0.5).machines[0].holding["sheet", 1, "top"]
    assert sheet.holds
    (failing,) = planned(own, sheet.capacity * 1.1, 0.5).machines[0].holding["sheet", 1, "top"]
    assert not failing.holds
    assert failing.demand - failing.capacity == pytest.approx(sheet.capacity * 0.1)


def test_clamps_hold_by_friction() -> None:
    """n mu N / S: 4 x 200 N x 0.2 / 2 = 80 N (form: example C31 of the cutting room)."""
    assert capacity_of(WORKSHOP.hold_downs["toggle_clamps"], Held(AREA, 4)).sideways == pytest.approx(80.0)


def test_foam_tape_holds_as_its_maker_says() -> None:
    """tau A / S with tape on half of the face; 0.0157 MPa: technical note on acrylic foam tape."""
    tape = WORKSHOP.hold_downs["foam_tape"]
    expected = 0.0157 * AREA / 2 / tape.safety.value
    assert capacity_of(tape, Held(AREA / 2, 0)).sideways == pytest.approx(expected)


def test_screws_carry_less_where_they_grip_short() -> None:
    """K d2 of the lightest softwood, reduced for a grip under 7 diameters (Wood Handbook, FPL-GTR-282, p. 8-11)."""
    screws = WORKSHOP.hold_downs["screws"]
    assert screws.diameter is not None
    assert screws.penetration is not None
    short = screws.penetration / (7 * screws.diameter)
    expected = 4 * 23.17 * screws.diameter**2 * short / screws.safety.value
    assert capacity_of(screws, Held(AREA, 4)).sideways == pytest.approx(expected)


def test_tabs_hold_the_freed_part_by_the_direction_of_the_pull() -> None:
    freeing = results(40.0, 10.0)[-1]
    assert str(freeing.held_by) == "holding tabs"
    assert freeing.capacity == pytest.approx(FOUR_TABS)


def test_a_freed_part_with_nothing_under_it_is_held_by_nothing() -> None:
    loose = part(outside(rounded(0, 0, 200, 150), cutter(6.0), OnionSkin(0.0)))
    bare = replace(loose, operations=tuple(replace(o, hold=None) for o in loose.operations))
    plan = planned(kit(bare, setups=(setup(Face.TOP, ("screws",)),)))
    freeing = plan.machines[0].holding["sheet", 1, "top"][-1]
    assert (str(freeing.held_by), freeing.capacity, freeing.holds) == ("nothing", 0.0, False)


def test_tape_under_the_part_counts_beside_the_tabs() -> None:
    freeing = results(40.0, 10.0, ("masking_tape_glue",))[-1]
    assert str(freeing.held_by) == "holding tabs and masking tape and cyanoacrylate under the piece"


def test_a_hard_cut_gets_more_tabs_where_the_author_left_the_count_open() -> None:
    open_count = part(outside(rounded(0, 0, 200, 150), cutter(6.0), Tabs(None, 8.0, 3.0)))
    easy, hard = (planned(kit(open_count), force, 5.0).steps[-1] for force in (10.0, 110.0))
    assert len(easy.tabs) < len(hard.tabs)
    assert len(hard.tabs) / 4 * FOUR_TABS >= 110.0


def test_tabs_go_to_the_end_grain_before_there_are_more_of_them() -> None:
    """Pine, 200 mm along the grain and 150 across: four even tabs bear 59 N, the same four on end grain 198 N."""
    pine = replace(freed(), stock=stock(material=WORKSHOP.materials["eastern_white_pine"]))
    pine = replace(pine, operations=tuple(replace(one, hold=Tabs(None, 8.0, 3.0)) for one in pine.operations))
    easy, hard = (planned(kit(pine), force, lift).steps[-1] for force, lift in ((20.0, 5.0), (100.0, 120.0)))
    assert len(easy.tabs) == len(hard.tabs) == 4
    assert {round(tab.angle) % 180 for tab in easy.tabs} == {0, 90}
    assert {round(tab.angle) % 180 for tab in hard.tabs} == {90}


def test_tabs_of_an_open_width_become_wider_last() -> None:
    """Fibreboard bears alike everywhere: first there are eight, then they are wider, up to 12 mm; not the author's."""
    board = replace(freed(), stock=stock(material=WORKSHOP.materials["mdf"]))
    hard = {
        own: planned(
            kit(replace(board, operations=(replace(board.operations[0], hold=Tabs(None, 8.0, 3.0, (), own)),))), 230.0
        )
        for own in (True, False)
    }
    wide, fixed = (plan.steps[-1].tabs for plan in hard.values())
    assert (len(wide), {tab.width for tab in fixed}) == (8, {8.0})
    assert 8.0 < max(tab.width for tab in wide) <= 12.0


def disc(diameter: float, hold: Tabs | OnionSkin | None = None) -> Part:
    return part(hole(100, 75, diameter, hold=hold))


def worst(of: Part, *holds: str) -> HoldResult:
    """Return what keeps the piece that the last step cuts loose."""
    plan = planned(kit(of, setups=(setup(Face.TOP, holds),)))
    return next(r for r in plan.machines[0].holding["sheet", 1, "top"] if r.hold_down is None)


def test_a_sum_names_the_lines_that_gave_its_parts() -> None:
    """Tape bears alike sideways and, in the middle, upwards: the line of the same value is not always the one meant."""
    lines = results(40.0, 10.0, ("masking_tape_glue",))[-1].trail.lines
    for total in lines[-2:]:
        parts = [lines[given.line - 1] for given in total.inputs]
        assert [part.symbol for part in parts] == [total.symbol, total.symbol]
        assert [part.result for part in parts] == [given.value for given in total.inputs]


def test_a_plug_is_held_by_the_tape_under_itself_alone() -> None:
    """A hole of 62 mm cut with 6 mm leaves a disc of 50 mm, not the 300 cm2 of the part; tape on half of it."""
    tape = WORKSHOP.hold_downs["masking_tape_glue"]
    assert tape.shear is not None
    borne = tape.shear.low * (math.pi * 25**2) / 2 / tape.safety.value
    assert worst(disc(62), "masking_tape_glue").capacity == pytest.approx(borne, rel=0.02)


def test_screws_in_the_frame_hold_no_plug() -> None:
    assert (str(worst(disc(62), "screws").held_by), worst(disc(62), "screws").capacity) == ("nothing", 0.0)


def test_a_screw_in_the_plug_holds_it() -> None:
    own = setup(Face.TOP, ("screws",), fasteners=((300.0, 200.0), (20.0, 20.0)))
    plan = planned(kit(disc(62), setups=(own,)))
    kept = next(r for r in plan.machines[0].holding["sheet", 1, "top"] if r.hold_down is None)
    assert str(kept.held_by) == "screws in the waste in the piece"
    assert kept.capacity == capacity_of(WORKSHOP.hold_downs["screws"], Held(0.0, 1)).sideways


def test_what_holds_the_stock_is_counted_on_what_is_left_of_it() -> None:
    """Tape under a part that is cut free without tabs no longer holds the frame."""
    bare = part(replace(outside(plate()), hold=None))
    sheet = next(r for r in held_by_tape(bare) if r.hold_down)
    tape = WORKSHOP.hold_downs["masking_tape_glue"]
    assert tape.shear is not None
    left = 600 * 400 - (212 * 162 - (4 - math.pi) * 6**2)
    assert sheet.capacity == pytest.approx(tape.shear.low * left / 2 / tape.safety.value, rel=0.01)


def held_by_tape(of: Part) -> tuple[HoldResult, ...]:
    plan = planned(kit(of, setups=(setup(Face.TOP, ("masking_tape_glue",)),)))
    return plan.machines[0].holding["sheet", 1, "top"]


def test_tabs_to_a_plug_inside_do_not_hold_the_part() -> None:
    """Four tabs lead to the frame; the three inside lead to the plug, which hangs on the part itself."""
    plug = hole(100, 75, 62, hold=Tabs(3, 8, 3))
    freeing = next(r for r in reversed(results_of(part(plug, outside(plate())))) if r.hold_down is None)
    assert freeing.step == "board/outside"
    assert freeing.capacity == pytest.approx(FOUR_TABS)


def results_of(of: Part) -> tuple[HoldResult, ...]:
    plan = planned(kit(of, setups=(setup(Face.TOP, ("screws",)),)))
    return plan.machines[0].holding["sheet", 1, "top"]


@pytest.mark.parametrize(
    ("thick", "board", "length", "counted"),
    [
        (18.0, 18.0, 35.0, 15.0),  # 33 mm are wanted; the tip is 1 mm above the underside
        (16.0, 18.0, 30.0, 14.0),  # 35 mm would come out of 34 mm
        (16.0, 25.0, 35.0, 15.0),
        (16.0, 6.0, 20.0, 4.0),
        (142.0, 18.0, None, 15.0),  # 140 mm do not reach the board, 160 mm come out of it
    ],
)
def test_screws_end_in_the_spoilboard(thick: float, board: float, length: float | None, counted: float) -> None:
    """15 mm of thread are wanted, lengths are those that are sold: common practice, no source."""
    sheet, screws = stock(thick), WORKSHOP.hold_downs["screws"]
    laid = PlannedSetup(setup(Face.TOP, ("screws",), spoilboard=board), sheet, Face.TOP, (), ())
    assert fastener_length(screws, laid) == length
    assert as_driven(screws, laid).penetration == counted


def test_a_screw_in_a_faced_piece_is_not_too_long() -> None:
    """1.5 mm are gone from the first face, so 35 mm would come out below."""
    laid = PlannedSetup(setup(Face.TOP, ("screws",)), stock(18.0), Face.TOP, (), (), faced=1.5)
    assert fastener_length(WORKSHOP.hold_downs["screws"], laid) == 30.0


def test_screws_that_no_length_suits_are_not_offered() -> None:
    thick = replace(freed(), stock=stock(142.0))
    plan = planned(kit(thick, setups=(setup(Face.TOP, ("screws", "step_clamps")),)))
    assert refused(plan.setups[0], WORKSHOP.hold_downs["screws"]) is Refused.NO_LENGTH
