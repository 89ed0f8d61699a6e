"""Fasteners and clamps: clear of every cut on every copy, on the stock, each at its own place."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from builders import codes, freed, groove, kit, part, planned, plate, pocket, rounded, setup, stock
from hypothesis import given
from hypothesis import strategies as st

from kitforge.geometry.shapes import polyline
from kitforge.model.findings import Finding
from kitforge.model.kit import Face, Kit, Part
from kitforge_holding import kitforge_check

AT = ((200.0, 100.0),)
POCKETED = part(pocket(rounded(20, 20, 60, 40)), places=AT)


def found(own: Kit) -> list[Finding]:
    return list(kitforge_check(own, planned(own, 10.0, 2.0)))


def screwed(*places: tuple[float, float], of: Part = POCKETED, kind: str = "screws") -> Kit:
    return kit(of, setups=[setup(Face.TOP, [kind], fasteners=tuple(places))])


def clamped(*places: tuple[float, float], of: Part = POCKETED) -> Kit:
    return kit(of, setups=[setup(Face.TOP, ["step_clamps"], clamps=tuple(places))])


CORNERS = ((15.0, 15.0), (585.0, 15.0), (585.0, 385.0), (15.0, 385.0))


def test_screws_in_the_waste_raise_nothing() -> None:
    """Four screws in the corners of the sheet, clear of the part."""
    assert found(screwed(*CORNERS)) == []
    assert found(clamped(*CORNERS)) == []


def test_a_clamp_near_a_cut_tells_step_and_distance() -> None:
    """The outline is swept to 194 mm in x; a clamp at 184 mm is 10 mm away, it needs 30 mm."""
    own = clamped(*CORNERS[1:], (184.0, 180.0), of=freed(places=AT))
    (finding,) = found(own)
    assert finding.code == "fastener-in-cut"
    assert "the clamp at (184, 180) mm on sheet 1 is 10 mm from the cut of step 1 ('Profile' of Board, copy 1)" in (
        str(finding.message)
    )
    assert "30 mm clear" in str(finding.message)
    assert found(clamped(*CORNERS[1:], (163.9, 180.0), of=freed(places=AT))) == []


def test_every_copy_counts() -> None:
    """The second copy is cut where the clamp is."""
    twice = freed(count=2, places=((20, 100), (320, 100)))
    (finding,) = found(clamped((15, 15), (300, 380), (585, 15), (420, 270), of=twice))
    assert finding.code == "fastener-in-cut"
    assert "copy 2" in str(finding.message)


def test_a_screw_in_the_part() -> None:
    """Through the part, but clear of its pocket: a warning. A clamp may sit there."""
    assert codes(found(screwed(*CORNERS, (380.0, 230.0)))) == ["fastener-in-part"]
    assert found(clamped(*CORNERS, (370.0, 220.0))) == []


def test_a_screw_in_the_pocket_is_in_the_way() -> None:
    """Inside the cut itself."""
    findings = found(screwed(*CORNERS, (240.0, 140.0)))
    assert codes(findings) == ["fastener-in-cut", "fastener-in-part"]
    assert any("is inside the cut" in str(finding.message) for finding in findings)


def test_a_fastener_beside_the_stock() -> None:
    """650 mm is 50 mm beside a sheet of 600 mm."""
    (finding,) = found(screwed(*CORNERS, (650.0, 200.0)))
    assert finding.code == "fastener-off-stock"
    assert "50 mm beside the stock" in str(finding.message)


def test_a_fastener_given_twice() -> None:
    """The same place twice."""
    assert codes(found(screwed(*CORNERS, CORNERS[0]))) == ["fastener-repeated"]


def test_no_room_for_fasteners() -> None:
    """A plate nearly as large as its sheet leaves no room for screws in the waste; tape needs none."""
    tight = part(pocket(rounded(20, 20, 60, 40)), outline=plate(196, 146), stock=stock(length=200, width=150))
    assert codes(found(screwed(of=tight))) == ["no-fastener-room"]
    assert found(kit(tight, setups=[setup(Face.TOP, ["double_sided_tape"])])) == []
    assert found(screwed(of=replace(tight, stock=stock(length=400, width=300)))) == []


def test_places_that_no_hold_down_uses() -> None:
    """Screws placed, but only tape listed: the author forgot one of the two. They are still kept out of the cuts."""
    own = kit(POCKETED, setups=[setup(Face.TOP, ["double_sided_tape"], fasteners=CORNERS)])
    assert codes(found(own)) == ["fastener-unused"]
    struck = kit(POCKETED, setups=[setup(Face.TOP, ["double_sided_tape"], clamps=((240.0, 140.0),))])
    assert codes(found(struck)) == ["fastener-in-cut", "fastener-unused"]


def test_clamps_are_looked_at_even_where_screws_are_used() -> None:
    """The plan uses one kind of places; the author's others may be on the table too."""
    own = kit(POCKETED, setups=[setup(Face.TOP, ["screws", "step_clamps"], fasteners=CORNERS, clamps=((240, 140),))])
    assert codes(found(own)) == ["fastener-in-cut"]


@pytest.mark.parametrize("kind", ["screws", "brads", "step_clamps"])
def test_proposed_places_are_always_clear(kind: str) -> None:
    """What the plan proposes raises nothing."""
    own = kit(freed(pocket(rounded(20, 20, 60, 40)), count=2), setups=[setup(Face.TOP, [kind])])
    plan = planned(own, 5.0, 1.0)
    assert plan.setups[0].fasteners
    assert list(kitforge_check(own, plan)) == []


@given(st.floats(0, 600), st.floats(0, 400))
def test_a_random_screw_is_judged_by_its_distance_from_a_groove(x: float, y: float) -> None:
    """Beside a straight groove of 6 mm a screw needs 12 mm from the groove's edge, so 15 mm from its line."""
    own = screwed((x, y), of=part(groove(polyline([(20, 50), (120, 50)])), places=AT))
    near = min(max(x - 200, 20), 120)
    distance = math.hypot(x - 200 - near, y - 150)
    if abs(distance - 15) > 0.05:
        assert ("fastener-in-cut" in codes(found(own))) == (distance < 15)
