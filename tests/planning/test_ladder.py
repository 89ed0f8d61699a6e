"""A ladder of actual thicknesses: drawings for each, every rung checked, and words that lead to the right one.

Slots are measured on the DXF as it is written, by ezdxf, which shares nothing with the writer's path.
"""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import ezdxf
import pytest
from rack_kits import checked, rack_text

from kitforge.api import check
from kitforge.language import use_language
from kitforge.model.errors import UnreadableKitError
from kitforge.model.layout import LaidSheet, Placement
from kitforge.model.pack import BuildOptions
from kitforge.pipeline import CheckedKit
from kitforge.planning.layers import drawings_by_folder
from kitforge.planning.nesting.locked import LockedLayout, made_for, text_of
from kitforge.print.figures import units_for
from kitforge_booklet.setting_up import preparations
from kitforge_dxf import kitforge_render as dxf_files
from kitforge_sheet.sheet import settings_sheet
from kitforge_sheet.table import settings_table

RUNGS = (5.6, 5.8, 6.0, 6.2, 6.4)
PLAY = 0.2
TEXT = rack_text(
    """\
        corner_relief: dog-bone
        shapes:
          - rectangle: {centre: [60 mm, 20 mm], size: [60 mm, slot]}
          - rectangle: {centre: [60 mm, 50 mm], size: [60 mm, slot]}
""",
    """\
  leaf:
    stock: sheet
    count: 2
    outline: {rectangle: {size: [59.8 mm, 50 mm]}}
    operations: [{name: outline, do: profile, cutter: down}]
needs:
  - {mates: {slot: {part: base, feature: slots}, takes: {part: leaf, width: 59.8 mm}, clearance: [0.1 mm, 0.3 mm]}}
""",
)


def _kit(folder: Path, *changes: tuple[str, str]) -> CheckedKit:
    return checked(folder, TEXT, *changes)


@pytest.fixture(scope="module")
def rack(tmp_path_factory: pytest.TempPathFactory) -> CheckedKit:
    return _kit(tmp_path_factory.mktemp("rack"))


def test_every_rung_is_planned_and_well(rack: CheckedKit) -> None:
    assert [rung.thickness for rung in rack.plan.rungs] == [*RUNGS]
    assert [rung.kit.stock["sheet"].actual for rung in rack.plan.rungs] == [*RUNGS]
    assert not [one for one in rack.findings if "At " in str(one.message)]
    assert not rack.fails(strict=True)


def test_slots_in_the_dxf_of_every_rung_are_the_thickness_and_the_play(rack: CheckedKit, tmp_path: Path) -> None:
    """Independent reader: ezdxf. The width between the long sides of each slot, to 0.01 mm."""
    files = {file.name: file.data for file in dxf_files(rack.kit, rack.plan)}
    for thickness in RUNGS:
        path = tmp_path / "base.dxf"
        path.write_bytes(files[f"drawings/{thickness:.1f}-mm/base.dxf"])
        found = ezdxf.readfile(path)
        widths = [
            _between_long_sides(one) for one in found.modelspace().query("LWPOLYLINE") if one.dxf.layer == "SLOTS"
        ]
        assert widths == pytest.approx([thickness + PLAY] * 2, abs=0.01)


def _between_long_sides(line: object) -> float:
    """Return the distance between the longest straight sides of a closed line along x."""
    points = list(line.get_points("xyb"))  # type: ignore[attr-defined]
    pairs = list(zip(points, points[1:] + points[:1], strict=True))
    sides = [(abs(b[0] - a[0]), a[1]) for a, b in pairs if abs(a[2]) < 1e-9 and abs(a[1] - b[1]) < 1e-6]
    longest = max(length for length, _y in sides)
    heights = {round(y, 4) for length, y in sides if length > 0.5 * longest}
    return float(max(heights) - min(heights))


