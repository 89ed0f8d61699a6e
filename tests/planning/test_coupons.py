"""Fit coupons: slots from tight to loose along both axes, cut as the joint is, drawn, planned and checked as parts are.

The slots are measured in closed form on the DXF as it is written, by ezdxf and shapely, which share nothing with the
writer's path.
"""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import ezdxf
import pytest
from ezdxf import path as dxf_path
from rack_kits import checked, rack_text
from shapely import LineString, Polygon, get_parts
from shapely.geometry.base import BaseGeometry

from kitforge.language import render_text, use_language
from kitforge.model.errors import UnreadableKitError
from kitforge.model.kit import Tabs
from kitforge.model.own_words import in_language
from kitforge.pipeline import CheckedKit
from kitforge.planning.layers import pack_drawings
from kitforge.planning.proof import rising, run_up
from kitforge.print.figures import units_for
from kitforge.workshop.fits import fits
from kitforge_booklet.trials import fit_coupons, settings_proofs
from kitforge_dxf import kitforge_render as dxf_files

TEXT = rack_text(
    """\
        corner_relief: dog-bone
        shapes: [{rectangle: {centre: [60 mm, 35 mm], size: [60 mm, slot]}}]
""",
    """\
  leaf:
    stock: sheet
    outline:
      polyline:
        closed: true
        points: [[0, 0], [80 mm, 0], [80 mm, 60 mm], [= 40 mm + slot / 2, 60 mm], [= 40 mm + slot / 2, 30 mm],
                 [= 40 mm - slot / 2, 30 mm], [= 40 mm - slot / 2, 60 mm], [0, 60 mm]]
    operations: [{name: outline, do: profile, cutter: down, corner_relief: dog-bone}]
needs:
  - {mates: {slot: {part: base, feature: slots}, takes: {part: leaf}, clearance: [0.1 mm, 0.3 mm]}}
  - mates:
      slot: {part: leaf, feature: outline, at: [40 mm, 50 mm]}
      takes: {part: leaf}
      depth: 30 mm
      clearance: [0.1 mm, 0.3 mm]
coupon:
  laps: {like: {part: leaf, feature: outline, at: [40 mm, 50 mm]}}
  seats: {like: {part: base, feature: slots}, fit: slip, slots: 5}
proof: [{part: leaf, operation: outline}]
""",
    width=300,
    rungs=(5.8, 6.2),
)


def _kit(folder: Path, *changes: tuple[str, str]) -> CheckedKit:
    return checked(folder, TEXT, *changes)


@pytest.fixture(scope="module")
def rack(tmp_path_factory: pytest.TempPathFactory) -> CheckedKit:
    return _kit(tmp_path_factory.mktemp("rack"))


@pytest.fixture(scope="module")
def files(rack: CheckedKit) -> dict[str, bytes]:
    return {file.name: file.data for file in dxf_files(rack.kit, rack.plan)}


def _lines(data: bytes, folder: Path) -> dict[str, list[Polygon]]:
    path = folder / "read.dxf"
    path.write_bytes(data)
    found: dict[str, list[Polygon]] = {}
    for line in ezdxf.readfile(path).modelspace().query("LWPOLYLINE"):
        points = [(x, y) for x, y, _z in dxf_path.make_path(line).flattening(0.001)]
        found.setdefault(line.dxf.layer, []).append(Polygon(points))
    return found


def _boxes(shape: BaseGeometry) -> list[tuple[float, float, float, float]]:
    return sorted(part.bounds for part in get_parts(shape))


def _gaps(wood: Polygon, *, across: bool) -> list[float]:
    """Return the widths of the slots 15 mm in from an edge, along a line parallel to that edge, in order."""
    line = LineString([(15, 45), (15, 400)] if across else [(45, 15), (400, 15)])
    solid = _boxes(line.intersection(wood))
    low, high = (1, 3) if across else (0, 2)
    return [after[low] - before[high] for before, after in itertools.pairwise(solid)]


@pytest.mark.parametrize("thickness", [5.8, 6.0, 6.2])
def test_slots_of_both_arms_go_from_tight_to_loose(files: dict[str, bytes], thickness: float, tmp_path: Path) -> None:
    """Closed form: rung + play - 0.3 to rung + play + 0.3 by 0.1, along x and along y, to 0.01 mm."""
    (wood,) = _lines(files[f"drawings/{thickness}-mm/coupon-laps.dxf"], tmp_path)["OUTLINE"]
    expected = [thickness + 0.2 + (number - 4) * 0.1 for number in range(1, 8)]
    assert _gaps(wood, across=False) == pytest.approx(expected, abs=0.01)
    assert _gaps(wood, across=True) == pytest.approx(expected, abs=0.01)


