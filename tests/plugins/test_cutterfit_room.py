"""Room for the cutter: too wide, corners, narrow regions, relief. Areas are checked against closed formulas."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest
from builders import codes, cutter, freed, groove, hole, kit, outside, part, planned, plate, pocket, rounded
from hypothesis import given
from hypothesis import strategies as st

from kitforge.geometry.relief import corner_relief
from kitforge.geometry.shapes import polyline, rectangle, slot
from kitforge.model.findings import Finding
from kitforge.model.kit import Cutter, Operation, PassOptions
from kitforge.model.path import Path
from kitforge_cutterfit import kitforge_check
from kitforge_cutterfit.room import CORNER_SHARE


def found(*operations: Operation, also: tuple[Cutter, ...] = (), outline: Path | None = None) -> list[Finding]:
    own = kit(freed(*operations, outline=outline))
    own = replace(own, cutters={**own.cutters, **{tool.key: tool for tool in also}})
    return list(kitforge_check(own, planned(own)))


def test_rounded_pockets_wide_enough_raise_nothing() -> None:
    """Corners of the cutter's own radius are cut to the last bit."""
    assert found(pocket(rounded(20, 20, 60, 40)), hole(150, 100, 20)) == []


def test_a_cutter_too_wide_names_those_that_would_pass() -> None:
    """A slot 5 mm wide takes the kit's 4 mm cutter, not the 6 mm one."""
    narrow = pocket(slot((30, 50), (80, 50), 5.0))
    (finding,) = found(narrow, also=(cutter(4), cutter(8)))
    assert finding.code == "cutter-too-wide"
    assert "5 mm wide" in str(finding.message)
    assert "4 mm up-cut cutter" in str(finding.advice)
    assert "8 mm" not in str(finding.advice)
    (alone,) = found(narrow)
    assert "at most 5 mm" in str(alone.advice)


def test_a_cutter_just_as_wide_as_the_slot_passes() -> None:
    """6.35 mm in 6.35 mm goes."""
    tool = cutter(6.35)
    assert found(pocket(slot((30, 50), (80, 50), 6.35), tool=tool)) == []
    assert codes(found(pocket(slot((30, 50), (80, 50), 6.30), tool=tool))) == ["cutter-too-wide"]


def test_a_hole_narrower_than_the_cutter() -> None:
    """Inside profiles need room as pockets do."""
    assert codes(found(hole(50, 50, 5.5))) == ["cutter-too-wide"]
    assert found(hole(50, 50, 6.5)) == []


def test_stock_left_on_the_walls_takes_room_from_roughing() -> None:
    """A 6 mm cutter that leaves 0.5 mm on each wall needs 7 mm."""
    rough = PassOptions(cutter(6), leave_walls=0.5)
    fine = PassOptions(cutter(3))
    ways = [pocket(slot((30, 50), (80, 50), w), roughing=rough, finishing=fine) for w in (6.9, 7.1)]
    assert [codes(found(way)) for way in ways] == [["cutter-too-wide"], []]


@pytest.mark.parametrize("diameter", [3.0, 6.0, 10.0])
def test_square_corners_leave_what_the_formula_says(diameter: float) -> None:
    """Four square corners keep (4 - π) r² of wood, by geometry."""
    (finding,) = found(pocket(rectangle((60, 40), at=(20, 20)), tool=cutter(diameter)))
    assert finding.code == "corner-left"
    assert left_in(finding) == pytest.approx((4 - math.pi) * (diameter / 2) ** 2, abs=0.02)


def left_in(finding: Finding) -> float:
    """Return the area that a message names first."""
    match = re.search(r"([\d.]+) mm² of wood stays in all", str(finding.message))
    assert match
    return float(match[1])


def test_corners_with_relief_raise_nothing() -> None:
    """The relief is the answer to tight corners, asked for or drawn."""
    square = rectangle((60, 40), at=(20, 20))
    assert found(pocket(square, relief="dog-bone")) == []
    assert found(pocket(corner_relief(square, 3.0), relief="dog-bone")) == []


