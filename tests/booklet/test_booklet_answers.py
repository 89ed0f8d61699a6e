"""A reader who has nothing but the booklet finds every answer in it: read from the text of the PDF."""

from __future__ import annotations

import io
import re

import pytest
from demo_kits import READ, checked, made, pages_of, pdf_of
from pypdf import PdfReader

from kitforge.print.figures import handy

SIX_MEGABYTES = 6_000_000


def text_of(name: str) -> str:
    return " ".join(pages_of(name))


def step_pages(name: str, paper: str = "a4") -> list[str]:
    """The pages with a table of settings and what to compare, one for each step in order."""
    return [page for page in pages_of(name, paper) if "Class of machine" in page and "Look and listen" in page]


def page_of_step(name: str, number: int) -> str:
    page = step_pages(name)[number - 1]
    assert made(name).steps[number - 1].title in page
    return page


@pytest.mark.parametrize("name", READ)
def test_what_to_buy(name: str) -> None:
    """Stock with its size and amount, every cutter, every piece of hardware, the finish with its millilitres."""
    kit, text = checked(name).kit, text_of(name)
    for stock in kit.stock.values():
        assert stock.title in text
    for cutter in {step.cutter.key: step.cutter for step in checked(name).plan.steps}.values():
        assert cutter.name in text
    for item in kit.hardware:
        assert " ".join(item.item.split()[:2]) in text
    for row in made(name).amounts:
        assert row.buy in text
    assert kit.finishing.finish is not None
    assert kit.finishing.finish.name in text
    assert re.search(r"\d+ ml", text)


@pytest.mark.parametrize("name", READ)
def test_what_to_do_first(name: str) -> None:
    """The first steps are numbered, and preparing comes before setting up, setting up before cutting."""
    reader = PdfReader(io.BytesIO(pdf_of(name)))
    titles = headings(reader.outline)
    assert "Read the whole booklet once" in pages_of(name)[1]
    assert [title for title in titles if title in CHAPTERS] == list(CHAPTERS)


def headings(outline: object) -> list[str]:
    """The bookmarks of a PDF in the order of its pages."""
    if isinstance(outline, list):
        return [title for item in outline for title in headings(item)]
    return [str(getattr(outline, "title", ""))]


CHAPTERS = ("Safety", "What you need", "Preparing the stock", "Setting up", "Proving the job in the air",
            "Cutting, step by step", "Measuring the parts", "Putting it together")  # fmt: skip


@pytest.mark.parametrize("name", READ)
def test_which_cutter_next_and_at_what_speed(name: str) -> None:
    """On the page of every step: the cutter, and for each class speed, feed and plunge to start with."""
    plan = checked(name).plan
    fitting = [machine for machine in plan.machines if machine.fits]
    for step in plan.steps:
        page = page_of_step(name, step.number)
        assert step.cutter.name in page
        for machine in fitting:
            if step.key in machine.settings:
                found = machine.settings[step.key]
                window = found.speed
                assert handy(window.start.value, window.low.value, window.high.value).replace("\u00a0", " ") in page


@pytest.mark.parametrize("name", READ)
def test_how_the_board_is_held(name: str) -> None:
    kit, text = checked(name).kit, text_of(name)
    for setup in kit.setups:
        assert setup.hold_downs[0].name.split()[0] in text
    assert "Does it hold?" in text
    assert re.search(r"Yes, \d+ of \d", text)


@pytest.mark.parametrize("name", READ)
def test_when_each_step_is_done(name: str) -> None:
    for block in made(name).steps:
        assert block.done in page_of_step(name, block.number)


@pytest.mark.parametrize("name", READ)
def test_what_can_hurt(name: str) -> None:
    """Every message of the safety page with its avoidance, and what to wear on the page of every step."""
    text = text_of(name)
    for message in made(name).messages:
        assert message.title in text
        assert message.avoidance[:40] in text
    for block in made(name).steps:
        page = page_of_step(name, block.number)
        assert all(words in page for words in ("Eye protection", "Ear protection", "Dust mask", "No gloves"))


@pytest.mark.parametrize("name", READ)
def test_when_the_cutter_is_changed_the_page_says_to_set_zero_again(name: str) -> None:
    plan, last = checked(name).plan, None
    for step in plan.steps:
        page = page_of_step(name, step.number)
        if last is None or last.cutter.key != step.cutter.key:
            assert "Power off" in page
            assert "Set Z0" in page
        last = step


def test_a_piece_cut_from_both_faces_is_turned_with_a_picture_and_found_again() -> None:
    text = text_of("bedside-lamp")
    assert "Turning it over" in text
    assert "push it into the same corner" in text
    assert "Turn the piece back over" in text
    assert made("morris-board").turnings == ()


@pytest.mark.parametrize("name", READ)
def test_a_booklet_stays_below_six_megabytes(name: str) -> None:
    assert len(pdf_of(name)) < SIX_MEGABYTES


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("name", READ)
def test_every_step_has_one_page(name: str, paper: str) -> None:
    """No step runs over: as many pages compare 'Done when' as there are steps, and no page is all but empty."""
    steps = step_pages(name, paper)
    assert [block.title in page for block, page in zip(made(name).steps, steps, strict=True)] == [True] * len(steps)
    assert all(len(page.split()) > 30 for page in pages_of(name, paper)[1:])


@pytest.mark.parametrize("name", ["bedside-lamp", "wall-clock"])
def test_a_piece_whose_underside_comes_first_is_laid_face_down_and_then_turned_back(name: str) -> None:
    bottom, top = (setup for setup in made(name).setups if "blank" in setup.title)
    assert "underside up" in bottom.title
    assert bottom.steps[0].startswith("Lay the piece with its top face down.")
    assert top.steps[0].startswith("Turn the piece back like a page of a book")
    assert not any("Turn the piece over" in step for step in bottom.steps + top.steps)


def test_only_a_piece_that_is_turned_over_must_be_cut_to_its_exact_length() -> None:
    blank, sheet = (" ".join(preparation.steps) for preparation in made("bedside-lamp").preparations)
    assert "220 mm exactly, not larger, and with both ends square" in blank
    assert "or larger" not in blank
    assert "or larger" in sheet


def test_a_drawing_names_the_face_only_of_a_part_that_is_cut_from_both() -> None:
    base, ring = made("bedside-lamp").drawings
    assert (base.both_faces, ring.both_faces) == (True, False)
    assert {row.title: row.face for row in base.rows}["Recess for the light"] == "underside"
    assert "Dashed" in [fact.label for fact in base.facts]
    assert "Dashed" not in [fact.label for fact in ring.facts]


def test_each_note_of_the_maker_is_an_item_of_its_own() -> None:
    page = next(page for page in pages_of("bedside-lamp") if "From the maker of this kit" in page)
    assert page.split("From the maker of this kit")[1].count("– ") >= len(made("bedside-lamp").notes) == 4


def test_a_long_table_does_not_make_the_drawing_too_small_to_read() -> None:
    """The clock is cut in eleven steps: its table goes over the page, and the drawing keeps a page of its own."""
    (page,) = made("wall-clock").drawings
    assert page.runs_on
    assert page.scale == "1 : 2"
