"""A kit and its drawing: layers that count as one, what a layer should give, one part of several, what is left."""

from __future__ import annotations

from pathlib import Path

import pytest
from ugly import EDGE, PINS, WINDOW, pins, side
from writing import Tags, box, circle, dxf, line, poly

from kitforge.model.errors import UnreadableKitError
from kitforge.model.findings import Finding
from kitforge.model.kit import Kit
from kitforge.pipeline import load_kit
from kitforge.plugins import Plugins, load_plugins

KIT = """\
kitforge: 1
units: mm
kit: {{title: Plate, slug: plate, version: 1.0.0, author: Test, licence: CC-BY-4.0, summary: A plate. Invented.}}
stock: {{board: {{material: birch_plywood, thickness: 12 mm, length: 600 mm, width: 400 mm}}}}
cutters:
  mill: {{kind: up-cut, diameter: 5 mm, cutting_length: 20 mm, shank: 6 mm, overall_length: 50 mm, flutes: 2}}
hold_down: [double_sided_tape]
parts:
  plate:
    stock: board
    count: {count}
    drawing: a.dxf
    {more}
    outline: {{layer: {outline}}}
    operations:
      - {{name: pins, do: pocket, cutter: mill, shapes: [{{layer: {shapes}}}], depth: 4 mm}}
      - {{name: free, do: profile, cutter: mill, hold: {{tabs: {{count: 4, width: 8 mm, height: 2 mm}}}}}}
"""


@pytest.fixture(scope="module")
def plugins() -> Plugins:
    """The plugins as loaded."""
    return load_plugins()


def kit(
    folder: Path, plugins: Plugins, drawing: bytes, outline: str, shapes: str, more: str = "", count: int = 1
) -> Kit:
    """The kit as resolved."""
    (folder / "a.dxf").write_bytes(drawing)
    (folder / "kit.yaml").write_text(KIT.format(outline=outline, shapes=shapes, more=more, count=count))
    return load_kit(folder, plugins)


def findings(folder: Path, plugins: Plugins, *kit_of: str | bytes, **more: object) -> list[Finding]:
    """What is found, whether or not the kit can be resolved."""
    try:
        return list(kit(folder, plugins, *kit_of, **more).problems)  # type: ignore[arg-type]
    except UnreadableKitError as error:
        return list(error.problems)


SPREAD: list[Tags | list[Tags]] = [side(0), side(1, "B"), side(2), side(3, "C")]


def test_layers_that_count_as_one_are_joined(tmp_path: Path, plugins: Plugins) -> None:
    found = kit(tmp_path, plugins, dxf(*SPREAD, pins()), "{name: [EDGE, B, C]}", "PINS")
    assert found.parts[0].outline.closed
    assert found.parts[0].outline.area == pytest.approx(200 * 120)
    assert found.problems == ()


@pytest.mark.parametrize(
    "around",
    [
        [poly([(0, 30), (0, 120), (200, 120), (200, 0), (0, 0)], "EDGE", closed=False)],  # open by 30 mm
        [side(0), side(1), side(2)],  # a side is missing
        [side(0), side(1), side(2), side(3, "B")],  # a side is on another layer
        [poly([(100, 0), (0, 0), (0, 120), (100, 120)], "A", closed=False),
         poly([(100, 0), (200, 0), (200, 120), (100, 120)], "B", closed=False)],  # in halves on other layers
    ],
)  # fmt: skip
def test_an_opening_in_an_open_outline_is_never_the_part(around: list[Tags], tmp_path: Path, plugins: Plugins) -> None:
    drawing = dxf(*around, poly(WINDOW, "EDGE"), circle((30, 60), 3, "PINS"))
    found = findings(tmp_path, plugins, drawing, "{name: EDGE, only: largest}", "PINS")
    (error,) = (one for one in found if one.severity == "error")
    assert (error.code, error.part) == ("drawing-outline-inside", "plate")


