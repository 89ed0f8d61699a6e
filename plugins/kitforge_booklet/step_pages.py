"""Which steps share a page: several of one cutter as a grid with one table, else two one below the other.

How tall anything is nobody knows here: a grid that does not fit its page is set as single steps, which the typesetter
sees (`kitforge.print.forms`).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import TYPE_CHECKING

from kitforge_booklet.grids import step_grid
from kitforge_booklet.records import StepBlock, StepPage, StepPages
from kitforge_booklet.steps import clamping

if TYPE_CHECKING:
    from kitforge.model.plan import MachinePlan, Plan
    from kitforge.pictures.drawn.shots import Shots
    from kitforge_booklet.records import StepGrid

GRID = (4, 3)
"""So many steps share a page as a grid; of two each has more room one below the other."""
_HALF, _LAST = 1.3, 0.6
"""What a page with one step counts for, of which half stays empty, and the last one, below which other text goes on."""

Sizes = tuple[int, ...]


def step_pages(plan: Plan, machines: Sequence[MachinePlan], shots: Shots, blocks: Sequence[StepBlock]) -> StepPages:
    """Return the steps in pages, both for a first step below the overview of all steps and for one on the next page."""

    @cache
    def page(start: int, count: int) -> StepPage:
        steps = tuple(blocks[start : start + count])
        grid: StepGrid | None = step_grid(plan, machines, shots, steps) if count in GRID else None
        return StepPage(steps, grid)

    def pages(sizes: Sizes, start: int = 0) -> tuple[StepPage, ...]:
        begins = [start + sum(sizes[:index]) for index in range(len(sizes))]
        return tuple(page(begin, size) for begin, size in zip(begins, sizes, strict=True))

    runs, count = _runs(plan, blocks), len(blocks)
    if not count:
        return StepPages((), ())
    below, after = pages((1, *_best(runs, 1, count))), pages(_best(runs, 0, count))
    grids = [[page.grid for page in found if page.grid is not None] for found in (below, after)]
    return StepPages(below, below if grids[0] == grids[1] else after)


def _runs(plan: Plan, blocks: Sequence[StepBlock]) -> list[int]:
    """Return for each step how many, with it, follow each other with one cutter, on one piece, nothing done between."""
    runs = [1] * len(blocks)
    for index in range(len(blocks) - 2, -1, -1):
        step, then = plan.steps[index], plan.steps[index + 1]
        same = step.cutter.key == then.cutter.key and clamping(plan, step) == clamping(plan, then)
        classes, others = ([row.machine_key for row in block.rows] for block in blocks[index : index + 2])
        if same and not blocks[index + 1].before and classes and classes == others:
            runs[index] = runs[index + 1] + 1
    return runs


def _best(runs: Sequence[int], start: int, count: int) -> Sizes:
    """Return how many steps each page holds so that there are as few pages, and as few half empty ones, as can be."""
    best: dict[int, tuple[float, Sizes]] = {count: (0.0, ())}
    for index in range(count - 1, start - 1, -1):
        found = []
        for size in (*GRID, 2, 1):
            if index + size <= count and (size < min(GRID) or size <= runs[index]):
                cost, rest = best[index + size]
                found.append((round(cost + _cost(size, last=index + size == count), 3), (size, *rest)))
        best[index] = min(found, key=lambda one: (one[0], len(one[1]), [-size for size in one[1]]))
    return best[start][1]


def _cost(size: int, *, last: bool) -> float:
    if size > 1:
        return 1.0
    return _LAST if last else _HALF
