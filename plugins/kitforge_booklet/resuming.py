"""When the machine stopped or a cutter broke: how to go on at that step (common practice, no source)."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge.language import say
from kitforge.model.lines import Line, line
from kitforge.print.figures import listed
from kitforge_booklet.turning import OFF

if TYPE_CHECKING:
    from kitforge.model.plan import Plan
    from kitforge.print.figures import Units


def resuming(plan: Plan, units: Units) -> tuple[Line, ...]:
    """Return what to do, in order, until the step that was stopped is cut again from its beginning."""
    return (
        line(
            say(
                "Press stop, switch the spindle off and unplug it. Note the number of the step. Leave the piece as "
                "it is held: as long as it has not moved, all that is cut stays good."
            )
        ),
        line(
            say(
                "Vacuum, and look for every piece of a broken cutter and pull it out with pliers: a new cutter that "
                "meets one breaks too. See why it broke before you fit the next one."
            ),
            "vacuum_cleaner",
            "pliers",
        ),
        *_loose_words(plan),
        line(
            say(
                "A machine that lost its power or its steps no longer knows where it stands: find X0 Y0 again at the "
                "same corner as before. With the spindle off, move over a cut that is there already: the cutter must "
                "stand over it to within {off}. If it does not, or if the piece has moved, begin with a new piece.",
                off=units.length(OFF, 1),
            )
        ),
        line(_cutter_words(plan), "collet_spanners"),
        line(
            say(
                "Begin this step again at its first pass, not in the middle: where the wood is gone already the cutter "
                "runs free. The steps before it stay as they are; then go on with the next one."
            )
        ),
    )


def _loose_words(plan: Plan) -> tuple[Line, ...]:
    frees = [str(step.number) for step in plan.steps if plan.frees(step)]
    if not frees:
        return ()
    words = say(
        "Steps {numbers} free parts: if one of them was stopped, first take out every piece that is loose, and begin "
        "again only if what holds the part is still whole.",
        numbers=listed(frees),
    ) if len(frees) > 1 else say(
        "Step {number} frees a part: if it was stopped, first take out every piece that is loose, and begin again only "
        "if what holds the part is still whole.",
        number=frees[0],
    )  # fmt: skip
    return (line(words),)


def _cutter_words(plan: Plan) -> str:
    """After facing, Z0 is set on what the steps that came before have left of the face."""
    faced = next((step for step in plan.steps if step.operation.whole), None)
    if faced is None:
        return say(
            "Fit a cutter of the same kind and size, as far out of the collet as the step says, and set Z0 on the face "
            "again, away from any cut."
        )
    return say(
        "Fit a cutter of the same kind and size, as far out of the collet as the step says, and set Z0 again: in step "
        "{number} on what is left of the old face, after it on the new one, away from any other cut.",
        number=faced.number,
    )
