"""Which steps share a page: several of one cutter as a grid with one table, else two one below the other.

The same cut in all pieces of a part is one entry, whatever shares its page. How tall anything is nobody knows here: a
grid that does not fit its page is set as single entries, which the typesetter sees (`kitforge.print.forms`).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import TYPE_CHECKING

from kitforge_booklet.grids import step_grid
from kitforge_booklet.pieces import lanes, one_cut
from kitforge_booklet.step_records import StepBlock, StepEntry, StepPage, StepPages
from kitforge_booklet.steps import clamping

if TYPE_CHECKING:
    from kitforge.model.plan import MachinePlan, Plan
    from kitforge.pictures.drawn.shots import Shots
    from kitforge.print.figures import Units

MOST, _LANES = 4, 2
"""So many entries share a page as a grid at most, and in so many rows; of two single steps each has more room one below
the other."""
_HALF, _LAST = 1.3, 0.6
"""What a page with one entry counts for, of which half stays empty, and the last one, below which other text is."""

Sizes = tuple[int, ...]


def step_pages(
    plan: Plan, machines: Sequence[MachinePlan], shots: Shots, units: Units, blocks: Sequence[StepBlock]
) -> StepPages:
    """Return the steps in pages, both for a first entry below the overview of all steps and for one overleaf."""
    entries = _entries(plan, blocks)
    counts, runs = [len(entry) for entry in entries], _runs(plan, entries)

    @cache
    def entry(index: int) -> StepEntry:
        steps = entries[index]
        return StepEntry(steps, step_grid(plan, machines, shots, units, (steps,)) if len(steps) > 1 else None)

    @cache
    def page(start: int, size: int) -> StepPage:
        told = entries[start : start + size]
        shared = size <= runs[start] and is_grid(counts[start : start + size])
        grid = step_grid(plan, machines, shots, units, told) if shared else None
        return StepPage(tuple(entry(index) for index in range(start, start + size)), grid)

    def pages(sizes: Sizes, start: int = 0) -> tuple[StepPage, ...]:
        begins = [start + sum(sizes[:index]) for index in range(len(sizes))]
        return tuple(page(begin, size) for begin, size in zip(begins, sizes, strict=True))

    if not entries:
        return StepPages((), ())
    below, after = pages((1, *_best(runs, 1, counts))), pages(_best(runs, 0, counts))
    grids = [[page.grid for page in found if page.grid is not None] for found in (below, after)]
    return StepPages(below, below if grids[0] == grids[1] else after)


def is_grid(counts: Sequence[int]) -> bool:
    """Whether entries of so many steps share a page with one table, where they can."""
    return len(counts) > 1 and len(lanes(counts)) == _LANES and (len(counts) > 2 or max(counts) > 1)


def _entries(plan: Plan, blocks: Sequence[StepBlock]) -> list[tuple[StepBlock, ...]]:
    """Return the blocks of each entry: the same cut in all pieces of a part that is written once is one."""
    found: list[tuple[StepBlock, ...]] = []
    for block in blocks:
        if found and _follows(plan, found[-1][-1], block):
            step, then = (plan.steps[one.number - 1] for one in (found[-1][-1], block))
            if one_cut(step, then) and found[-1][-1].title == block.title:
                found[-1] = (*found[-1], block)
                continue
        found.append((block,))
    return found


def _runs(plan: Plan, entries: Sequence[Sequence[StepBlock]]) -> list[int]:
    """Return for each entry how many, with it, follow each other with one cutter on one piece, nothing done between."""
    runs = [1] * len(entries)
    for index in range(len(entries) - 2, -1, -1):
        if _follows(plan, entries[index][-1], entries[index + 1][0]):
            runs[index] = runs[index + 1] + 1
    return runs


def _follows(plan: Plan, block: StepBlock, later: StepBlock) -> bool:
    """Whether a step goes on with the cutter of the one before it, on the same piece, and nothing is done between."""
    step, then = (plan.steps[one.number - 1] for one in (block, later))
    same = step.cutter.key == then.cutter.key and clamping(plan, step) == clamping(plan, then)
    classes, others = ([row.machine_key for row in one.rows] for one in (block, later))
    return same and not later.before and bool(classes) and classes == others


def _best(runs: Sequence[int], start: int, counts: Sequence[int]) -> Sizes:
    """Return how many entries each page holds so that there are as few pages, and as few half empty ones, as can be.

    counts: how many steps each entry is of.
    """
    count = len(counts)
    best: dict[int, tuple[float, Sizes]] = {count: (0.0, ())}
    for index in range(count - 1, start - 1, -1):
        found = []
        for size in range(MOST, 0, -1):
            shared = size <= runs[index] and is_grid(counts[index : index + size])
            if index + size <= count and (size <= 2 or shared):
                cost, rest = best[index + size]
                found.append((round(cost + _cost(size, last=index + size == count), 3), (size, *rest)))
        best[index] = min(found, key=lambda one: (one[0], len(one[1]), [-size for size in one[1]]))
    return best[start][1]


def _cost(size: int, *, last: bool) -> float:
    if size > 1:
        return 1.0
    return _LAST if last else _HALF
