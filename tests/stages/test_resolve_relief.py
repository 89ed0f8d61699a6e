"""Corner relief is part of the shape that is cut, drawn and checked."""

from __future__ import annotations

import pathlib

from kitforge.model.kit import Kit
from kitforge.model.path import Bounds
from kitforge.pipeline import load_kit
from kitforge.planning.layers import part_drawings
from kitforge.plugins import load_plugins
from kitforge.stages.planning import plan

KIT = """
kitforge: 1
kit: {title: Slot, slug: slot, version: 1.0.0, author: Invented, licence: MIT, summary: A test.}
stock: {sheet: {material: birch_plywood, thickness: 12 mm, width: 200 mm, length: 300 mm}}
cutters: {em6: {kind: up-cut, diameter: 6 mm, cutting_length: 20 mm, shank: 6 mm, overall_length: 50 mm}}
parts:
  plate:
    stock: sheet
    outline: {rectangle: {size: [120, 80]}}
    operations:
      - {name: slot, do: pocket, cutter: em6, depth: through, RELIEF
         shapes: [{rectangle: {at: [40, 30], size: [40, 12]}}]}
      - {name: outline, do: profile, cutter: em6}
"""


def kit_with(relief: str, folder: pathlib.Path) -> Kit:
    folder.mkdir(exist_ok=True)
    (folder / "kit.yaml").write_text(KIT.replace("RELIEF", relief))
    return load_kit(folder, load_plugins())


def test_a_square_tenon_fits_a_relieved_slot_and_no_other(tmp_path: pathlib.Path) -> None:
    """After the cut, the corners of the 40 x 12 mm slot are gone with relief and stand without it."""
    from shapely import box

    tenon = box(40, 30, 80, 42)
    plugins = load_plugins()
    for relief, fits in (("corner_relief: dog-bone,", True), ("corner_relief: t-bone,", True), ("", False)):
        step = plan(kit_with(relief, tmp_path / (relief[15:18] or "none")), plugins).steps[0]
        assert step.cut is not None
        assert (tenon.difference(step.cut.buffer(1e-3)).area < 1e-3) is fits


def test_the_relief_is_in_the_drawing(tmp_path: pathlib.Path) -> None:
    kit = kit_with("corner_relief: dog-bone,", tmp_path)
    (drawing,) = part_drawings(plan(kit, load_plugins()), kit.parts[0])
    (slot,) = drawing.layers["SLOT"]
    assert sum(piece.is_arc for piece in slot.pieces()) == 4


def test_the_slot_as_drawn_is_kept_beside_the_one_that_is_cut(tmp_path: pathlib.Path) -> None:
    for relief, beyond in (("corner_relief: dog-bone,", True), ("", False)):
        slot = kit_with(relief, tmp_path / (relief[:3] or "none")).parts[0].operations[0]
        assert slot.nominal[0].bounds == Bounds(40, 30, 80, 42)
        assert (slot.shapes[0].bounds.width > 40.5) is beyond


def test_the_outline_keeps_freeing_its_part(tmp_path: pathlib.Path) -> None:
    kit = kit_with("", tmp_path)
    assert [operation.frees for operation in kit.parts[0].operations] == [False, True]
