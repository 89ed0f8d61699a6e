"""Booklet and listing of a kit whose parts have places: the finished piece, the piece pulled apart, every step."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from itertools import combinations, pairwise

import morris
import pytest
from demo_kits import demo, pages_of
from PIL import Image

from kitforge.model.kit import AssemblyPose, Kit
from kitforge.model.pack import BuildOptions
from kitforge.model.plan import Plan
from kitforge.print.figures import Units
from kitforge_booklet.build import booklet
from kitforge_booklet.exploded_view import WIDTH, _Label, _tops, exploded_page

MM = Units("mm", both=False)


def boxed(kit: Kit) -> Kit:
    """The hand-made kit with its first part standing twice, one above the other."""
    first = kit.parts[0]
    places = tuple(
        AssemblyPose(
            first.key, (0.0, 0.0, height), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), first.source, (0.0, 0.0, 1.0), None, 0
        )
        for height in (0.0, first.stock.actual)
    )
    return replace(kit, together=places)


def test_the_list_of_parts_has_every_part_with_its_count_and_size() -> None:
    stand = demo("plant-stand")
    found = stand.booklet.apart
    assert found is not None
    assert [f"{part.count} ×" for part in stand.checked.kit.parts] == [row.count for row in found.rows]
    assert [part.title for part in stand.checked.kit.parts] == [row.title for row in found.rows]
    assert found.rows[-1].size.main.startswith("70 × 30 × 12")


def test_every_name_stands_beside_the_picture_once() -> None:
    """Long names are written on several lines; copies are counted."""
    found = demo("plant-stand").booklet.apart
    assert found is not None
    heights = [size.picture.height for size in found.pictures]
    assert heights == sorted(set(heights), reverse=True)
    for size in found.pictures:
        words = " ".join(re.findall(r"<text[^>]*>([^<]*)</text>", size.picture.svg))
        for part in demo("plant-stand").checked.kit.parts:
            assert words.count(part.title) == 1
        assert "4 × Foot" in words
        assert size.picture.width == WIDTH
        assert size.dots.src in size.picture.svg


def test_labels_keep_apart_and_on_the_paper() -> None:
    labels = [_Label(("One name", "two lines"), 50.0, y) for y in (1.0, 1.5, 30.0, 31.0, 79.0)]
    tops = _tops(labels, 80.0)
    assert all(b - a >= labels[0].height for a, b in pairwise(tops))
    assert tops[-1] + labels[-1].height <= 80.0


def test_every_assembly_step_has_one_picture_of_the_work() -> None:
    """The last is the finished piece, whether a step brings the last part or not."""
    for name, extra in (("plant-stand", 1), ("nest-box", 0)):
        kit, blocks = demo(name).checked.kit, demo(name).booklet.assembly
        assert len(kit.assembly) + extra == len(blocks)
        assert all(block.staged and len(block.pictures) == 1 for block in blocks)
        assert [str(number) for number in range(1, len(kit.assembly) + 1)] + [""] * extra == [b.number for b in blocks]
        pairs = combinations([block.pictures[0].data for block in blocks], 2)
        assert all(one != other for one, other in pairs)


def test_the_words_are_printed() -> None:
    pages = " ".join(pages_of("plant-stand"))
    for words in ("The parts and where they go", "Step by step", "Broken lines lead", "Done when it stands like this."):
        assert words in pages


def test_the_cover_shows_the_finished_piece() -> None:
    """On paper and in the listing; the shop's picture on white keeps its size, here half, and its rim of pure white."""
    stand = demo("plant-stand")
    assert "put together from its parts: " in stand.booklet.cover.picture.alt
    image = Image.open(io.BytesIO(stand.files["pictures/cover-white.jpg"])).convert("RGB")
    assert image.size == (1000, 750)
    assert {(255, 255, 255)} == {image.getpixel(spot) for spot in ((0, 0), (999, 0), (0, 749), (500, 15))}


def test_without_places_parts_are_shown_alone(kit: Kit, plan: Plan) -> None:
    made = booklet(kit, replace(plan, steps=plan.steps[:1]), BuildOptions())
    assert made.apart is None
    assert made.assembly
    assert not any(block.staged for block in made.assembly)
    assert "as the machine leaves them" in made.cover.picture.alt


@pytest.mark.parametrize("places", [1, 2])
def test_one_part_is_not_pulled_apart(kit: Kit, plan: Plan, places: int) -> None:
    shown = exploded_page(replace(boxed(kit), together=boxed(kit).together[:places]), plan, MM)
    assert (shown is None) == (places == 1)
    assert morris.BOARD.title in (shown.picture.svg if shown else morris.BOARD.title)
