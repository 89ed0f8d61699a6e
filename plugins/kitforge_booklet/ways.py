"""How the cutter runs in a step, as the sentences of its block: the way down, and the way round with its reason."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.language import say, say_as
from kitforge.model.record import record
from kitforge.print.directions import clockwise, direction_of, reason_of
from kitforge.print.figures import listed

if TYPE_CHECKING:
    from kitforge.model.plan import MachinePlan
    from kitforge.model.settings import CutDirection, DirectionReason
    from kitforge.model.steps import Step
    from kitforge.print.settings import StepView


@record
class TurningWay:
    """Which way round the cutter runs, on which machines, and why; without a reason where none is known."""

    words: str
    reason: DirectionReason | None


def ways_down(rows: Sequence[StepView]) -> tuple[str, ...]:
    """Return how the cutter goes down: once for all classes where they agree, else for each by its number."""
    found: dict[str, list[int]] = {}
    for row in rows:
        found.setdefault(row.entry, []).append(row.number)
    if len(found) == 1:
        return (say("Entry: {way}.", way=next(iter(found))),)
    words = [say("{classes}: {way}", classes=listed([str(one) for one in on]), way=way) for way, on in found.items()]
    return (say("Entry on class {ways}.", ways="; ".join(words)),) if words else ()


def ways_round(step: Step, machines: Sequence[MachinePlan]) -> tuple[TurningWay, ...]:
    """Return the direction of cut of most classes with its reason, and that of the others with theirs."""
    most = direction_of(step, machines)
    if most is None:
        return ()
    others = [one for one in machines if step.key in one.settings and one.settings[step.key].direction is not most]
    ways = [_turning(say("Direction of cut"), step, machines, most)]
    for direction in dict.fromkeys(one.settings[step.key].direction for one in others):
        if direction is not None:
            names = [say_as(one.machine.name) for one in others if one.settings[step.key].direction is direction]
            ways.append(_turning(listed(names), step, others, direction))
    return tuple(ways)


def round_words(ways: Sequence[TurningWay], told: set[DirectionReason]) -> tuple[str, ...]:
    """Return each way with its reason where that was not told before; adds what is told now to `told`."""
    before = frozenset(told)
    told.update(way.reason for way in ways if way.reason is not None)
    return tuple(
        f"{way.words}."
        if way.reason is None or way.reason in before
        else say("{way}; {reason}.", way=way.words, reason=say_as(way.reason))
        for way in ways
    )


def _turning(who: str, step: Step, machines: Sequence[MachinePlan], direction: CutDirection) -> TurningWay:
    turn, way = clockwise(step, direction), say_as(direction)
    if turn is not None:
        way = say("{way}, clockwise", way=way) if turn else say("{way}, counter-clockwise", way=way)
    return TurningWay(say("{who}: {way}", who=who, way=way), reason_of(step, machines, direction))
