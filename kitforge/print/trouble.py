"""What to change first when a cut goes wrong, for this kit: only what can happen with what it does."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.language import later, render_text, say
from kitforge.model.kit import CutterKind, OperationKind
from kitforge.model.workshop import HoldKind, MaterialKind

if TYPE_CHECKING:
    from kitforge.model.kit import Cutter, Kit
    from kitforge.model.plan import Plan

STARTING_POINTS = later(
    "These values are starting points computed for a class of machines, not limits measured on yours. The lowest limit "
    "governs: ours, the one marked on the cutter, or the one in the machine's manual. Try them on scrap of the same "
    "wood. For a speed dial see your router's manual."
)


_NO_WALLS = (CutterKind.DRILL, CutterKind.V_BIT, CutterKind.SURFACING)
"""Cutters that leave no wall on which chatter would show."""


@dataclass(frozen=True, slots=True)
class TroubleAdvice:
    """A trouble: what it is called, what you see or hear, what to change first, and what next."""

    name: str
    sign: str
    first: str
    then: str


def troubles(kit: Kit, plan: Plan) -> tuple[TroubleAdvice, ...]:
    """Return the troubles that this kit can meet (common practice of the trade, no single source)."""
    return _burns(kit, plan), _fuzzes(kit, plan), _chatters(plan), _stalls(plan), _moves(kit)


def _burns(kit: Kit, plan: Plan) -> TroubleAdvice:
    wood = any(stock.material.kind is MaterialKind.HARDWOOD for stock in kit.stock.values())
    corners = any(step.corners for step in plan.steps)
    where = say("in corners and where the cutter slows down") if corners else say("along the cut")
    then = say(
        "Then lower the speed by a tenth at a time, and the feed with it, and look at the cutter: pitch and a dull "
        "edge both burn."
    )
    return TroubleAdvice(
        say("It burns"),
        say("Brown or black edges, smoke, a hot smell, most of all {where}.", where=where),
        say("Raise the feed towards the upper end of its range."),
        " ".join((then, *((say("Dense hardwood marks soonest."),) if wood else ()))),
    )


def _fuzzes(kit: Kit, plan: Plan) -> TroubleAdvice:
    panel = any(stock.material.is_panel for stock in kit.stock.values())
    up = any(step.cutter.kind is CutterKind.UP_CUT for step in plan.steps)
    return TroubleAdvice(
        say("It fuzzes"),
        say("Splinters along the face veneer.") if panel else say("Raised fibres along the edges."),
        say("Lower the feed towards the lower end of its range and keep the speed."),
        say("Then fit a sharp cutter or a down-cut one for the first pass, and sand the rest off.")
        if up
        else say("Then fit a sharp cutter, and sand the rest off."),
    )


def _chatters(plan: Plan) -> TroubleAdvice:
    thin = _thinnest(plan)
    return TroubleAdvice(
        say("It chatters"),
        say("A singing or rattling noise, ripples on the walls."),
        say("Halve the depth per pass."),
        say(
            "Then shorten the stick-out and lower the feed. The {cutter} shows it first, being the thinnest.",
            cutter=render_text(thin.name),
        )
        if thin is not None
        else say("Then shorten the stick-out and lower the feed."),
    )


def _thinnest(plan: Plan) -> Cutter | None:
    """Return the thinnest of the cutters that leave walls; None where there are not two of different diameters."""
    cutters = [step.cutter for step in plan.steps if step.cutter.kind not in _NO_WALLS]
    thin = min(cutters, key=lambda cutter: cutter.diameter, default=None)
    return thin if thin is not None and any(one.diameter > thin.diameter for one in cutters) else None


def _stalls(plan: Plan) -> TroubleAdvice:
    plunge = any(step.operation.does is not OperationKind.DRILL for step in plan.steps)
    return TroubleAdvice(
        say("It stalls"),
        say("The spindle slows down or stops, or the axes lose steps and the cut is out of place."),
        say("Press stop. Lower the depth per pass first, then the feed."),
        say("Set the zero again before you go on. If it stalls going down, halve the plunge rate.")
        if plunge
        else say("Set the zero again before you go on."),
    )


def _moves(kit: Kit) -> TroubleAdvice:
    kinds = {hold.kind for setup in kit.setups for hold in setup.hold_downs[:1]}
    tape = kinds & {HoldKind.DOUBLE_SIDED_TAPE, HoldKind.TAPE_AND_GLUE}
    return TroubleAdvice(
        say("It moved"),
        say("A step in a wall, a line that does not close, a part out of place."),
        say("Press stop. Clean both faces and lay fresh tape over more of the area.")
        if tape
        else say("Press stop. Add or tighten hold-downs, outside every keep-out circle."),
        say("Then halve the depth per pass, which halves the side force."),
    )
