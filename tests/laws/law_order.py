"""The order of cutting, piece of stock by piece: a part is freed last, roughing comes first, a piece is turned once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import pytest
from kit_samples import Sample
from planted import Fault

from kitforge.model.kit import Kit
from kitforge.model.plan import Plan, PlannedSetup, Sheet
from kitforge.model.steps import Phase, Step
from kitforge.planning import order
from kitforge.planning.order import Turn
from kitforge.stages import planning

LAW = "nothing is cut into a part that is free, roughing comes before finishing, a piece of stock is turned over once"


def broken(sample: Sample) -> list[str]:
    """Return every step that comes too early or too late."""
    plan = sample.plan
    found = [*_unnumbered(plan.steps), *_turned_again(plan.setups), *_left_out(sample.kit, plan)]
    if sample.kit.order_as_written:
        return found  # the author's order is for the checks
    for setup in plan.setups:
        steps = [plan.step(key) for key in setup.steps]
        found += [*_after_freeing(steps), *_finished_first(steps)]
    return found + list(_freed_before_turning(plan))


def _unnumbered(steps: Sequence[Step]) -> Iterator[str]:
    if [step.number for step in steps] != list(range(1, len(steps) + 1)):
        yield f"the steps are numbered {[step.number for step in steps]}"


def _left_out(kit: Kit, plan: Plan) -> Iterator[str]:
    met = {key for setup in plan.setups for key in setup.steps}
    laid = {place.part for sheet in plan.sheets for place in sheet.placements}
    yield from (f"{s.key} belongs to no set-up" for s in plan.steps if s.part.key in laid and s.key not in met)


def _frees(step: Step) -> bool:
    """A cut along the outline that comes out below frees the part, a roughing pass too; a skin counts as its end."""
    return step.phase is Phase.FREEING or (step.operation.frees and step.through)


def _after_freeing(steps: Sequence[Step]) -> Iterator[str]:
    for index, step in enumerate(steps):
        if _frees(step):
            late = [later.key for later in steps[index + 1 :] if later.part.key == step.part.key and not _frees(later)]
            yield from (f"{key} is cut after {step.key} has freed the part" for key in late)


def _finished_first(steps: Sequence[Step]) -> Iterator[str]:
    for index, step in enumerate(steps):
        if step.operation.roughing is not None and step.phase is not Phase.ROUGHING:
            twins = [s for s in steps[index + 1 :] if s.part is step.part and s.operation.name == step.operation.name]
            yield from (f"{twin.key} comes after {step.key}" for twin in twins if twin.phase is Phase.ROUGHING)


def _turned_again(setups: Sequence[PlannedSetup]) -> Iterator[str]:
    pieces = [setup.key[:2] for setup in setups]
    runs = [piece for index, piece in enumerate(pieces) if index == 0 or pieces[index - 1] != piece]
    yield from (f"{stock} {number} is taken up again" for stock, number in {p for p in runs if runs.count(p) > 1})
    yield from (f"{setup.key} is there twice" for setup in setups if [s.key for s in setups].count(setup.key) > 1)


def _freed_before_turning(plan: Plan) -> Iterator[str]:
    for setup, following in zip(plan.setups, plan.setups[1:], strict=False):
        if setup.same_piece(following):
            freed = {plan.step(key).part.key for key in setup.steps if _frees(plan.step(key))}
            later = [key for key in following.steps if plan.step(key).part.key in freed and not _frees(plan.step(key))]
            yield from (f"{key} is cut into a part that the other face has freed" for key in later)


def _planting(patch: pytest.MonkeyPatch, order_of: str) -> None:
    turns_of = order.turns_of

    def wrong(kit: Kit, steps: Sequence[Step], sheets: Sequence[Sheet]) -> list[Turn]:
        turns = turns_of(kit, steps, sheets)
        if order_of == "faces":
            return sorted(turns, key=lambda turn: turn.face.value, reverse=True)
        key = (lambda step: not _frees(step)) if order_of == "freeing" else (lambda step: -step.phase.rank)
        return [replace(turn, steps=tuple(sorted(turn.steps, key=key))) for turn in turns]

    patch.setattr(planning, "turns_of", wrong)


def _not_numbered(patch: pytest.MonkeyPatch) -> None:
    numbered = order.numbered
    patch.setattr(planning, "numbered", lambda turns, steps: [replace(s, number=1) for s in numbered(turns, steps)])


FAULTS = (
    Fault("the steps run backwards", lambda patch: _planting(patch, "phases"), {"two passes"}),
    Fault("parts are cut free first", lambda patch: _planting(patch, "freeing")),
    Fault(
        "all pieces are cut from one face, then all from the other",
        lambda patch: _planting(patch, "faces"),
        {"two faces"},
    ),
    Fault("every step has the number 1", _not_numbered),
)