@pytest.mark.parametrize(
    ("expected", "code"),
    [
        ("count: 4", None),
        ("count: 3", "drawing-changed"),
        ("size: [181, 101]", None),
        ("size: [181.04, 101]", None),
        ("size: [180, 101]", "drawing-changed"),
        ("count: 4, size: [7.13 in, 3.98 in]", "drawing-changed"),
    ],
)
def test_what_a_layer_should_give(expected: str, code: str | None, tmp_path: Path, plugins: Plugins) -> None:
    drawing = dxf(poly(EDGE, "EDGE"), pins())
    found = findings(tmp_path, plugins, drawing, "EDGE", f"{{name: PINS, {expected}}}")
    assert [one.code for one in found] == ([code] if code else [])


def test_only_what_lies_in_the_box_is_taken(tmp_path: Path, plugins: Plugins) -> None:
    other = [poly(box(90, 60, 220, 0), "CUT"), circle((230, 10), 3, "CUT")]
    drawing = dxf(poly(EDGE, "CUT"), [circle(at, 3, "CUT") for at in PINS], other)
    more = "drawing_box: {at: [220, 0], size: [90, 60]}"
    found = kit(tmp_path, plugins, drawing, "{name: CUT, only: largest}", "{name: CUT, only: circles}", more)
    assert found.parts[0].outline.bounds == pytest.approx((220, 0, 310, 60))
    assert len(found.parts[0].operations[0].shapes) == 1
    assert {one.code for one in found.problems} == {"drawing-left-out"}


@pytest.mark.parametrize("count", [2, 3, 4])
def test_copies_of_a_part_are_counted(count: int, tmp_path: Path, plugins: Plugins) -> None:
    copies = [
        one for k in range(3) for one in (poly(box(80, 50, 90 * k, 0), "CUT"), circle((90 * k + 10, 9), 3, "CUT"))
    ]
    more = "drawing_box: {at: [0, 0], size: [80, 50]}"
    found = kit(tmp_path, plugins, dxf(copies), "{name: CUT, only: largest}", "{name: CUT, only: circles}", more, count)
    assert [one.code for one in found.problems] == ([] if count == 3 else ["drawing-copies"])


@pytest.mark.parametrize(("count", "codes"), [(2, ["drawing-left-out"]), (3, ["drawing-copies"])])
def test_a_copy_without_its_outline_is_told_once(
    count: int, codes: list[str], tmp_path: Path, plugins: Plugins
) -> None:
    """The copies lie at 0, 90 and 180 mm, the last one has holes alone."""
    holes = [circle((90 * k + x, y), 3, "CUT") for k in range(3) for x, y in ((10, 9), (60, 20), (20, 40))]
    edges = [poly(box(80, 50, 90 * k, 0), "CUT") for k in range(2)]
    more = "drawing_box: {at: [0, 0], size: [80, 50]}"
    parts = "{name: CUT, only: largest}", "{name: CUT, only: circles}"
    found = kit(tmp_path, plugins, dxf(edges, holes), *parts, more, count).problems
    assert [one.code for one in found] == codes
    assert count == 3 or "lines and points, the first at" in str(found[0].message)


def test_every_line_that_no_part_uses_is_told_with_its_line(tmp_path: Path, plugins: Plugins) -> None:
    left = [circle((100, 20), 4, "EDGE"), line((150, 20), (160, 20), "OTHER"), line((300, 0), (300, 9), "FAR")]
    drawing = dxf(poly(EDGE, "EDGE"), pins(), *left)
    found = findings(tmp_path, plugins, drawing, "{name: EDGE, only: largest}", "PINS")
    told = [one for one in found if one.code == "drawing-left-out"]
    assert len(told) == 2
    rows = drawing.decode().splitlines()
    assert {rows[one.source.line - 1] for one in told} == {"CIRCLE", "LINE"}
    (note,) = (one for one in found if one.code == "drawing-layers-unused")
    assert str(note.message) == "No part uses what is on these layers: 'FAR'."