def test_a_relief_without_room_is_found() -> None:
    """A step of 2 mm is too short for a relief of 3 mm radius."""
    step = polyline([(20, 20), (80, 20), (80, 60), (52, 60), (52, 58), (20, 58)], closed=True)
    assert codes(found(pocket(step, relief="dog-bone"))) == ["relief-unfit"]


def test_notches_of_an_outline_keep_wood_too() -> None:
    """Inside corners of a cut outside the part are filled with wood."""
    notched = polyline(
        [(0, 0), (200, 0), (200, 150), (120, 150), (120, 100), (80, 100), (80, 150), (0, 150)], closed=True
    )
    (finding,) = found(outline=notched)
    assert finding.code == "corner-left"
    assert left_in(finding) == pytest.approx((2 - math.pi / 2) * 9, abs=0.02)


def test_a_narrow_arm_is_a_region_of_its_own() -> None:
    """A pocket with an arm 4 mm wide: the 6 mm cutter stays out of it, the 3 mm one does not."""
    arm = polyline([(20, 20), (60, 20), (60, 38), (120, 38), (120, 42), (60, 42), (60, 60), (20, 60)], closed=True)
    findings = found(pocket(arm), also=(cutter(3),))
    findings = [finding for finding in findings if finding.code != "corner-left"]
    assert codes(findings) == ["region-left"]
    assert "4 mm wide" in str(findings[0].message)
    assert "3 mm up-cut cutter" in str(findings[0].advice)


def test_the_bound_between_corner_and_region_is_a_corner_of_45_degrees() -> None:
    """A corner of angle 2h leaves r² (cot h - (π/2 - h)), by geometry; at 45° that is under 1.25 r²."""
    h = math.radians(22.5)
    assert 1.2 < 1 / math.tan(h) - (math.pi / 2 - h) < CORNER_SHARE


def test_the_finishing_cutter_decides_about_corners() -> None:
    """Roughed with 6 mm, finished with 2 mm: corners of 1 mm radius are reached."""
    own = pocket(
        rounded(20, 20, 60, 40, 1.0), roughing=PassOptions(cutter(6), leave_walls=0.3), finishing=PassOptions(cutter(2))
    )
    assert found(own) == []
    assert codes(found(pocket(rounded(20, 20, 60, 40, 1.0)))) == ["corner-left"]


def test_grooves_need_no_room() -> None:
    """A groove is as wide as its cutter."""
    assert found(groove(polyline([(20, 20), (80, 20), (80, 60)]))) == []


@given(st.floats(1.0, 20.0), st.floats(0.0, 8.0), st.floats(4.0, 60.0), st.floats(4.0, 60.0))
def test_random_rectangles_are_judged_by_width_and_corner(diameter: float, corner: float, w: float, h: float) -> None:
    """A round-cornered rectangle fits if it is as wide as the cutter, and keeps wood if its corners are tighter."""
    corner = min(corner, min(w, h) / 2 - 0.01)
    tight, short = corner - diameter / 2, min(w, h) - diameter
    if abs(tight) < 0.1 or abs(short) < 0.1:
        return
    expected = ["cutter-too-wide"] if short < 0 else ["corner-left"] if tight < 0 else []
    tool = cutter(diameter)
    own = part(
        pocket(rounded(20, 20, w, h, corner) if corner else rectangle((w, h), at=(20, 20)), depth=1.0, tool=tool)
    )
    built = kit(own)
    assert codes(kitforge_check(built, planned(built))) == expected


def test_an_outline_with_many_vertices_is_checked() -> None:
    """A wavy outline of 20,000 vertices whose valleys are wider than the cutter raises nothing."""
    count = 20_000
    turns = [2 * math.pi * k / count for k in range(count)]
    points = [((90 + math.sin(12 * t)) * math.cos(t), (90 + math.sin(12 * t)) * math.sin(t)) for t in turns]
    outline = polyline(points, closed=True)
    assert codes(found(outline=outline)) == []


def test_the_builders_outline_fits() -> None:
    """What the other tests build on raises nothing."""
    own = kit(part(outside(plate())))
    assert list(kitforge_check(own, planned(own))) == []
