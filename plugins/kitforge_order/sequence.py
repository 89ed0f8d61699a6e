"""The steps of a setup as they are cut, and pairs that stand the wrong way round."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitforge.model.findings import Finding, FindingType
from kitforge.model.messages import Message, msg
from kitforge.model.plan import Plan, PlannedSetup
from kitforge.model.steps import Step


def steps_of(plan: Plan, setup: PlannedSetup) -> list[Step]:
    """Return the steps of a setup in the order in which they are cut."""
    by_key = {step.key: step for step in plan.steps}
    return [by_key[key] for key in setup.steps]


def pairs(steps: Sequence[Step]) -> Iterator[tuple[Step, Step]]:
    """Yield every pair (earlier, later) of steps."""
    for number, later in enumerate(steps):
        for earlier in steps[:number]:
            yield earlier, later


def about(kind: FindingType, step: Step, message: Message, advice: Message) -> Finding:
    """Return a finding about a step."""
    return kind.new(message, advice, source=step.operation.source, part=step.part.key, operation=step.operation.name)


def named(step: Step, *, first: bool = False) -> Message:
    """Return a step in words: its number, title and part; `first` where a sentence begins with it."""
    title, part = step.title, step.part.title
    if first:
        return msg("Step {number} ('{title}' of {part})", number=step.number, title=title, part=part)
    return msg("step {number} ('{title}' of {part})", number=step.number, title=title, part=part)
