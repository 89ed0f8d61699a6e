"""The order of cutting: a part is freed by its last step, roughing comes first, and boards are done one by one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import pytest
from kit_samples import Sample
from planted import Fault

from kitforge.kit import Kit
from kitforge.plan import Phase, Plan, PlannedSetup, Sheet, Step
from kitforge.planning import order
from kitforge.stages import planning

LAW = "nothing is cut into a part that is free, roughing comes before finishing, a board is turned over once"


def broken(sample: Sample) -> list[str]:
    """Return every step that comes too early or too late."""
    if sample.kit.order_as_written:
        return []  # the author's order is for the checks
    plan = sample.plan
    own = [[plan.step(key) for setup in piece for key in setup.steps] for piece in _pieces(plan)]
    late = [said for steps in own for said in (*_after_freeing(steps), *_finished_first(steps))]
    return [*_unnumbered(plan.steps), *late, *_turned_again(plan)]


def _pieces(plan: Plan) -> list[list[PlannedSetup]]:
    """Return the setups of each piece of stock (or of pieces laid out alike), in order."""
    pieces: dict[tuple[str, int], list[PlannedSetup]] = {}
    for setup in plan.setups:
        pieces.setdefault(setup.key[:2], []).append(setup)
    return list(pieces.values())


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


def _turned_again(plan: Plan) -> Iterator[str]:
    seen: list[tuple[str, int, str]] = []
    for setup in plan.setups:
        if setup.key in seen or (seen and seen[-1][:2] != setup.key[:2] and setup.key[:2] in {key[:2] for key in seen}):
            yield f"{setup.key} is laid on the machine again"
        seen.append(setup.key)


def _backwards(patch: pytest.MonkeyPatch) -> None:
    turns_of = order.turns_of
    patch.setattr(
        planning, "turns_of", lambda *given: [_reordered(turn, turn.steps[::-1]) for turn in turns_of(*given)]
    )


def _as_drawn(patch: pytest.MonkeyPatch) -> None:
    turns_of = order.turns_of

    def freeing_first(kit: Kit, steps: Sequence[Step], sheets: Sequence[Sheet]) -> list[order.Turn]:
        return [
            _reordered(turn, sorted(turn.steps, key=lambda step: not step.frees))
            for turn in turns_of(kit, steps, sheets)
        ]

    patch.setattr(planning, "turns_of", freeing_first)


def _reordered(turn: order.Turn, steps: Sequence[Step]) -> order.Turn:
    return replace(turn, steps=tuple(steps))


def _not_numbered(patch: pytest.MonkeyPatch) -> None:
    numbered = order.numbered
    patch.setattr(planning, "numbered", lambda *given: [replace(step, number=1) for step in numbered(*given)])


FAULTS = (
    Fault("the steps run backwards", _backwards, {"two passes"}),
    Fault("parts are cut free first", _as_drawn),
    Fault("every step has the number 1", _not_numbered),
)
