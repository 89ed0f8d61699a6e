"""Steps that share a page: what all of them have in common is said once, above their pictures and in one table."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, cast

from kitforge.language import say
from kitforge.pictures.drawn.cutter import lying_cutter
from kitforge.pictures.drawn.part import step_picture
from kitforge.print.directions import clockwise, direction_of
from kitforge.print.figures import listed
from kitforge.print.loading import load_words
from kitforge_booklet.pictures import step_shot
from kitforge_booklet.pieces import lanes_of, piece_rows, unlike, whole_title
from kitforge_booklet.step_records import (
    GridEntry,
    GridFigure,
    GridMessage,
    GridRow,
    GridStep,
    GridWords,
    StepBlock,
    StepGrid,
)
from kitforge_booklet.steps import cutter_scale, fitting, steps_before
from kitforge_booklet.ways import round_words, ways_down, ways_round

if TYPE_CHECKING:
    from kitforge.model.lines import Line
    from kitforge.model.plan import MachinePlan, Plan
    from kitforge.model.settings import DirectionReason
    from kitforge.model.steps import Step
    from kitforge.pictures.drawn.shots import Shots
    from kitforge.print.figures import Units
    from kitforge.print.settings import StepView
    from kitforge_booklet.step_records import LabelledFact
    from kitforge_booklet.ways import TurningWay

_SHOT, _SMALL, _PLAN, _CUTTER = (84.0, 48.0, 20.0), (55.0, 31.0, 13.0), (28.0, 21.0), 27.0
"""Room for the pictures of a step and the least width of the one before it, the same for one of several pieces, which
has its plan beside it, room for that; length of the cutter, mm.

