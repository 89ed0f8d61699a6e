"""Pieces that nothing keeps are told, with what to do; one test for each way in which they once passed with no word."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import (
    WORKSHOP,
    codes,
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
    setup,
    stock,
)

from kitforge.geometry.shapes import circle, polyline
from kitforge.model.findings import Finding, Severity
from kitforge.model.kit import CutterKind, Face, OnionSkin, Operation, OperationKind, Part, Setup, Side, Tabs
from kitforge.print.figures import Units
from kitforge_booklet.holding import hold_rows, left_out, other_holds
from kitforge_holding import kitforge_check


def found(of: Part, *holds: str, own: Setup | None = None, face: Face = Face.TOP, force: float = 1.0) -> list[Finding]:
    setups = [own or setup(face, holds or ("screws",)), setup(Face.BOTTOM, holds or ("screws",))]
    each = kit(of, setups=setups)
    return list(kitforge_check(each, planned(each, force, 0.1)))


def told(of: Part, *holds: str, own: Setup | None = None) -> Finding:
    (finding,) = found(of, *holds, own=own)
    return finding


def plug(diameter: float = 73.0, hold: Tabs | OnionSkin | None = None) -> Operation:
    return hole(100, 75, diameter, hold=hold)


def test_an_inside_through_cut_without_hold_is_told_with_the_remedies() -> None:
    """A hole of 73 mm cut with 6 mm leaves a disc of 61 mm."""
    finding = told(part(plug()))
    assert (finding.code, finding.severity) == ("loose-piece", Severity.ERROR)
    assert "a disc of 61 mm comes loose beside the turning cutter" in str(finding.message)
    for remedy in ("pocket", "hold: {tabs: {}}", "onion_skin", "screw of its own"):
        assert remedy in str(finding.advice)


@pytest.mark.parametrize("hold", [Tabs(3, 8, 3), OnionSkin(0.4)])
def test_tabs_or_a_skin_keep_it(hold: Tabs | OnionSkin) -> None:
    assert found(part(plug(hold=hold))) == []


def test_a_screw_of_its_own_keeps_it() -> None:
    own = setup(Face.TOP, ("screws",), fasteners=((20.0, 20.0), (580.0, 20.0), (580.0, 380.0), (300.0, 200.0)))
    assert found(part(plug()), own=own) == []


def test_small_waste_is_a_warning() -> None:
    """A hole of 26 mm leaves 14 mm."""
    finding = told(part(plug(26.0)))
    assert (finding.code, finding.severity) == ("small-waste", Severity.WARNING)


def test_a_disc_cut_from_both_faces_is_told() -> None:
    below = replace(plug(), through=False, depth=9.5, allowance=0.0, face=Face.BOTTOM)
    assert "loose-piece" in codes(found(part(replace(below, face=Face.TOP), below)))


def test_the_island_of_a_pocket_cut_through_is_told() -> None:
    island = replace(pocket(circle((100, 75), 100), circle((100, 75), 50)), through=True, allowance=0.5)
    finding = told(part(island))
    assert finding.code == "loose-piece"
    assert "clear it too" in str(finding.advice)


def test_each_half_of_a_part_that_is_sawn_through_must_be_held() -> None:
    across = replace(plug(), shapes=(polyline([(-10, 75), (210, 75)]),), side=Side.ON)
    bare = replace(outside(plate()), hold=None)
    finding = next(one for one in found(part(across, bare)) if one.code == "part-loose")
    assert "2 times" in str(finding.message)
    assert found(freed(across)) == []


def test_a_tab_that_joins_nothing_keeps_nothing() -> None:
    """All four tabs of a part that lies over the corner of the stock, but for two."""
    over = freed(places=((-150.0, -100.0),))
    one_tab = replace(outside(plate()), hold=Tabs(None, 8, 3, at=((100.0, 0.0),)))
    assert "part-loose" not in codes(found(over))
    assert "part-loose" in codes(found(replace(part(one_tab), places=((3.0, 2.0),))))


def test_alike_pieces_are_told_once() -> None:
    two = replace(plug(), shapes=(circle((50, 75), 60), circle((140, 75), 60)))
    assert "2 times" in str(told(part(two)).message)


def only(*holds: str, of: Part | None = None) -> list[str]:
    return codes(found(of or freed(), *holds))


def test_foam_tape_is_not_for_cutting_out() -> None:
    finding = next(one for one in found(freed(), "foam_tape") if one.code == "hold-unsuited")
    assert finding.severity is Severity.ERROR
    (first,) = found(freed(), "foam_tape", "screws")
    assert (first.code, first.severity) == ("hold-unsuited", Severity.ERROR)
    assert "Put screws in the waste first" in str(first.advice)
    (second,) = found(freed(), "screws", "foam_tape")
    assert (second.code, second.severity) == ("hold-unsuited", Severity.WARNING)
    assert only("foam_tape", of=part(pocket(plate(50, 40)))) == []


def test_a_cut_through_over_vacuum_cups_is_refused() -> None:
    assert "hold-unsuited" in only("vacuum_pods")
    assert only("vacuum_pods", of=part(pocket(plate(50, 40)))) == []


def test_vacuum_holds_no_piece_under_its_least_area() -> None:
    """1000 cm2 with a domestic motor: 300 cm2 of part need their tabs, 2400 cm2 of sheet do not."""
    assert only("vacuum_board") == []
    bare = part(replace(outside(plate()), hold=None))
    assert only("vacuum_board", of=bare) == ["part-loose"]
    assert "hold-unsuited" in only("vacuum_board", of=part(pocket(plate(50, 40)), stock=stock(length=300, width=300)))


def test_a_blower_holds_half_of_what_a_domestic_motor_needs() -> None:
    """A guide to vacuum tables: under 500 cm2 vacuum alone does not hold, with a strong blower. 300 x 200 is more."""
    sheet = stock(length=300, width=200)
    assert "hold-unsuited" in only("vacuum_board", of=part(pocket(plate(50, 40)), stock=sheet))
    assert only("vacuum_blower", of=part(pocket(plate(50, 40)), stock=sheet)) == []
    small = stock(length=230, width=200)
    assert "hold-unsuited" in only("vacuum_blower", of=part(pocket(plate(50, 40)), stock=small))


def test_the_name_of_a_hold_down_has_a_small_letter_inside_a_sentence() -> None:
    """In English; German writes nouns with a capital everywhere."""
    own = part(outside(plate()))
    weak = kit(own, setups=[setup(Face.TOP, ["masking_tape_glue"])])
    held = {str(result.held_by) for result in planned(weak).machines[0].holding[planned(weak).setups[0].key]}
    assert "holding tabs and masking tape and cyanoacrylate under the piece" in held


def test_tape_on_a_wood_that_is_oily_by_nature() -> None:
    teak = stock(material=WORKSHOP.materials["teak"])
    assert "tape-on-oily-wood" in only("double_sided_tape", of=freed(stock=teak))
    assert "tape-on-oily-wood" not in only("screws", of=freed(stock=teak))


def test_a_hold_down_to_take_instead_has_its_own_places_and_newtons() -> None:
    """The rows of the first speak of it alone; the others are placed, told with what they take, and have their own."""
    own = kit(freed(), setups=[setup(Face.TOP, ["screws", "double_sided_tape", "step_clamps"])])
    plan = planned(own, 1.0, 0.1)
    (at,) = plan.setups
    rows = hold_rows(plan, plan.machines, at)
    assert [row.held_by for row in rows if not row.when] == ["Screws in the waste"]
    assert {place.kind for place in at.fasteners} == {"screws", "clamps"}
    tape, clamps = other_holds(own, plan, at, plan.machines, Units("mm", both=False))
    assert [row.held_by for row in tape.rows if not row.when] == ["Double-sided tape, thin cloth"]
    assert any("under the piece" in row.held_by for row in tape.rows if row.when)
    assert any("tape are enough" in words for words in tape.words)
    assert [row.held_by for row in clamps.rows if not row.when] == ["Step clamps in T-slots"]
    assert clamps.spots
    assert clamps.pictures
    assert clamps.cautions
    assert left_out(at, plan.machines) == ()
    assert found(freed(), "screws", "step_clamps") == []


def test_a_hold_down_that_is_not_offered_is_told_with_the_reason() -> None:
    own = kit(freed(), setups=[setup(Face.TOP, ["screws", "foam_tape", "vacuum_pods", "double_sided_tape"])])
    plan = planned(own, 1.0, 0.1)
    foam, cups = left_out(plan.setups[0], plan.machines)
    assert foam.startswith("Do not take double-sided tape, acrylic foam here: it gives")
    assert cups.startswith("Do not take vacuum cups with a seal here: a cut goes through")
    strong = planned(own, 1e5, 0.1)
    assert left_out(strong.setups[0], strong.machines)[-1].endswith("it does not bear the cut on any class of machine.")


def test_a_hold_down_that_leaves_loose_what_the_first_keeps_is_none_to_take_instead() -> None:
    """A part without tabs or skin lies on tape; screws in the waste around it do not keep it."""
    own = kit(part(replace(outside(plate()), hold=None)), setups=[setup(Face.TOP, ["masking_tape_glue", "screws"])])
    plan = planned(own, 1.0, 0.1)
    assert other_holds(own, plan, plan.setups[0], plan.machines, Units("mm", both=False)) == ()
    assert left_out(plan.setups[0], plan.machines) == (
        "Do not take screws in the waste here: a piece that is cut free would lie loose with it.",
    )


def test_a_facing_of_the_whole_stock_leaves_no_place_for_what_holds_from_above() -> None:
    """The cutter comes over every clamp and screw: they have no place, and one that the author places is struck."""
    facing = operation(OperationKind.FACE, depth=1.0, tool=cutter(25.0, CutterKind.SURFACING))
    for hold in ("screws", "step_clamps"):
        assert only(hold, of=part(facing)) == ["no-fastener-room"]
    own = setup(Face.TOP, ("screws",), fasteners=((20.0, 20.0), (580.0, 20.0), (580.0, 380.0), (20.0, 380.0)))
    assert "fastener-in-cut" in codes(found(part(facing), own=own))
