"""A key for caches of pictures: what a plan's steps cut, whatever they are called in a reader's language.

A plan that is taken in a language is another record as soon as one of its texts is another one; the ways and areas in
it, which hold no texts, stay the same objects. Pictures show these alone, so that they are made once for all languages.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.model.identity import IdentityKey

if TYPE_CHECKING:
    from kitforge.model.kit import Part
    from kitforge.model.plan import Plan
    from kitforge.model.steps import Step


class SameCuts:
    """Holds a plan and parts; equal to a holder of any whose steps and parts have the very same ways and outlines."""

    __slots__ = ("_key", "parts", "plan")

    def __init__(self, plan: Plan, parts: Sequence[Part]) -> None:
        self.plan, self.parts = plan, tuple(parts)
        self._key = (
            *(_cut(step) for step in plan.steps),
            *(_wood(part) for part in parts),
            *(IdentityKey(one) for sheet in plan.sheets for one in sheet.placements),
        )

    def __hash__(self) -> int:
        return hash(self._key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, SameCuts) and self._key == other._key


def _cut(step: Step) -> tuple[object, ...]:
    same = map(IdentityKey[object], (step.cut, step.travel, step.tabs))
    return (step.key, step.number, step.face, step.depth, step.top, step.leave_walls, *same)


def _wood(part: Part) -> tuple[object, ...]:
    stock = part.stock
    return part.key, part.count, IdentityKey(part.outline), stock.actual, stock.grain, stock.material.colour