def test_walls_are_thick_and_slots_deep_enough(files: dict[str, bytes], tmp_path: Path) -> None:
    """Closed form: walls of 12 mm, slots 30 mm deep, with the relief of a dog-bone in their corners."""
    (wood,) = _lines(files["drawings/6.0-mm/coupon-laps.dxf"], tmp_path)["OUTLINE"]
    walls = _boxes(LineString([(45, 15), (400, 15)]).intersection(wood))[1:-1]
    assert [right - left for left, _low, right, _high in walls] == pytest.approx([12.0] * 6, abs=0.01)
    middle = walls[0][2] + 3.0
    up = LineString([(middle, -1), (middle, 49)]).intersection(wood)
    assert up.bounds[1] == pytest.approx(30.0, abs=0.01)
    corner = LineString([(walls[0][2] - 3, 29.9), (walls[0][2] + 0.05, 29.9)]).intersection(wood)
    radius = 25.4 / 16
    eaten = math.sqrt(radius**2 - (radius / math.sqrt(2) - 0.1) ** 2) - radius / math.sqrt(2)
    assert corner.length == pytest.approx(3 - eaten, abs=0.02)


def test_the_slot_as_drawn_has_a_notch_opposite(files: dict[str, bytes], tmp_path: Path) -> None:
    (wood,) = _lines(files["drawings/6.0-mm/coupon-laps.dxf"], tmp_path)["OUTLINE"]
    left = 50 + sum(6.2 + (number - 4) * 0.1 + 12 for number in (1, 2, 3))
    middle = left + 3.1
    for line in (LineString([(middle, 32), (middle, 60)]), LineString([(32, middle), (60, middle)])):
        assert line.intersection(wood).length == pytest.approx(14.0, abs=0.01)
    elsewhere = LineString([(middle + 12, 32), (middle + 12, 60)]).intersection(wood)
    assert elsewhere.length == pytest.approx(18.0, abs=0.01)


def test_a_joint_cut_inside_has_closed_slots(files: dict[str, bytes], tmp_path: Path) -> None:
    """Closed form: five slots on each arm, 30 mm long, 5.8 + 0.2 +- 0.2 mm wide."""
    slots = _lines(files["drawings/5.8-mm/coupon-seats.dxf"], tmp_path)["SLOTS"]
    assert len(slots) == 10
    widths = []
    for slot in slots:
        x, y = slot.centroid.coords[0]
        along = LineString([(x - 40, y), (x + 40, y)]).intersection(slot).length
        across = LineString([(x, y - 40), (x, y + 40)]).intersection(slot).length
        assert max(along, across) == pytest.approx(30.0, abs=0.01)
        widths.append(min(along, across))
    assert widths == pytest.approx([5.8, 5.9, 6.0, 6.1, 6.2] * 2, abs=0.01)


def test_a_coupon_is_cut_as_its_joint_is(rack: CheckedKit) -> None:
    """Same cutter, passes, relief and direction; settings on every class, and nothing found that the kit has not."""
    for coupon in rack.plan.coupons:
        part, like = coupon.kit.parts[0], rack.kit.part(coupon.wish.part).operation(coupon.wish.feature)
        own = part.operation(like.name)
        same = ("does", "side", "relief", "roughing", "finishing", "allowance", "overrides")
        assert all(getattr(own, name) == getattr(like, name) for name in same)
        assert isinstance(part.operations[-1].hold, Tabs) and coupon.plan.steps[-1].tabs
        for machine in coupon.plan.machines:
            assert machine.sound
            assert not any(one.demand > one.capacity for row in machine.holding.values() for one in row)
    assert not rack.fails(strict=True)
    assert [part.key for part in rack.kit.parts] == ["base", "leaf"]


@pytest.mark.parametrize(
    ("old", "new", "code", "said"),
    [
        ("at: [40 mm, 50 mm]}}\n  seats", "at: [40 mm, 51 mm]}}\n  seats", "coupon-unfit", "no need `mates` proves"),
        ("feature: slots}, fit", "feature: slotes}, fit", "unknown-name", "slotes"),
        ("slots: 5", "slots: 4", "bad-number", "none in the middle"),
        ("slots: 5", "slots: 5, step: 2 mm", "bad-number", "2 mm"),
    ],
)
def test_what_is_no_coupon_is_told(tmp_path: Path, old: str, new: str, code: str, said: str) -> None:
    with pytest.raises(UnreadableKitError) as caught:
        _kit(tmp_path, (old, new))
    assert [one.code for one in caught.value.problems] == [code]
    assert said in str(caught.value.problems[0].message)


def test_a_slot_that_the_cutter_does_not_enter_is_told(tmp_path: Path) -> None:
    found = _kit(tmp_path, ("slots: 5}", "slots: 9, step: 0.8 mm}"))
    (told,) = [one for one in found.findings if one.code == "coupon-unfit" and "At " not in str(one.message)]
    assert "does not go into the tightest slot, 3 mm" in str(told.message) and found.fails()


def test_reliefs_that_eat_the_seat_are_told(tmp_path: Path) -> None:
    """Two dog-bones of 1/8 in need a wall of 2.83 radii, 4.49 mm; the tightest slot is 4.2 mm wide."""
    found = _kit(tmp_path, ("slots: 5}", "slots: 5, step: 1 mm}"))
    told = [str(one.message) for one in found.findings if one.code == "coupon-unfit"]
    assert told and "short" in told[0]


