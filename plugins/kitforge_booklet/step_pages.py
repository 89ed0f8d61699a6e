"""Which steps may share a page: several of one cutter as a grid with one table, else they follow each other.

The same cut in all pieces of a part is one entry, whatever shares its page. How tall anything is nobody knows here: all
grids that may be are made, and the typesetter chooses (`kitforge.print.courses`).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from kitforge_booklet.grids import GridMaker
from kitforge_booklet.pieces import one_cut
from kitforge_booklet.step_records import SharedPage, StepBlock, StepEntry, StepPages
from kitforge_booklet.steps import clamping

if TYPE_CHECKING:
    from kitforge.model.plan import MachinePlan, Plan
    from kitforge.pictures.drawn.shots import Shots
    from kitforge.print.figures import Units

MOST, MANY = 4, 60
"""So many entries share a page as a grid at most; of more than so many in a booklet there is one grid for each, so that
what there is to choose from stays small."""


def step_pages(
    plan: Plan, machines: Sequence[MachinePlan], shots: Shots, units: Units, blocks: Sequence[StepBlock]
) -> StepPages:
    """Return the steps with all grids that they may share."""
    entries = _entries(plan, blocks)
    maker = GridMaker(plan, machines, shots, units)
    usual = usual_sizes(_runs(plan, entries))
    return StepPages(
        tuple(StepEntry(steps, maker.grid((steps,)) if len(steps) > 1 else None) for steps in entries),
        tuple(SharedPage(first, last, maker.grid(entries[first:last])) for first, last in _spans(plan, entries, usual)),
        usual,
    )


def _spans(plan: Plan, entries: Sequence[Sequence[StepBlock]], usual: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Yield first and last index of all entries that may share a page; of very many those alone that usually do."""
    if len(entries) > MANY:
        first = 0
        for size in usual:
            if size > 1:
                yield first, first + size
            first += size
        return
    for first, run in enumerate(_runs(plan, entries)):
        yield from ((first, first + size) for size in range(2, min(run, MOST) + 1))


def usual_sizes(runs: Sequence[int]) -> tuple[int, ...]:
    """Return how many entries stand together where nothing is measured: as many as can be, run by run."""
    sizes: list[int] = []
    at = 0
    while at < len(runs):
        sizes.append(min(MOST, runs[at]))
        at += sizes[-1]
    return tuple(sizes)


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
