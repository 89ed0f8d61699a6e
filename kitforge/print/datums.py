"""Which surface a depth is counted from, in words: every page that prints a depth says it with one of these."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge.language import say
from kitforge.model.kit import Face, OperationKind

if TYPE_CHECKING:
    from kitforge.model.plan import Plan
    from kitforge.model.steps import Step


def surface_words(plan: Plan, step: Step) -> str:
    """Return the surface that a step counts its depth from, e.g. 'the face' or 'the new face that step 2 has cut'."""
    under = step.face is Face.BOTTOM
    if not step.datum.by:
        return say("the underside") if under else say("the face")
    number = plan.step(step.datum.by).number
    if under:
        return say("the new underside that step {number} has cut", number=number)
    return say("the new face that step {number} has cut", number=number)


def depth_label(plan: Plan, step: Step) -> str:
    """Return the words before a step's depth, e.g. 'Depth below the face'."""
    surface = surface_words(plan, step)
    if step.operation.does is OperationKind.ENGRAVE:
        return say("Deepest point below {surface}", surface=surface)
    return say("Depth below {surface}", surface=surface)


def depth_source(step: Step) -> str:
    """Return the surface for tables that programs read: 'top', 'bottom', or the step that made it, 'top after a/b'."""
    return f"{step.face.value} after {step.datum.by}" if step.datum.by else step.face.value