def test_a_play_that_its_kind_does_not_have_is_told(tmp_path: Path) -> None:
    found = _kit(tmp_path, ("fit: slip", "fit: glue"))
    (told,) = {str(one.message) for one in found.findings if one.code == "coupon-play"}
    assert "0.2 mm of play; 0 to 0.15 mm" in told and "glue" in told


def test_kinds_of_fit_stand_in_order() -> None:
    """Common practice, no source: a press fit is the tightest, then glue, slip and moving."""
    plays = [fits()[name].play for name in ("press", "glue", "slip", "moving")]
    assert [one.low for one in plays] == sorted(one.low for one in plays)
    assert [one.high for one in plays] == sorted(one.high for one in plays)


def test_grooves_rise_over_the_window_and_pass_no_limit(
    rack: CheckedKit, files: dict[str, bytes], tmp_path: Path
) -> None:
    """Read by ezdxf: straight lines, a layer each named after its feed, slowest first; none beyond the window."""
    assert [strip.machine for strip in rack.plan.strips] == ["light_router", "medium_router"]
    for strip in rack.plan.strips:
        machine = next(one for one in rack.plan.machines if one.machine.key == strip.machine)
        window = machine.settings[strip.step]
        path = tmp_path / f"{strip.machine}.dxf"
        path.write_bytes(files[f"drawings/proof-leaf-outline-{strip.machine.replace('_', '-')}.dxf"])
        lines = list(ezdxf.readfile(path).modelspace().query("LWPOLYLINE LINE"))
        feeds = [int(line.dxf.layer.removeprefix("PROOF-")) for line in lines]
        assert len(feeds) == 6 and feeds == sorted(feeds)
        assert window.feed.low <= feeds[0] < window.feed.low + 10
        assert window.feed.high - 10 < feeds[-1] <= min(window.feed.high, machine.machine.feed.high)
        assert strip.depth <= window.depth_per_pass.high and window.speed.low <= strip.speed <= window.speed.high
        ways = [dxf_path.make_path(one) for one in lines]
        assert [way.start.y for way in ways] == pytest.approx([index * strip.pitch for index in range(6)], abs=0.01)
        assert [way.end.x - way.start.x for way in ways] == pytest.approx([strip.length] * 6, abs=0.01)
        assert [way.end.y for way in ways] == [way.start.y for way in ways]


def test_feeds_are_whole_tens_within_the_range() -> None:
    """Closed form: 1143 to 2508 mm/min in six steps of 272, each rounded down to tens; a narrow range gives fewer."""
    assert rising(1143, 2508, 6) == (1150, 1420, 1690, 1960, 2230, 2500)
    assert rising(1000, 1012, 6) == (1000, 1010)
    assert rising(1001, 1009, 6) == ()


def test_a_groove_is_long_enough_to_reach_its_feed() -> None:
    """Closed form: 50 mm/s at 200 mm/s2 takes v^2 / 2a = 6.25 mm at each end."""
    assert run_up(3000, 200) == pytest.approx(6.25)


def test_a_step_that_goes_sideways_has_no_proof_strip(tmp_path: Path) -> None:
    found = _kit(tmp_path, ("{part: leaf, operation: outline}", "{part: base, operation: slots}"))
    assert not found.plan.strips
    assert any("nothing to try" in str(one.message) for one in found.findings if one.code == "coupon-unfit")


def test_the_booklet_says_what_follows_from_the_slot_that_fits(rack: CheckedKit) -> None:
    """Closed form: steps of 0.1 mm on a ladder of 0.2 mm, rounded up to the rung that is not tighter."""
    units = units_for("mm", "mm")
    laps, seats = fit_coupons(rack.kit, rack.plan, rack.plan.machines, units)
    assert [row.take for row in laps.slots] == [
        "0.2 mm thinner", "0.2 mm thinner", "yours", "yours", "0.2 mm thicker", "0.2 mm thicker", "0.4 mm thicker"
    ]  # fmt: skip
    assert [row.drawn for row in laps.slots] == [False] * 3 + [True] + [False] * 3
    assert "count twice" in laps.errors and len(seats.steps) == 2
    (proof,) = settings_proofs(rack.plan, rack.plan.machines, units)
    assert [len(row.feeds) for row in proof.rows] == [6, 6] and proof.count == 6


def test_titles_of_trial_pieces_are_in_the_language_of_the_document(rack: CheckedKit) -> None:
    """As their drawings are listed: a German pack has no English title of ours."""
    titles = {"en": "Fit coupon", "de": "Passprobe"}
    strips = {"en": "Proof strip of", "de": "Probenuten"}
    for code, title in titles.items():
        with use_language(code):
            plan = in_language(rack.plan, code)
            named = [render_text(one.title) for one in pack_drawings(plan, rack.kit.parts)]
        assert [one.kit.parts[0].title for one in plan.coupons] == [title, title]
        assert named.count(title) == 2
        assert sum(one.startswith(strips[code]) for one in named) == 2
