"""Pictures and words of the step page in A4 are never smaller than they were: so no page is saved by making them so."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from demo_kits import said
from test_booklet_pairs import SLANTED, drawn

from kitforge.print.raster import shown_box
from kitforge.print.render import Imprint, manuscript
from kitforge.print.themes import load_theme
from kitforge.print.typesetter import laid_out
from kitforge_booklet.grids import _SHOT as IN_GRID
from kitforge_booklet.grids import _SMALL as OF_PIECES
from kitforge_booklet.pairs import LEAST, arranged, sides
from kitforge_booklet.steps import _SHOT as BY_ITSELF

if TYPE_CHECKING:
    from weasyprint import Document
    from weasyprint.formatting_structure.boxes import Box

PX = 96 / 25.4
HERO, PLAN, SECTION, SLIM = 96.0, 58.0, 18.5, 30.0
"""Widths of the pictures of a step by itself, mm: of a plan and a section beside it, and of both beside words."""
SHARED, PIECES, SHARED_PLAN = 84.0, 54.0, 28.0
"""Widths of the pictures of steps that share a page, mm: of one, of one of several pieces, and of their plans."""
INSETS = {(96.0, 48.0): 28.0, (84.0, 48.0): 20.0, (55.0, 31.0): 13.0}
"""Least widths of the picture before a step by the room for both, mm."""
TYPE = {"load": 11.0, "details": 10.0, "where": 10.0, "before": 10.0, "compare": 10.0, "parts": 10.0, "note": 8.5}
"""Points, by the class of what the words stand in."""
FIGURES, SMALLEST = 11.5, 8.0
"""Points of the settings to start with, and of the smallest words of all."""


def within(box: Box, name: str) -> Iterator[Box]:
    """Yield the outermost boxes of a class of elements."""
    if name in classes(box):
        yield box
        return
    for child in getattr(box, "children", ()):
        yield from within(child, name)


def classes(box: Box) -> list[str]:
    element = box.element
    return [] if element is None or isinstance(element, str) else (element.get("class") or "").split()


def every(box: Box, kind: str) -> Iterator[Box]:
    """Yield the boxes of a kind below one, by the name of the typesetter's class."""
    if kind in type(box).__name__:
        yield box
    for child in getattr(box, "children", ()):
        yield from every(child, kind)


def steps(document: Document) -> list[Box]:
    return [step for page in document.pages for step in within(page._page_box, "step")]


def widths(box: Box) -> list[float]:
    """Return the widths of the pictures in a box, mm."""
    return [image.width / PX for image in every(box, "Replaced")]


def sizes(box: Box) -> list[float]:
    """Return the sizes of the words in a box, points."""
    return [text.style["font_size"] * 0.75 for text in every(box, "TextBox")]


ALONE = "booklet/step_pages.html"
"""The template of large print, in which no steps share a page."""


def steps_of(name: str, *, alone: bool) -> Document:
    """Return the steps of a kit in A4; alone: none of which share a page."""
    made = said(name)
    info = made.checked.kit.info
    plain = load_theme()
    own = {"theme.css": b".cover, section { display: none } #steps { display: block }"}
    own |= {ALONE: load_theme("large").files[ALONE]} if alone else {}
    theme = replace(plain, files={**plain.files, **own})
    imprint = Imprint(info.title, info.author, "Test", info.released)
    return laid_out(manuscript(theme, "booklet.html", made.booklet, "a4", imprint))


def test_pictures_of_a_step_by_itself_are_as_wide_as_they_were() -> None:
    found = set()
    alone = [step for step in steps(steps_of("puzzle-tray", alone=True)) if classes(step) == ["step"]]
    for step in alone:
        for hero in within(step, "drawn"):
            assert min(widths(hero)) >= HERO - 1.5  # whole dots, of the coarse pictures of tests
        for plan in within(step, "plan"):
            slim = "slim" in classes(plan)
            found.add(slim)
            least = [SLIM, SLIM] if slim else [PLAN, SECTION]
            assert all(wide >= one - 0.01 for wide, one in zip(widths(plan), least, strict=True)), widths(plan)
            tops = {round(image.position_y) for image in every(plan, "Replaced")}
            assert slim or len(tops) == 1  # beside each other
    assert found == {True, False}


def test_pictures_of_steps_that_share_a_page_are_as_wide_as_they_were() -> None:
    shared = [page.grid for page in said("puzzle-tray").booklet.step_pages.shared]
    pieces = [entry.grid for entry in said("seedling-tray").booklet.step_pages.entries if entry.grid]
    for grids, least in ((shared, SHARED), (pieces, PIECES)):
        members = [member for grid in grids for entry in grid.entries for member in entry.steps]
        assert members
        assert min(member.shot.width for member in members) >= least - 0.5  # whole dots
        assert min(member.picture.width for member in members) >= SHARED_PLAN


@pytest.mark.parametrize("room", INSETS, ids=str)
def test_the_picture_before_a_step_is_as_wide_as_it_was(room: tuple[float, float]) -> None:
    import io

    from PIL import Image

    least = {BY_ITSELF: LEAST, IN_GRID[:2]: IN_GRID[2], OF_PIECES[:2]: OF_PIECES[2]}
    piece = Image.open(io.BytesIO(drawn(SLANTED, clear=False)))
    outline = sides(piece.crop(shown_box(piece)))
    assert arranged(outline, outline, *room, least[room]).before >= INSETS[room]


def test_words_of_a_step_are_as_large_as_they_were() -> None:
    found = set()
    for step in steps(steps_of("herb-planter", alone=False)):
        assert min(sizes(step)) >= SMALLEST
        for name, least in TYPE.items():
            told = [size for box in within(step, name) for size in sizes(box)]  # lines of one have a box each
            found |= {name} if told else set()
            assert max(told, default=least) >= least, name
        for table in within(step, "settings"):
            assert max(sizes(table)) >= FIGURES
    assert found >= {"load", "details", "where", "before", "compare", "parts"}
