"""A reader who has nothing but the booklet finds every answer in it: read from the text of the PDF.

`python tests/booklet/test_booklet_answers.py wall-clock` prints the answers with the pages they stand on.
"""

from __future__ import annotations

import io
import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass

import pikepdf
import pytest
from demo_kits import DEMOS, ON_LETTER, demo, pages_of, pdf_of

from kitforge.model.steps import Step
from kitforge.print.figures import handy
from kitforge_booklet.step_records import StepEntry

LARGEST = 8_000_000
QUESTIONS = (
    "What do I buy?",
    "What do I do first?",
    "Which cutter next?",
    "At what speed?",
    "How is the board held?",
    "When is it done?",
    "What can hurt?",
)


@dataclass(frozen=True, slots=True)
class Answer:
    """What a question should get for an answer, and the page of the booklet that says so; 0 where none does."""

    question: str
    words: str
    page: int


def listed(name: str) -> Iterator[Answer]:
    """The answers to the seven questions, each looked for where a reader would look."""
    pages = [plain(page) for page in pages_of(name)]
    for question, words, looked in expected(name):
        within = pages[looked - 1 : looked] if looked else pages
        found = (number for number, page in enumerate(within, looked or 1) if plain(words) in page)
        yield Answer(question, words, next(found, 0))


def plain(text: str) -> str:
    """Text without white space: where a line ends, one reader sees a space and another none."""
    return "".join(text.split())


Question = tuple[str, str, int]


def expected(name: str) -> Iterator[Question]:
    """Question, answer and the page that must give it, 0 for any: what kit, plan and the booklet's records hold."""
    kit, said = demo(name).checked.kit, demo(name).booklet
    buy, first, _, _, held, _, hurt = QUESTIONS
    yield from ((buy, words, 0) for words in shopping(name))
    yield from ((first, line, 0) for line in said.use)
    yield from ((held, setup.hold_downs[0].name.split(" (")[0], 0) for setup in kit.setups)
    yield from ((held, str(line), 0) for setup in said.setups for line in setup.steps)
    yield from ((hurt, words, 0) for message in said.messages for words in (message.title, message.avoidance))
    for step, number in zip(demo(name).checked.plan.steps, step_numbers(name), strict=True):
        yield from of_step(name, step, number)


def shopping(name: str) -> Iterator[str]:
    """Stock, cutters, hardware, abrasives and finish, with the amounts to buy."""
    kit, said = demo(name).checked.kit, demo(name).booklet
    yield from (str(stock.title) for stock in kit.stock.values())
    yield from sorted({str(step.cutter.name) for step in demo(name).checked.plan.steps})
    yield from (" ".join(item.item.split()[:2]) for item in kit.hardware)
    yield from (row.buy for row in said.amounts)
    if kit.finishing.finish is not None:
        yield kit.finishing.finish.name


def of_step(name: str, step: Step, page: int) -> Iterator[Question]:
    """What the page of a step must say: cutter, speed and feed for each class of machine, done when; what to wear must
    stand there or on the page of an earlier step of the same setup."""
    _, _, cutter, speed, _, done, hurt = QUESTIONS
    block = demo(name).booklet.steps[step.number - 1]
    yield cutter, str(step.cutter.name), page
    for row in block.rows:
        turns, goes = (f"{one.start.main} {one.span.main}" for one in (row.speed, row.feed))
        if any(step.number in group for group in grids(name)):  # a row of the table is a row of classes
            yield from ((speed, words, page) for words in (turns, goes.replace(" ", f" {row.feed.start.other} ")))
        else:
            yield speed, f"{turns} {row.feed.start.main}", page
    yield done, str(block.done), page
    numbers, steps = step_numbers(name), demo(name).booklet.steps
    dressed = max(n for n, one in zip(numbers, steps, strict=True) if one.new_setup and one.number <= step.number)
    yield from ((hurt, words, dressed) for words in ("Eye protection", "Ear protection", "Dust mask", "No gloves"))


def step_numbers(name: str, paper: str = "a4") -> list[int]:
    """The page of each step in order: where what is to be loaded for it stands above a table of settings."""
    pages = {
        number: plain(page) for number, page in enumerate(pages_of(name, paper), 1) if re.search("Speed ?rpm", page)
    }
    found, last = [], 0
    for entry in entries(name):
        # two steps may load the same words; the later one stands no earlier
        load = entry.grid.entries[0].load if entry.grid else entry.steps[0].load
        last = next((number for number, page in pages.items() if number >= last and plain(load) in page), last)
        found += [last] * len(entry.steps)
    return found


