"""What a pack says of depths when a kit faces its board: one test for each fault that was there before the law."""

from __future__ import annotations

from pathlib import Path

import pytest
from facing_kits import LETTER_TRAY, PEN_REST

from kitforge.model.kit import Kit
from kitforge.model.pack import BuildOptions
from kitforge.model.plan import Plan
from kitforge.pipeline import plan_kit
from kitforge.planning.layers import pack_drawings
from kitforge.plugins import load_plugins
from kitforge_booklet.build import booklet
from kitforge_booklet.records import Booklet
from kitforge_listing.text import listing

Made = tuple[Kit, Plan, Booklet]


def made(folder: Path, text: str) -> Made:
    (folder / "kit.yaml").write_text(text)
    kit, plan = plan_kit(folder, load_plugins())
    return kit, plan, booklet(kit, plan, BuildOptions())


@pytest.fixture(scope="module")
def tray(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """A board of 24 mm that is faced by 1.5 mm first."""
    return made(tmp_path_factory.mktemp("tray"), LETTER_TRAY)


@pytest.fixture(scope="module")
def rest(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """A block of 20 mm, its underside faced by 0.8 mm, its top by 1 and 0.2 mm."""
    return made(tmp_path_factory.mktemp("rest"), PEN_REST)


def facts(found: Booklet, number: int) -> dict[str, str]:
    return {fact.label: fact.value for fact in found.steps[number - 1].facts}


def test_cover_listing_and_drawings_give_the_thickness_as_it_comes_out(tray: Made) -> None:
    """24 - 1.5 = 22.5 mm, not 24 mm."""
    kit, plan, found = tray
    assert any("240 × 120 × 22.5 mm" in fact.value for fact in found.cover.facts)
    assert "240 × 120 × 22.5 mm" in listing(kit, plan, BuildOptions())
    assert {"22.5 mm"} == {f.value for page in found.drawings for f in page.facts if f.label == "Thickness"}


def test_the_wood_to_buy_is_as_thick_as_it_lies_on_the_machine(tray: Made) -> None:
    kit, plan, found = tray
    assert "420 × 180 × 24 mm" in listing(kit, plan, BuildOptions())
    assert "24 mm" in found.needs.stock[0].detail


def test_the_measuring_table_gives_floors_and_depths_of_the_finished_part(tray: Made) -> None:
    """A hollow of 12 mm in 22.5 mm leaves 10.5 mm; from the old face it would have been 12 mm."""
    rows = {row.what: row.should.main for row in tray[2].checks if row.part == "Tray"}
    assert rows["Thinnest floor"] == "10.5 mm"
    assert next(value for what, value in rows.items() if what.startswith("Hollow: depth")) == "12 mm"


def test_through_cuts_go_half_a_millimetre_into_the_spoilboard_and_not_two(tray: Made) -> None:
    _kit, plan, found = tray
    number = next(step.number for step in plan.steps if step.key == "stop/outline")
    told = facts(found, number)
    assert told["Of this into the spoilboard"] == "0.5 mm"
    assert told["Depth below the new face that step 1 has cut"] == "23 mm, through"
    assert "goes 23 mm down" not in " ".join(map(str, found.proving)), "from the board as it came it is 24.5 mm"
    deepest = max(step.tip for step in plan.steps)
    assert f"goes {deepest:.0f} mm" in " ".join(map(str, found.proving))


def test_zero_is_set_on_a_face_that_is_there(tray: Made) -> None:
    """After facing the spot on which Z0 was set is gone; 'the same spot' is said only while it exists."""
    _kit, plan, found = tray
    before = [" ".join(map(str, block.before)) for block in found.steps]
    assert "Set Z0 on the face, away from any cut." in before[0]
    assert "Set Z0 anew on the new face that step 1 has cut" in before[1]
    for step, words in zip(plan.steps[2:], before[2:], strict=True):
        assert "again on the face" not in words
        if "same spot" in words:
            assert "the new face that step 1 has cut, on the same spot" in words, step.key
    said = " ".join(str(line) for setup in found.setups for line in setup.steps)
    assert "Step 1 takes the face off" in said


def test_a_skin_is_neither_printed_nor_drawn_as_a_through_cut(tray: Made) -> None:
    """22.5 mm less 0.5 mm: the cut ends 22 mm down and stays out of the spoilboard."""
    kit, plan, found = tray
    step = plan.step("tray/outline")
    block, told = found.steps[step.number - 1], facts(found, step.number)
    assert (block.depth, told["Skin left below"]) == ("22 mm", "0.5 mm")
    assert told["Depth below the new face that step 1 has cut"] == "22 mm"
    assert "Of this into the spoilboard" not in told
    assert "spoilboard does not show" in str(block.done)
    drawn = pack_drawings(plan, kit.parts)
    notes = {str(note) for one in drawn for name, note in one.notes.items() if name.endswith("OUTLINE")}
    assert {note for note in notes if note.startswith("22 mm below the faced surface")}
    assert sum("through" in note for note in notes) == 1, "that of the stops, which hang on tabs"
    assert "22 mm deep" in block.load
    assert "The skin under the cuts" in " ".join(str(line) for one in found.preparations for line in one.steps)


def test_drawings_say_from_where_their_depths_count(tray: Made) -> None:
    kit, plan, _found = tray
    titles = {drawing.title for drawing in pack_drawings(plan, kit.parts)}
    assert all("depths below the faced surface" in str(title) for title in titles)


def test_the_whole_stock_is_faced_and_drawn_on_the_sheet_alone(tray: Made) -> None:
    kit, plan, _found = tray
    by_name = {drawing.name: drawing.layers for drawing in pack_drawings(plan, kit.parts)}
    facing = next(paths for name, paths in by_name["sheet-board-1"].items() if name == "PLANE")
    assert (facing[0].bounds.width, facing[0].bounds.height) == (420, 180)
    assert not [name for name in by_name["tray"] if name == "PLANE"]


def test_both_faces_say_which_they_are(rest: Made) -> None:
    """The underside first: 0.8 mm off it; then the top in two passes, 1 mm and 0.2 mm; 18 mm stay."""
    kit, plan, found = rest
    labels = [next(iter(facts(found, step.number))) for step in plan.steps]
    assert [step.operation.name for step in plan.steps] == ["under", "weight", "over", "over", "pens", "outline"]
    assert labels[:2] == ["Depth below the underside", "Depth below the new underside that step 1 has cut"]
    assert labels[2] == "Depth below the face"
    assert labels[3] == "Depth below the new face that step 3 has cut", "what roughing has left"
    assert labels[4] == "Depth below the new face that step 4 has cut"
    assert kit.parts[0].thickness == pytest.approx(18.0)
    assert [step.wood for step in plan.steps] == pytest.approx([20.0, 19.2, 19.2, 18.2, 18.0, 18.0])
    assert facts(found, 6)["Of this into the spoilboard"] == "0.5 mm"


def test_a_thicker_board_is_thicker_after_facing_too(tray: Made) -> None:
    words = " ".join(str(line) for one in tray[2].preparations for line in one.steps)
    assert "make them as much deeper as your piece is thicker" in words
    assert "enter your thickness as their depth" not in words
