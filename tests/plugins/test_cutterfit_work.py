"""Length, shank, kind, plunging and machine class: each fault alone, and its sound neighbour.

Grip, slot depth and tip length are common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import codes, cutter, drilled, freed, groove, hole, kit, operation, planned, plate, pocket, rounded, stock

from kitforge.geometry.shapes import circle, polyline, slot
from kitforge.model.findings import Finding, Severity
from kitforge.model.kit import CutterKind, Kit, Operation, OperationKind, PassOptions, Tabs
from kitforge.model.plan import Plan
from kitforge_cutterfit import kitforge_check
from kitforge_cutterfit.kinds import KINDS

V_BIT = cutter(12, CutterKind.V_BIT, angle=60.0, shank=6.0)
LINE = polyline([(20, 20), (120, 20)])
SHAPE = rounded(20, 20, 60, 40, 10)


def check(own: Kit, plan: Plan | None = None) -> list[Finding]:
    return list(kitforge_check(own, plan or planned(own)))


def found(*operations: Operation) -> list[Finding]:
    return check(kit(freed(*operations)))


def test_a_cutter_that_does_not_reach() -> None:
    """30 mm long, 12 mm of a 6 mm shank in the collet: it reaches 18 mm, the through cut needs 18.5 mm."""
    short, tabs = cutter(6, overall_length=30.0), Tabs(2, 6.0, 2.0)
    (finding,) = found(hole(60, 60, 30, tool=short, hold=tabs))
    assert finding.code == "cutter-too-short"
    assert "12 mm" in str(finding.message)
    assert "18 mm" in str(finding.message)
    assert found(hole(60, 60, 30, tool=replace(short, overall_length=30.6), hold=tabs)) == []
    assert found(hole(60, 60, 30, tool=short)) == [], "a skin is left, so 17.7 mm are enough"


def test_a_shank_that_no_class_takes() -> None:
    """12 mm fits neither the collets of a trim router nor those of a small engraver."""
    own = kit(freed(pocket(SHAPE, tool=cutter(12, shank=12.0))), machines=("light_router", "extra_light_router"))
    assert "shank-no-collet" in codes(check(own))
    assert "shank-no-collet" not in codes(
        check(replace(own, machines=kit(freed(), machines=("heavy_router",)).machines))
    )


def test_a_v_groove_wider_than_the_bit() -> None:
    """A 60° bit of 12 mm cuts 12 mm wide at 10.39 mm depth: 10 mm deep passes, 11 mm does not."""
    assert found(groove(LINE, depth=10, tool=V_BIT)) == []
    (finding,) = found(groove(LINE, depth=11, tool=V_BIT))
    assert finding.code == "groove-too-wide"
    assert "12.7 mm" in str(finding.message)
    assert "10.39 mm deep" in str(finding.message)


def test_a_chamfer_wider_than_half_the_bit() -> None:
    """A chamfer of 5 mm needs 10 mm of a 12 mm bit, one of 7 mm needs 14 mm."""
    results = [found(operation(OperationKind.CHAMFER, [SHAPE], 2.0, V_BIT, width=w)) for w in (5.0, 7.0)]
    assert [codes(result) for result in results] == [[], ["groove-too-wide"]]


CHAMFER = operation(OperationKind.CHAMFER, [SHAPE], 2.0, V_BIT, width=2.0)
DISH = operation(OperationKind.DISH, [SHAPE], 5.0, cutter(6, corner_radius=1.0))
DRILL = cutter(6, CutterKind.DRILL, angle=118.0)
BALL = cutter(6, CutterKind.BALL_NOSE)
BOWL = cutter(20, CutterKind.BOWL, corner_radius=6.0, shank=6.0)


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        (pocket(SHAPE, tool=DRILL), drilled((50, 50), tool=DRILL)),
        (
            operation(OperationKind.CHAMFER, [SHAPE], 2.0, cutter(6), width=2.0),
            operation(OperationKind.CHAMFER, [SHAPE], 2.0, V_BIT, width=2.0),
        ),
        (pocket(SHAPE, tool=V_BIT), groove(LINE, tool=V_BIT)),
        (drilled((50, 50), tool=BOWL), operation(OperationKind.DISH, [SHAPE], 5.0, BOWL)),
    ],
    ids=["drill moved sideways", "chamfer without a slant", "pocket with a V-bit", "bowl cutter plunged"],
)
def test_kinds_that_cannot_do_the_work(wrong: Operation, right: Operation) -> None:
    """Each kind of cutter is refused where it cannot work, and accepted where it can."""
    assert codes(found(wrong)) == ["cutter-wrong-kind"]
    assert found(right) == []


@pytest.mark.parametrize(
    ("odd", "fine"),
    [
        (
            operation(OperationKind.PROFILE, [SHAPE], 9.0, V_BIT, through=True),
            operation(OperationKind.PROFILE, [SHAPE], 3.0, V_BIT),
        ),
        (pocket(SHAPE, tool=BALL), operation(OperationKind.DISH, [SHAPE], 5.0, BALL)),
        (operation(OperationKind.DISH, [SHAPE], 5.0, cutter(6)), DISH),
        (operation(OperationKind.FACE, [plate()], 1.0, BALL), operation(OperationKind.FACE, [plate()], 1.0, cutter(6))),
        (groove(LINE, tool=cutter(25, CutterKind.SURFACING, shank=6.0)), groove(LINE, tool=cutter(6))),
        (groove(LINE, tool=BOWL), groove(LINE, tool=BALL)),
        (drilled((50, 50), tool=BALL), drilled((50, 50), tool=cutter(6))),
    ],
    ids=["through with a V-bit", "ball in a pocket", "flat in a dish", "ball on a face", "surfacing in a groove",
         "bowl in a groove", "ball for holes"],
)  # fmt: skip
def test_kinds_that_leave_another_shape(odd: Operation, fine: Operation) -> None:
    """Each is a warning with a better choice."""
    assert [f.code for f in found(odd)] == ["cutter-odd-kind"]
    assert found(fine) == []


def test_roughing_with_a_ball_nose_is_nobodys_business() -> None:
    """Only the last pass makes the shape."""
    assert found(pocket(SHAPE, roughing=PassOptions(BALL), finishing=PassOptions(cutter(6)))) == []


def test_a_drilled_circle_of_another_size() -> None:
    """A circle of 8 mm drilled with 6 mm is an error, one of 6.05 mm is not."""
    results = [found(replace(drilled((50, 50)), shapes=(circle((50, 50), d),))) for d in (8.0, 6.05)]
    assert [codes(result) for result in results] == [["hole-size"], []]


def test_a_cutter_that_cannot_plunge_at_points() -> None:
    """An end mill that drills its own diameter must cut over its centre."""
    assert codes(found(drilled((50, 50), tool=cutter(6, centre_cutting=False)))) == ["no-centre-cut"]
    assert found(drilled((50, 50), tool=cutter(6))) == []


def test_a_cutter_that_cannot_plunge_needs_room_to_ramp() -> None:
    """In a slot as long as two diameters a non-centre-cutting cutter finds one diameter to ramp over."""
    blunt = cutter(10, centre_cutting=False, shank=6.0)
    results = [found(pocket(slot((50, 50), (50 + way, 50), 10.5), tool=blunt)) for way in (8.0, 11.0)]
    assert [codes(result) for result in results] == [["no-room-to-ramp"], []]
    assert found(pocket(slot((50, 50), (58, 50), 10.5), tool=replace(blunt, centre_cutting=True))) == []


def test_a_down_cut_cutter_in_a_deep_slot() -> None:
    """Deeper than two diameters it packs the chips."""
    down = cutter(6, CutterKind.DOWN_CUT)
    (finding,) = found(groove(LINE, depth=13, tool=down))
    assert (finding.code, finding.severity) == ("chips-packed", Severity.NOTE)
    assert found(groove(LINE, depth=12, tool=down)) == []
    assert found(pocket(SHAPE, depth=13, tool=down)) == []


def test_the_first_pass_of_a_compression_cutter() -> None:
    """A first pass of 3 mm with a 6 mm compression cutter only uses its up-cut tip; one of 7 mm does not."""
    own = kit(freed(groove(LINE, depth=10, tool=cutter(6, CutterKind.COMPRESSION))))
    assert codes(check(own, planned(own, depth_per_pass=3.0))) == ["first-pass-shallow"]
    assert check(own, planned(own, depth_per_pass=7.0)) == []


def test_a_class_that_the_kit_does_not_fit() -> None:
    """A note among others, a warning where the author named the class, an error if there is no other."""
    own = kit(freed(), machines=("extra_light_router", "medium_router"))
    severities = [
        [finding.severity for finding in check(which) if finding.code == "class-unfit"]
        for which in (own, replace(own, machines_named=True), replace(own, machines=own.machines[:1]))
    ]
    assert severities == [[Severity.NOTE], [Severity.WARNING], [Severity.ERROR]]
    assert codes(check(kit(freed(stock=stock(length=280, width=170), outline=plate(200, 100))))) == []


def test_codes_are_unique_and_described() -> None:
    """Every kind has a code of its own and a sentence."""
    assert len({kind.code for kind in KINDS}) == len(KINDS)
    assert all(kind.about.endswith(".") for kind in KINDS)