def entries(name: str) -> list[StepEntry]:
    """What is told at one place: single steps, and the same cut in all pieces of a part."""
    return list(demo(name).booklet.step_pages.entries)


def grids(name: str, paper: str = "a4") -> list[tuple[int, ...]]:
    """The steps of each table that several share: those of a page, and by itself the same cut in all pieces."""
    words = re.findall(r"Steps (\d+) (?:to|and) (\d+) (?!free parts)", " ".join(pages_of(name, paper)))
    shared = [tuple(range(int(first), int(last) + 1)) for first, last in words]
    cuts = [tuple(step.number for step in entry.steps) for entry in entries(name) if entry.grid]
    return sorted([*shared, *(cut for cut in cuts if not any(set(cut) <= set(group) for group in shared))])


def page_of_step(name: str, number: int) -> str:
    page = pages_of(name)[step_numbers(name)[number - 1] - 1]
    assert demo(name).booklet.steps[number - 1].title in page
    return page


@pytest.mark.parametrize("name", DEMOS)
def test_every_question_of_a_reader_is_answered(name: str) -> None:
    """All seven questions have answers, each step its own, and each answer stands where a reader looks for it."""
    found = list(listed(name))
    steps = len(demo(name).checked.plan.steps)
    assert [answer for answer in found if not answer.page] == []
    assert dict.fromkeys(QUESTIONS) == dict.fromkeys(sorted({a.question for a in found}, key=QUESTIONS.index))
    for question in ("Which cutter next?", "When is it done?"):
        assert sum(answer.question == question for answer in found) == steps
    assert {answer.page for answer in found if answer.question == "At what speed?"} == set(step_numbers(name))


def test_an_answer_that_the_pages_do_not_give_is_missed(monkeypatch: pytest.MonkeyPatch) -> None:
    """The list of answers can fail: without the page of a step its cutter, speed and end are answered nowhere."""
    whole = pages_of("puzzle-tray")
    gone = step_numbers("puzzle-tray")[1]
    blank = tuple("" if number == gone else page for number, page in enumerate(whole, 1))
    numbers = step_numbers("puzzle-tray")
    monkeypatch.setattr(sys.modules[__name__], "step_numbers", lambda _name: numbers)
    monkeypatch.setattr(sys.modules[__name__], "pages_of", lambda *_name: blank)
    missed = {answer.question for answer in listed("puzzle-tray") if not answer.page}
    assert missed >= {"Which cutter next?", "At what speed?", "When is it done?"}


@pytest.mark.parametrize("name", DEMOS)
def test_amounts_are_given_in_numbers(name: str) -> None:
    assert re.search(r"\d+ ml", " ".join(pages_of(name))) or demo(name).checked.kit.finishing.finish is None


def text_of(name: str) -> str:
    return " ".join(pages_of(name))


@pytest.mark.parametrize("name", DEMOS)
def test_what_to_do_first(name: str) -> None:
    """The first steps are numbered, and preparing comes before setting up, setting up before cutting."""
    with pikepdf.open(io.BytesIO(pdf_of(name))) as pdf, pdf.open_outline() as outline:
        titles = list(headings(outline.root))
    assert "Read the whole booklet once" in pages_of(name)[1]
    assert [title for title in titles if title in CHAPTERS] == list(CHAPTERS)


def headings(items: list[pikepdf.OutlineItem]) -> Iterator[str]:
    """The bookmarks of a PDF in the order of its pages."""
    for item in items:
        yield item.title
        yield from headings(item.children)


CHAPTERS = ("Safety", "What you need", "Preparing the stock", "Setting up", "Air cut first",
            "Cutting, step by step", "Measuring the parts", "Putting it together")  # fmt: skip


@pytest.mark.parametrize("name", DEMOS)
def test_which_cutter_next_and_at_what_speed(name: str) -> None:
    """On the page of every step: the cutter, and for each class speed, feed and plunge to start with."""
    plan = demo(name).checked.plan
    fitting = [machine for machine in plan.machines if machine.fits]
    for step in plan.steps:
        page = page_of_step(name, step.number)
        assert str(step.cutter.name) in page
        for machine in fitting:
            if step.key in machine.settings:
                found = machine.settings[step.key]
                window = found.speed
                assert handy(window.start, window.low, window.high).replace("\u00a0", " ") in page


@pytest.mark.parametrize("name", DEMOS)
def test_how_the_board_is_held(name: str) -> None:
    kit, text = demo(name).checked.kit, text_of(name)
    for setup in kit.setups:
        assert setup.hold_downs[0].name.split()[0] in text
    assert "Does it hold?" in text
    assert re.search(r"Yes, \d+ of \d", text)