The piece after the step is then as wide as in the block of a single step, up to a millimetre; the inset is narrower.
"""
_ROWS: tuple[tuple[GridFigure, Callable[[StepView], object]], ...] = (
    (GridFigure.SPEED, lambda row: (row.speed.start, row.speed.span, row.dial)),
    (GridFigure.FEED, lambda row: (row.feed.start, row.feed.span)),
    (GridFigure.PLUNGE, lambda row: (row.plunge.start, row.plunge.span)),
    (GridFigure.DEPTH, lambda row: (row.depth.start, row.depth.span)),
    (GridFigure.STEPOVER, lambda row: row.stepover and (row.stepover.start, row.stepover.span)),
    (GridFigure.PASSES, lambda row: (row.passes.count, row.passes.more)),
    (GridFigure.TIME, lambda row: row.time),
)
"""The rows of the table, and what of the settings of a step on a class each of them shows."""


@dataclass(frozen=True)
class GridMaker:
    """Makes the grids of a booklet; a step that stands in several of them has its pictures made once."""

    plan: Plan
    machines: Sequence[MachinePlan]
    shots: Shots
    units: Units
    _members: dict[tuple[int, bool], GridStep] = field(default_factory=dict)

    def grid(self, entries: Sequence[Sequence[StepBlock]]) -> StepGrid:
        """Return steps that follow each other with one cutter as they share a page.

        entries: the blocks of each entry, several where it is the same cut in all pieces of a part.
        """
        blocks = [block for entry in entries for block in entry]
        steps = [self.plan.steps[block.number - 1] for block in blocks]
        shown = fitting(self.machines)
        told = _told_before(self.plan, steps[0], shown)
        tabled = {block.number: unlike(entry) for entry in entries for block in entry}
        said: dict[tuple[int, ...], GridWords] = {}
        for numbers, kind, value in _everything(steps, blocks, shown, tabled):
            said[numbers] = _with(said.get(numbers, GridWords(_which(numbers, blocks))), kind, value, told)
        alone = [tuple(block.number for block in entry) for entry in entries]
        several = sorted((numbers for numbers in said if numbers not in alone), key=lambda found: (-len(found), found))
        found = [
            self._entry(entry, replace(said.get(numbers, GridWords()), steps=""))
            for numbers, entry in zip(alone, entries, strict=True)
        ]
        return StepGrid(
            title="" if len(entries) == 1 else _steps_words(blocks),
            first=blocks[0],
            lanes=lanes_of(found, [len(entry) for entry in entries]),
            cutter_picture=lying_cutter(steps[0].cutter, cutter_scale(steps[0].cutter, _CUTTER)),
            words=tuple(said[numbers] for numbers in several),
            messages=_messages(blocks),
            classes=blocks[0].rows,
            rows=_rows(blocks),
        )

    def _entry(self, blocks: Sequence[StepBlock], own: GridWords) -> GridEntry:
        steps = [self.plan.steps[block.number - 1] for block in blocks]
        several = len(blocks) > 1
        return GridEntry(
            number=f"{blocks[0].number}–{blocks[-1].number}" if several else str(blocks[0].number),
            title=blocks[0].title,
            part=whole_title(steps[0].part) if several else blocks[0].part,
            load=load_words(self.plan, steps, self.units, [row for block in blocks for row in block.rows]),
            steps=tuple(self._member(step, block, several) for step, block in zip(steps, blocks, strict=True)),
            own=own,
            pieces=piece_rows(self.plan, steps, blocks, self.units) if several else (),
            notes=tuple(dict.fromkeys(block.note for block in blocks if block.note)),
            larger=tuple(dict.fromkeys(block.larger for block in blocks if block.larger)),
        )

    def _member(self, step: Step, block: StepBlock, several: bool) -> GridStep:
        """Return a step with its pictures. several: whether it is one of several pieces."""
        if (block.number, several) not in self._members:
            width, height, inset = _SMALL if several else _SHOT
            way = clockwise(step, direction_of(step, fitting(self.machines)))
            self._members[block.number, several] = GridStep(
                block=block,
                shot=step_shot(step, self.shots, width, height, inset),
                picture=step_picture(step, steps_before(self.plan, step), *_PLAN, way, self.units),
            )
        return self._members[block.number, several]


def _everything(
    steps: Sequence[Step],
    blocks: Sequence[StepBlock],
    shown: Sequence[MachinePlan],
    tabled: Mapping[int, frozenset[str]],
) -> list[tuple[tuple[int, ...], str, object]]:
    """Return what is said of the steps, each with its kind and with the numbers of the steps of which it is said.

    tabled: by step, the labels of facts that the table of its pieces has.
    """
    found: dict[tuple[str, object], list[int]] = {}
    for step, block in zip(steps, blocks, strict=True):
        for kind, value in (
            *(("fact", fact) for fact in block.facts if fact.label not in tabled[step.number]),
            ("down", ways_down(block.rows)),
            ("round", ways_round(step, shown)),
            ("watch", block.watch),
            ("done", block.done),
        ):
            found.setdefault((kind, value), []).append(step.number)
    return [(tuple(numbers), kind, value) for (kind, value), numbers in found.items()]


def _with(words: GridWords, kind: str, value: object, told: set[DirectionReason]) -> GridWords:
    if kind == "fact":
        return replace(words, facts=(*words.facts, cast("LabelledFact", value)))
    if kind == "watch":
        return replace(words, watch=cast("str", value))
    if kind == "done":
        return replace(words, done=cast("Line", value))
    if kind == "round":
        return replace(words, ways=(*words.ways, *round_words(cast("tuple[TurningWay, ...]", value), told)))
    return replace(words, ways=(*words.ways, *cast("tuple[str, ...]", value)))


def _told_before(plan: Plan, step: Step, shown: Sequence[MachinePlan]) -> set[DirectionReason]:
    """Return the reasons for the direction of cut that the steps before this one have given."""
    ways = (way for one in plan.steps[: step.number - 1] for way in ways_round(one, shown))
    return {way.reason for way in ways if way.reason is not None}


def _messages(blocks: Sequence[StepBlock]) -> tuple[GridMessage, ...]:
    found = dict.fromkeys(message for block in blocks for message in block.messages)
    return tuple(
        GridMessage(_which([block.number for block in blocks if message in block.messages], blocks), message)
        for message in found
    )


def _rows(blocks: Sequence[StepBlock]) -> tuple[GridRow, ...]:
    """Return a row for each setting, and one more for each way in which steps differ in it."""
    classes = [row.machine_key for row in blocks[0].rows]
    rows: list[GridRow] = []
    for kind, shows in _ROWS:
        found: dict[tuple[object, ...], list[StepBlock]] = {}
        for block in blocks:
            by_class = {row.machine_key: row for row in block.rows}
            shown = tuple(shows(by_class[key]) if key in by_class else None for key in classes)
            if any(shown):
                found.setdefault(shown, []).append(block)
        for same in found.values():
            by_class = {row.machine_key: row for row in same[0].rows}
            which = _which([block.number for block in same], blocks)
            rows.append(GridRow(kind, which, tuple(by_class.get(key) for key in classes)))
    return tuple(rows)


def _which(numbers: Sequence[int], blocks: Sequence[StepBlock]) -> str:
    """Return the words for some of the steps, empty for all of them."""
    if len(numbers) == len(blocks):
        return ""
    if len(numbers) == 1:
        return say("step {number}", number=numbers[0])
    if len(numbers) > 2 and numbers[-1] - numbers[0] == len(numbers) - 1:
        return say("steps {first}–{last}", first=numbers[0], last=numbers[-1])
    return say("steps {numbers}", numbers=listed([str(number) for number in numbers]))


def _steps_words(blocks: Sequence[StepBlock]) -> str:
    first, last = blocks[0].number, blocks[-1].number
    if len(blocks) == 2:
        return say("Steps {first} and {last}", first=first, last=last)
    return say("Steps {first} to {last}", first=first, last=last)