def test_what_no_rung_changes_stands_once(rack: CheckedKit) -> None:
    names = [(folder, drawing.name) for folder, drawing in drawings_by_folder(rack.plan, rack.kit.parts)]
    assert ("drawings", "leaf") in names
    assert [folder for folder, name in names if name == "leaf"] == ["drawings"]
    for name in ("base", "sheet-sheet-1"):
        assert [folder for folder, drawn in names if drawn == name] == [f"drawings/{one:.1f}-mm" for one in RUNGS]


def test_all_rungs_have_one_layout(rack: CheckedKit) -> None:
    """The booklet has one picture of the sheet, one zero and one set of places for screws."""
    placed = {tuple(sheet.placements for sheet in rung.plan.sheets) for rung in rack.plan.rungs}
    assert placed == {tuple(sheet.placements for sheet in rack.plan.sheets)}


def test_depths_in_sheet_and_table_follow_the_rung(rack: CheckedKit) -> None:
    tips = [max(step.tip for step in rung.plan.steps) for rung in rack.plan.rungs]
    assert tips == pytest.approx([tips[0] + rung - RUNGS[0] for rung in RUNGS])
    tables = {settings_table(rung.plan, rung.plan.machines) for rung in rack.plan.rungs}
    assert len(tables) > 1
    page = settings_sheet(rack.kit, rack.plan, BuildOptions(units="mm")).pages[0]
    assert all(f"{one:g} mm" in page.rungs for one in RUNGS)


def test_the_booklet_says_how_to_measure_and_which_to_take(rack: CheckedKit) -> None:
    words = " ".join(str(step.text) for step in preparations(rack.kit, rack.plan, units_for("mm", "mm"))[0].steps)
    assert "eight places" in words
    assert "Take the smallest that is not below your thickest reading" in words
    assert "drawings/5.6-mm" in words
    assert "add to their depths" not in words
    with use_language("de"):
        words = " ".join(str(step.text) for step in preparations(rack.kit, rack.plan, units_for("mm", "mm"))[0].steps)
    assert "acht Stellen" in words


@pytest.mark.parametrize(
    ("ladder", "said"),
    [
        ("{of: ply, from: 6.4 mm, to: 5.6 mm}", "no rung between"),
        ("{of: ply, from: 5.6 mm, to: 6.4 mm, step: 0.3 mm}", "do not lead to"),
        ("{of: ply, from: 5.7 mm, to: 6.5 mm, step: 0.2 mm}", "none of the rungs"),
        ("{of: ply, from: 5 mm, to: 7 mm, step: 0.1 mm}", "12 is the limit"),
        ("{of: play, from: 5.6 mm, to: 6.4 mm}", "does not follow 'play'"),
        ("{of: plie, from: 5.6 mm, to: 6.4 mm}", "no parameter 'plie'"),
    ],
)
def test_what_is_no_ladder_is_told(tmp_path: Path, ladder: str, said: str) -> None:
    with pytest.raises(UnreadableKitError) as caught:
        _kit(tmp_path, ("{of: ply, from: 5.6 mm, to: 6.4 mm, step: 0.2 mm}", ladder))
    assert said in str(caught.value.problems[0].message)


def test_a_thickness_without_its_parameter_is_told(tmp_path: Path) -> None:
    with pytest.raises(UnreadableKitError) as caught:
        _kit(tmp_path, ("actual: ply", "actual: 6 mm"))
    assert [one.code for one in caught.value.problems] == ["ladder-unfit"]


def test_slots_that_do_not_follow_are_told_at_their_rung(tmp_path: Path) -> None:
    """The author forgot the parameter in the slots: thin rungs are loose, thick ones do not go in."""
    found = _kit(tmp_path, ("  slot: = ply + play\n", "  slot: 6.2 mm\n"))
    told = [str(one.message) for one in found.findings if one.code == "need-mates"]
    assert {one.partition(":")[0] for one in told} == {"At 5.6 mm", "At 5.8 mm", "At 6.2 mm", "At 6.4 mm"}, told
    assert "ladder-still" in {one.code for one in found.findings}
    assert found.fails()


