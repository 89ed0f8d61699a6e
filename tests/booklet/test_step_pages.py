"""Which steps share a page, and that nothing is lost where several do."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import pytest
from demo_kits import DEMOS, said

from kitforge_booklet.step_pages import MANY, MOST, _spans, usual_sizes

if TYPE_CHECKING:
    from collections.abc import Iterable

    from kitforge.print.settings import StepView
    from kitforge_booklet.step_records import GridEntry, GridStep, GridWords, LabelledFact, StepGrid


@dataclass(frozen=True, slots=True)
class Found:
    """A grid, one of its entries, and one of the steps of that."""

    grid: StepGrid
    entry: GridEntry
    member: GridStep

    @property
    def words(self) -> list[GridWords]:
        """All that is said of the step: on the whole page, of some, and of its entry alone."""
        number = str(self.member.block.number)
        return [self.entry.own, *(one for one in self.grid.words if names(one.steps, number))]

    @property
    def tabled(self) -> list[LabelledFact]:
        """What the table of pieces has of the step."""
        return [fact for row in self.entry.pieces if row.number == self.member.block.number for fact in row.facts]

    def row(self, kind: str) -> tuple[StepView | None, ...]:
        (views,) = [
            row.views for row in self.grid.rows if row.kind == kind and names(row.steps, str(self.member.block.number))
        ]
        return views


def names(which: str, number: str) -> bool:
    """Whether a mark names a step; an empty one names all."""
    said = which.removeprefix("steps ").removeprefix("step ")
    first, dash, last = said.partition("–")
    if dash:
        return int(first) <= int(number) <= int(last)
    return not which or number in said.replace(",", " ").split()


def found(name: str) -> list[Found]:
    pages = said(name).booklet.step_pages
    told = [*(page.grid for page in pages.shared), *(entry.grid for entry in pages.entries if entry.grid is not None)]
    return [Found(grid, entry, member) for grid in told for entry in grid.entries for member in entry.steps]


def shown(rows: Iterable[StepView | None], kind: str) -> list[object]:
    """What a table shows of a setting, on each class."""
    found = [getattr(row, kind) for row in rows if row is not None]
    return found if kind in ("passes", "time") else [one and (one.start, one.span) for one in found]


@pytest.mark.parametrize("name", DEMOS)
def test_all_that_a_block_says_is_said_where_steps_share_a_page(name: str) -> None:
    for one in found(name):
        block, words = one.member.block, one.words
        said = [fact for group in words for fact in group.facts]
        assert [fact for fact in block.facts if fact not in said and fact not in one.tabled] == []
        assert [fact for fact in said if fact not in block.facts] == []
        assert [group.watch for group in words if group.watch] == [block.watch]
        assert [group.done for group in words if group.done] == [block.done]
        warned = [other.message for other in one.grid.messages if names(other.steps, str(block.number))]
        assert warned == list(block.messages)
        for kind in ("speed", "feed", "plunge", "depth", "passes", "time"):
            assert shown(one.row(kind), kind) == shown(block.rows, kind)
        if block.has_stepover:
            assert shown(one.row("stepover"), "stepover") == shown(block.rows, "stepover")


@pytest.mark.parametrize("name", DEMOS)
def test_steps_share_a_page_only_with_one_cutter_on_one_piece_and_nothing_to_do_between(name: str) -> None:
    plan = said(name).checked.plan
    for grid in {id(one.grid): one.grid for one in found(name)}.values():
        blocks = [member.block for entry in grid.entries for member in entry.steps]
        assert len(grid.entries) <= MOST
        assert [later.number - block.number for block, later in pairwise(blocks)] == [1] * (len(blocks) - 1)
        assert {plan.steps[block.number - 1].cutter.key for block in blocks} == {
            plan.steps[grid.first.number - 1].cutter.key
        }
        assert len({block.setup for block in blocks}) == 1
        assert [block.before for block in blocks[1:] if block.before] == []
        assert [block.signs for block in blocks[1:] if block.signs] == []


@pytest.mark.parametrize("name", DEMOS)
def test_every_step_stands_on_one_page_in_order(name: str) -> None:
    """In its entry, and in each grid that may stand for several entries."""
    booklet = said(name).booklet
    pages = booklet.step_pages
    assert [step for entry in pages.entries for step in entry.steps] == list(booklet.steps)
    assert sum(pages.usual) == len(pages.entries)
    for page in pages.shared:
        covered = [step for entry in pages.entries[page.first : page.last] for step in entry.steps]
        assert [member.block for entry in page.grid.entries for member in entry.steps] == covered


def test_some_demo_kits_have_steps_that_share_a_page() -> None:
    """Without them the tests of this module would look at nothing."""
    assert {name for name in DEMOS if found(name)} >= {"nest-box", "plant-stand", "puzzle-tray"}


@pytest.mark.parametrize(
    ("runs", "sizes"),
    [
        ([1], (1,)),
        ([2, 1], (2,)),
        ([4, 3, 2, 1], (4,)),
        ([6, 5, 4, 3, 2, 1], (4, 2)),
        ([1, 4, 3, 2, 1], (1, 4)),
        ([3, 2, 1, 3, 2, 1], (3, 3)),
    ],
)
def test_where_nothing_is_measured_as_many_stand_together_as_may(runs: list[int], sizes: tuple[int, ...]) -> None:
    assert usual_sizes(runs) == sizes


def test_all_entries_of_a_run_that_may_share_a_page_are_there_to_choose_from() -> None:
    """Of the nest box, whose second set-up begins with a run of four."""
    pages = said("nest-box").booklet.step_pages
    spans = {(page.first, page.last) for page in pages.shared}
    assert {(1, 3), (1, 4), (1, 5), (2, 4), (2, 5), (3, 5)} <= spans
    assert not {(0, 2), (4, 6)} & spans


def test_a_cut_in_all_pieces_of_a_part_is_told_once() -> None:
    """The seedling tray has plates in two lengths: three cuts, each with both steps, layers and what differs."""
    booklet, plan = said("seedling-tray").booklet, said("seedling-tray").checked.plan
    entries = booklet.step_pages.entries
    pieces = [entry for entry in entries if len(entry.steps) > 1]
    assert [[plan.steps[step.number - 1].part.key for step in entry.steps] for entry in pieces] == [
        ["plate-single", "plate-long"]
    ] * 3
    assert len({step.title for entry in pieces for step in entry.steps}) == 3
    assert [entry.grid is not None for entry in entries] == [len(entry.steps) > 1 for entry in entries]
    (told,) = (entry.grid.entries[0] for entry in pieces if entry.grid and entry.steps[0].title == "Holes for pots")
    assert (told.part, [row.piece for row in told.pieces]) == ("Pot plate", ["single", "long"])
    assert "layers PLATE-SINGLE-POTS and PLATE-LONG-POTS;" in told.load
    columns = {
        fact.label: [row.facts[index].value for row in told.pieces] for index, fact in enumerate(told.pieces[0].facts)
    }
    assert columns["Modules"] == ["1", "2"]
    assert columns["Copies"] == ["2", "1"]
    assert [size.split(" × ")[0] for size in columns["Size"]] == ["89.4", "179.4"]
    assert [words.split(",")[0] for words in columns["Tabs"]] == ["6", "12"]


def test_of_very_many_steps_there_is_little_to_choose_from() -> None:
    """No recursion, and time and room that grow with their number."""
    sizes = usual_sizes(list(range(5000, 0, -1)))
    assert (sum(sizes), len(sizes)) == (5000, 1250)
    blocks = said("puzzle-tray").booklet.steps[1:2]
    plan = said("puzzle-tray").checked.plan
    entries = [blocks] * (MANY + 1)
    usual = (*(4,) * (MANY // 4), MANY % 4 + 1)
    assert len(list(_spans(plan, entries, usual))) == MANY // 4 + (MANY % 4 > 0)
    assert len(list(_spans(plan, entries[1:], usual))) > 2 * MANY
