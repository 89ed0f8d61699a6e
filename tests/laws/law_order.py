"""The order of cutting: a part is freed by its last step, roughing comes first, and one setup is done at a time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import pytest
from kit_samples import Sample
from planted import Fault

from kitforge.kit import Kit
from kitforge.plan import Phase, Step
from kitforge.planning import order
from kitforge.stages import planning

LAW = "nothing is cut into a part that is free, roughing comes before finishing, the stock is turned over once"


def broken(sample: Sample) -> list[str]:
    """Return every step that comes too early or too late."""
    if sample.kit.order_as_written:
        return []  # the author's order is for the checks
    steps = sample.plan.steps
    return [*_unnumbered(steps), *_after_freeing(steps), *_finished_first(steps), *_turned_again(steps)]


def _unnumbered(steps: Sequence[Step]) -> Iterator[str]:
    if [step.number for step in steps] != list(range(1, len(steps) + 1)):
        yield f"the steps are numbered {[step.number for step in steps]}"


def _after_freeing(steps: Sequence[Step]) -> Iterator[str]:
    for index, step in enumerate(steps):
        if step.frees:
            late = [later.key for later in steps[index + 1 :] if later.part.key == step.part.key and not later.frees]
            yield from (f"{key} is cut after {step.key} has freed the part" for key in late)


def _finished_first(steps: Sequence[Step]) -> Iterator[str]:
    for index, step in enumerate(steps):
        if step.operation.roughing is not None and step.phase is not Phase.ROUGHING:
            twins = [s for s in steps[index + 1 :] if s.part is step.part and s.operation.name == step.operation.name]
            yield from (f"{twin.key} comes after {step.key}" for twin in twins if twin.phase is Phase.ROUGHING)


def _turned_again(steps: Sequence[Step]) -> Iterator[str]:
    left: list[tuple[str, str]] = []
    for step in steps:
        now = (step.part.stock.key, step.face.value)
        if now in left[:-1]:
            yield f"{step.key} goes back to {now[1]} of {now[0]}"
        if not left or left[-1] != now:
            left.append(now)


def _backwards(patch: pytest.MonkeyPatch) -> None:
    in_order = order.in_order
    patch.setattr(planning, "in_order", lambda kit, steps: in_order(kit, steps)[::-1])


def _as_drawn(patch: pytest.MonkeyPatch) -> None:
    def freeing_first(kit: Kit, steps: Sequence[Step]) -> list[Step]:
        return sorted(order.in_order(kit, steps), key=lambda step: not step.frees)

    patch.setattr(planning, "in_order", freeing_first)


def _not_numbered(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(planning, "replace", lambda step, **changes: replace(step, **(changes | {"number": 1})))


FAULTS = (
    Fault("the steps run backwards", _backwards, {"two passes"}),
    Fault("parts are cut free first", _as_drawn),
    Fault("every step has the number 1", _not_numbered),
)
