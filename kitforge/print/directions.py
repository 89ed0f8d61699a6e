"""Which way a step is cut, for print: the direction of most classes, and which way round its shape that is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.model.kit import OperationKind, Side
from kitforge.model.settings import CutDirection, DirectionReason

if TYPE_CHECKING:
    from kitforge.model.plan import MachinePlan
    from kitforge.model.steps import Step

_ROUND = (OperationKind.PROFILE, OperationKind.POCKET, OperationKind.DISH)


def direction_of(step: Step, machines: Sequence[MachinePlan]) -> CutDirection | None:
    """Return the direction that most classes cut a step in, of the strongest ones where it is even; None for none."""
    found = [
        machine.settings[step.key].direction
        for machine in sorted(machines, key=lambda one: -one.machine.rank)
        if step.key in machine.settings
    ]
    return Counter(found).most_common(1)[0][0] if found else None


def reason_of(step: Step, machines: Sequence[MachinePlan], direction: CutDirection) -> DirectionReason | None:
    """Return why a direction is taken, as the calculation of most classes says it."""
    found = [machine.settings[step.key] for machine in machines if step.key in machine.settings]
    reasons = Counter(one.direction_reason for one in found if one.direction is direction)
    return reasons.most_common(1)[0][0] if reasons else None


def clockwise(step: Step, direction: CutDirection | None) -> bool | None:
    """Return whether a step runs clockwise round its shapes, seen from above; None where it has no way round.

    A spindle turns clockwise. Climb has the wood that stays on the right of the travel: outside a part that is
    clockwise, in a hollow counter-clockwise; derived.
    """
    operation = step.operation
    closed = operation.does in _ROUND and any(path.closed for path in operation.shapes)
    if not closed or direction in (None, CutDirection.EITHER):
        return None
    outside = operation.does is OperationKind.PROFILE and operation.side is Side.OUTSIDE
    return outside == (direction is CutDirection.CLIMB)