@pytest.mark.parametrize("name", DEMOS)
def test_when_the_cutter_is_changed_the_page_says_to_set_zero_again(name: str) -> None:
    plan, last = demo(name).checked.plan, None
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
    assert demo("morris-board").booklet.turnings == ()


@pytest.mark.parametrize("name", DEMOS)
def test_a_booklet_stays_small_enough_to_send(name: str) -> None:
    """Bytes; own choice, well below what a mailbox takes."""
    assert len(pdf_of(name)) < LARGEST


@pytest.mark.parametrize(
    ("name", "paper"),
    [*((n, "a4") for n in DEMOS), *(pytest.param(n, "letter", marks=pytest.mark.soak) for n in ON_LETTER)],
)
def test_every_step_stands_on_one_page(name: str, paper: str) -> None:
    """No step runs over: of each page, all that a block has stands there as often as there are blocks, and a page that
    several steps share has one table; no page is all but empty."""
    pages, found = pages_of(name, paper), step_numbers(name, paper)
    steps = [pages[number - 1] for number in found]
    for number in sorted(set(found)):
        page = pages[number - 1].partition("Freeing the parts")[0]  # what follows has a column "Yours" as well
        counts = {part: page.count(part) for part in ("Speed rpm", "Yours", "Look and listen", "Done when")}
        groups = [group for group in grids(name, paper) if found[group[0] - 1] == number]
        assert [at for group in groups for at in {found[step - 1] for step in group}] == [number] * len(groups)
        single = found.count(number) - sum(map(len, groups))
        assert counts["Yours"] == len(groups) + single
        assert groups or set(counts.values()) == {single}, (number, counts)
    assert [b.title in page for b, page in zip(demo(name).booklet.steps, steps, strict=True)] == [True] * len(steps)
    assert all(len(page.split()) > 30 for page in pages[1:])


@pytest.mark.parametrize("name", ["bedside-lamp", "wall-clock"])
def test_a_piece_whose_underside_comes_first_is_laid_face_down_and_then_turned_back(name: str) -> None:
    bottom, top = (setup for setup in demo(name).booklet.setups if "blank" in setup.title)
    assert "underside up" in bottom.title
    assert str(bottom.steps[0]).startswith("Lay the piece with its top face down, the mark F in front.")
    assert str(top.steps[0]).startswith("Turn the piece back like a page of a book")
    assert not any("Turn the piece over" in str(step) for step in bottom.steps + top.steps)


def test_only_a_piece_that_is_turned_over_must_be_cut_to_its_exact_length() -> None:
    blank, sheet = (" ".join(map(str, preparation.steps)) for preparation in demo("bedside-lamp").booklet.preparations)
    assert "220 mm exactly, not larger, and with both ends square" in blank
    assert "or larger" not in blank
    assert "or larger" in sheet


def test_a_drawing_names_the_face_only_of_a_part_that_is_cut_from_both() -> None:
    drawings = demo("bedside-lamp").booklet.drawings
    assert [drawing.title for drawing in drawings] == ["Base, upper face", "Base, underside", "Shade ring"]
    upper, under, _ = ({row.title for row in drawing.rows} for drawing in drawings)
    assert upper & under == {"Window for the light"}
    assert "Recess for the light" in under - upper
    assert ["Seen" in [fact.label for fact in drawing.facts] for drawing in drawings] == [False, True, False]


def test_each_note_of_the_maker_is_an_item_of_its_own() -> None:
    page = next(page for page in pages_of("bedside-lamp") if "From the maker of this kit" in page)
    assert page.split("From the maker of this kit")[1].count("– ") >= len(demo("bedside-lamp").booklet.notes) == 4


def test_a_long_table_does_not_make_the_drawing_too_small_to_read() -> None:
    """The clock is cut in eleven steps: two views at one scale share them, each above its table on one page."""
    pages = [page for page in pages_of("wall-clock") if re.search("Clock face, (upper face|underside)", page)]
    assert [scale for page in pages for scale in re.findall(r"Scale (\d+ : \d+)", page)] in (
        ["1 : 2"] * 2,
        ["1 : 3"] * 2,
    )
    marks = [row.letter for page in demo("wall-clock").booklet.drawings for row in page.rows]
    assert len(marks) == 11


if __name__ == "__main__":
    for kit_name in sys.argv[1:] or DEMOS:
        for answer in listed(kit_name):
            print(f"{kit_name}, page {answer.page}: {answer.question} {answer.words}")
