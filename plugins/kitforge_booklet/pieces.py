"""The same cut in all pieces of a part that is written once: one entry of the steps, with a table of what differs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import islice
from typing import TYPE_CHECKING

from kitforge.language import say
from kitforge.print.figures import Measure, figure, listed
from kitforge.print.loading import layer_names
from kitforge.print.sizes import part_size
from kitforge_booklet.step_records import LabelledFact, PieceRow

if TYPE_CHECKING:
    from kitforge.model.kit import Part
    from kitforge.model.plan import Plan
    from kitforge.model.steps import Step
    from kitforge.print.figures import Units
    from kitforge_booklet.step_records import GridEntry, StepBlock


def one_cut(step: Step, then: Step) -> bool:
    """Whether two steps are the same cut in two pieces of one part as it was written."""
    first, second = step.part.piece_of, then.part.piece_of
    if first is None or second is None or first.part != second.part or step.part.key == then.part.key:
        return False
    return (step.operation.name, step.phase, step.cutter.key) == (then.operation.name, then.phase, then.cutter.key)


def whole_title(part: Part) -> str:
    """Return the title of the part that a piece was written as."""
    return part.piece_of.title if part.piece_of else part.title


def lanes_of(entries: Sequence[GridEntry], counts: Sequence[int]) -> tuple[tuple[GridEntry, ...], ...]:
    """Return entries as they share a page: single steps two beside each other, several pieces by themselves."""
    rest = iter(entries)
    return tuple(tuple(islice(rest, group)) for group in lanes(counts))


def lanes(counts: Sequence[int]) -> list[int]:
    """Return how many entries stand beside each other in each row of a page, for entries of so many steps."""
    found: list[int] = []
    half = False
    for count in counts:
        if count == 1 and half:
            found[-1] += 1
        else:
            found.append(1)
        half = count == 1 and not half
    return found


def unlike(blocks: Sequence[StepBlock]) -> frozenset[str]:
    """Return the labels of the facts in which steps differ."""
    facts = [{fact.label: fact for fact in block.facts} for block in blocks]
    labels = dict.fromkeys(label for one in facts for label in one)
    return frozenset(label for label in labels if len({one.get(label) for one in facts}) > 1)


def piece_rows(plan: Plan, steps: Sequence[Step], blocks: Sequence[StepBlock], units: Units) -> tuple[PieceRow, ...]:
    """Return a row for each piece, with what differs: its size, what the author set, the layer, facts of the cut."""
    differing = unlike(blocks)
    columns = list(dict.fromkeys(fact.label for block in blocks for fact in block.facts if fact.label in differing))
    own = [_values(step.part, units) for step in steps]
    told = Counter(fact.label for fact in {fact for row in own for fact in row})
    sizes = [part_size(step.part, units) for step in steps]
    same_size = len(set(sizes)) == 1
    unsaid = {say("Copies"): "1"}
    rows = []
    for step, block, values, size in zip(steps, blocks, own, sizes, strict=True):
        by_label = {fact.label: fact for fact in block.facts}
        facts = [] if same_size else [LabelledFact(say("Size"), size.main, size.other)]
        facts += [fact for fact in values if told[fact.label] > 1]
        facts.append(LabelledFact(say("Layer"), listed(layer_names(plan, step))))
        facts += [by_label.get(label, LabelledFact(label, unsaid.get(label, "–"))) for label in columns]
        piece = step.part.piece_of
        rows.append(PieceRow(block.number, piece.piece if piece else step.part.title, tuple(facts)))
    return tuple(rows)


def _values(part: Part, units: Units) -> list[LabelledFact]:
    """Return the values of the parameters that the pieces of a part set, in this one."""
    found = []
    for one in part.piece_of.values if part.piece_of else ():
        plain = Measure(f"{figure(one.value)} mm²" if one.power == 2 else figure(one.value))
        said = units.length(one.value) if one.power == 1 else plain
        label = one.label or say("Value of “{name}”", name=one.name)
        found.append(LabelledFact(label, said.main, said.other))
    return found