@pytest.mark.parametrize(
    ("relief", "diameter"),
    [("        corner_relief: dog-bone\n", "1/4 in"), ("", "4.2 mm")],
    ids=["a cutter that does not go in", "reliefs that eat the seat"],
)
def test_a_rung_that_the_cutter_cannot_make_is_told(tmp_path: Path, relief: str, diameter: str) -> None:
    """1/4 in goes into slots of 6.4 mm and not of 5.8; two dog-bones of 4.2 mm need a wall of 2.83 radii, 5.94 mm."""
    small = "diameter: 1/8 in, cutting_length: 12 mm, shank: 1/8 in, overall_length: 1.5 in"
    large = f"diameter: {diameter}, cutting_length: 12 mm, shank: 1/4 in, overall_length: 2 in"
    changes = [("ply: 6 mm", "ply: 6.2 mm"), (small, large), *([(relief, "")] if relief else [])]
    found = _kit(tmp_path, *changes)
    errors = [str(one.message) for one in found.findings if one.severity == "error"]
    assert any(one.startswith("At 5.6 mm:") for one in errors)
    assert not any(one.startswith("At 6.4 mm:") for one in errors)


def test_tabs_stay_where_the_booklet_shows_them(rack: CheckedKit) -> None:
    """No tab moves by more than the thickness does, so that one picture holds for all rungs."""
    drawn = {step.key: step.tabs for step in rack.plan.steps}
    assert any(drawn.values())
    for rung in rack.plan.rungs:
        for step in rung.plan.steps:
            pairs = list(zip(step.tabs, drawn[step.key], strict=True))
            assert all(math.dist((a.x, a.y), (b.x, b.y)) < 1 for a, b in pairs)


GROWS = (
    ("outline: {rectangle: {size: [120 mm, 70 mm]}}", "outline: {rectangle: {size: [= 60 mm + 10 * ply, 70 mm]}}"),
    ("centre: [60 mm, 20 mm], size: [60 mm, slot]", "centre: [45 mm, 20 mm], size: [60 mm, slot]"),
    ("centre: [60 mm, 50 mm], size: [60 mm, slot]", "centre: [45 mm, 50 mm], size: [60 mm, slot]"),
)


def test_the_layout_has_room_for_the_thickest(tmp_path: Path) -> None:
    """Independent library: shapely. A base that grows by 10 mm for each mm of thickness keeps its gap at every rung."""
    found = _kit(tmp_path, *GROWS)
    assert not found.fails(strict=True)
    for rung in found.plan.rungs:
        for sheet in rung.plan.sheets:
            lying = [place.shape(rung.kit.part(place.part).outline.to_polygon()) for place in sheet.placements]
            gaps = [one.distance(other) for one, other in itertools.combinations(lying, 2)]
            assert min(gaps) >= 2 * 25.4 / 8 + 6 - 1e-6


def test_a_layout_that_a_thicker_rung_does_not_keep_is_refused(tmp_path: Path) -> None:
    """Laid out in layout.lock for the drawn thickness alone: 4 mm too near to each other at the thickest."""
    found = _kit(tmp_path, *GROWS)
    gap = 2 * 25.4 / 8 + 6
    places = (
        Placement("base", 1, 10.0, 10.0),
        Placement("leaf", 1, 10 + 120 + gap, 10.0),
        Placement("leaf", 2, 10 + 120 + gap + 59.8 + gap, 10.0),
    )
    lock = LockedLayout((LaidSheet("sheet", 1, places),), made_for(found.kit, ["sheet"]), "by hand")
    (tmp_path / "layout.lock").write_bytes(text_of(lock).encode())
    told = [str(one.message) for one in check(tmp_path).findings if one.code == "layout-unfit"]
    assert [one.partition(":")[0] for one in told] == ["At 6.2 mm", "At 6.4 mm"]
