"""A kit with long titles, long notes and thirty operations is set without cutting off or overprinting a word."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from layout import faults
from words import outside, overprinted, pages_of_words

from kitforge.model.kit import Kit
from kitforge.model.pack import BuildOptions
from kitforge.model.plan import Plan
from kitforge.pipeline import plan_kit
from kitforge.plugins import load_plugins
from kitforge.print.render import Imprint, manuscript
from kitforge.print.themes import load_theme
from kitforge.print.typesetter import set_and_laid_out
from kitforge_booklet.build import booklet
from kitforge_sheet.sheet import settings_sheet

MANY, QUITE_MANY = 30, 4
"""A settings sheet of thirty steps takes a second, a booklet twenty, one of four half as long: both in the long run.

Where every text is a third longer, `tests/language` sets a booklet in every run.
"""
LONG = "Shallow rectangular recess for the engraved counting tiles of the travelling edition, row and column"
UNBROKEN = "Spielsteinaufbewahrungskassettendeckelvertiefung"
NOTE = "The tiles are cut from the offcuts of the lid, so keep every piece that is longer than a hand is wide. " * 6
KIT = f"""
kitforge: 1
kit:
  title: "A Counting Board for the Travelling Edition of a Game of Tiles: {UNBROKEN}"
  slug: counting-board
  version: 1.0.0
  author: {"The workshop with an uncommonly long name (invented) " * 2}
  licence: CC-BY-SA-4.0
  summary: {"A long board with rows of recesses for the tiles, and a lid. " * 5}
units: mm
stock:
  board: {{title: "{LONG}", material: black_cherry,
          thickness: {{nominal: 20 mm, actual: 19.3 mm}}, length: 500 mm, width: 400 mm, margin: 15 mm}}
cutters:
  up6: {{kind: up-cut, diameter: 6 mm, cutting_length: 25 mm, shank: 6 mm, overall_length: 60 mm, flutes: 2}}
machines: [light_router, medium_router, heavy_router, extra_heavy_router]
hold_down: [screws]
parts:
  board:
    title: {LONG}
    stock: board
    outline: {{rectangle: {{size: [400 mm, 330 mm]}}}}
    operations:
{{operations}}
      - {{name: outline, do: profile, cutter: up6, hold: {{tabs: {{width: 8 mm, height: 3 mm}}}}}}
hardware:
  - {{item: "{LONG}", count: 12, use: "{NOTE}", note: "{NOTE}"}}
notes:
  - {NOTE}
  - {UNBROKEN * 2}
"""


def operation(number: int) -> str:
    x, y = 45 + 62 * (number % 6), 40 + 62 * (number // 6)
    title = f"{LONG} {number + 1}" if number % 2 else f"{UNBROKEN} {number + 1}"
    return (
        f"      - {{name: recess-{number}, title: '{title}', do: pocket, cutter: up6, depth: 3 mm, "
        f"shapes: [{{rectangle: {{centre: [{x} mm, {y} mm], size: [40 mm, 40 mm], corner_radius: 4 mm}}}}]}}"
    )


@pytest.mark.parametrize(
    ("document", "steps"),
    [
        ("settings", MANY),
        *(pytest.param("booklet", steps, marks=pytest.mark.soak) for steps in (QUITE_MANY, MANY)),
    ],
)
def test_a_kit_with_long_words_and_many_operations_is_set_whole(tmp_path: Path, document: str, steps: int) -> None:
    operations = "\n".join(operation(number) for number in range(steps - 1))
    (tmp_path / "kit.yaml").write_text(KIT.replace("{operations}", operations), encoding="utf-8")
    kit, plan = plan_kit(tmp_path, load_plugins())
    assert len(plan.steps) == steps
    make: Callable[[Kit, Plan, BuildOptions], object]
    make = booklet if document == "booklet" else settings_sheet
    imprint = Imprint(kit.info.title, kit.info.author, "Test", kit.info.released)
    said = make(kit, plan, BuildOptions())
    pdf, laid = set_and_laid_out(manuscript(load_theme(), f"{document}.html", said, "letter", imprint))
    pages = pages_of_words(pdf)
    assert faults(laid) == []
    assert [pair for page in pages for pair in overprinted(page.words)] == []
    assert [word for page in pages for word in outside(page)] == []
