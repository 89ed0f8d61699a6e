"""Room for the shank beside the wood, and for the collet nut over it with the stick-out that the settings give."""

from __future__ import annotations

from collections.abc import Iterator

from kitforge.model.findings import Finding, Severity
from kitforge.model.kit import OperationKind
from kitforge.model.messages import mm, msg
from kitforge.model.plan import Plan
from kitforge.model.record import record
from kitforge.surface.clearances import nut_clearance, shank_touches
from kitforge.surface.heightmap import SurfaceState
from kitforge.workshop.cutting_data import cutting_data
from kitforge_surface.kinds import BEYOND_CUTTING_LENGTH, NUT_NEAR_WOOD, SHANK_RUBS
from kitforge_surface.messages import found, near

# Room that should stay under the nut for chips and for stock that is not quite even, mm; under the second figure the
# two may meet. Common practice, no source.
LEAST_ROOM, NO_ROOM = 2.0, 0.5
# A shank counts as thicker than its cutter from here, mm.
SAME_WIDTH = 0.01
# A shank as wide as its cutter may run so deep in the cut, diameters: it heats, and chips have no way out. Common
# practice, no source.
MOST_RUBBING = 0.5


@record
class CutterHeld:
    """How a step's cutter is held: the shortest stick-out among the machine classes, the widest nut, mm."""

    stick_out: float
    nut: float


def held_in(plan: Plan) -> dict[str, CutterHeld]:
    """Return for each step key how its cutter is held on the classes that fit; steps without settings are left out."""
    known: dict[str, CutterHeld] = {}
    for machine in plan.machines:
        nut = machine.machine.nut.high
        for key, settings in machine.settings.items() if machine.fits else ():
            before = known.get(key, CutterHeld(settings.stick_out, nut))
            known[key] = CutterHeld(min(before.stick_out, settings.stick_out), max(before.nut, nut))
    return known


def check_shank(state: SurfaceState) -> Iterator[Finding]:
    """Yield a step whose shank comes beside wood above the edges: an error for a thicker shank and for a drill."""
    step, cutter = state.step, state.step.cutter
    reach = cutter.overall_length - cutting_data().plunge.least_grip(cutter.shank)
    if step.depth > reach or (place := shank_touches(state)) is None:
        return
    figures = msg(
        "{title}: the cut goes {depth} deep, the edges of {name} are {cutting_length} long: {near} "
        "its shank of {shank} is {amount} below the wood beside it",
        title=step.title,
        depth=mm(step.depth),
        name=cutter.name,
        cutting_length=mm(cutter.cutting_length),
        near=near(place),
        shank=mm(cutter.shank),
        amount=mm(place.amount),
    )
    longer = msg("a cutter with at least {amount} of cutting length", amount=mm(cutter.cutting_length + place.amount))
    if cutter.shank > cutter.diameter + SAME_WIDTH or step.operation.does is OperationKind.DRILL:
        advice = msg("Use {longer}, cut less deep, or clear the wood around it first.", longer=longer)
        yield found(SHANK_RUBS, step, msg("{figures} and rubs on it.", figures=figures), advice, place)
        return
    advice = msg("Better use {longer}; else take thin last passes.", longer=longer)
    severity = Severity.ERROR if place.amount > MOST_RUBBING * cutter.diameter else None
    yield found(
        BEYOND_CUTTING_LENGTH, step, msg("{figures}, without clearing chips.", figures=figures), advice, place, severity
    )


def check_nut(state: SurfaceState, held: CutterHeld | None) -> Iterator[Finding]:
    """Yield a step at whose depth the collet nut comes down to the wood around the cut."""
    if held is None or (place := nut_clearance(state, held.stick_out, held.nut, LEAST_ROOM)) is None:
        return
    step = state.step
    spare = max(0.0, place.amount)
    yield found(
        NUT_NEAR_WOOD,
        step,
        msg(
            "{title}: {depth} deep, with the cutter {stick_out} out of the collet, the collet nut (up to "
            "{nut} wide) is {spare} over the wood {near}; {least_room} should stay free for chips and "
            "uneven stock.",
            title=step.title,
            depth=mm(step.depth),
            stick_out=mm(held.stick_out),
            nut=mm(held.nut),
            spare=mm(spare),
            near=near(place),
            least_room=mm(LEAST_ROOM),
        ),
        msg(
            "Use a cutter at least {spare} long, or cut less deep.",
            spare=mm(step.cutter.overall_length + LEAST_ROOM - spare),
        ),
        place,
        Severity.ERROR if spare < NO_ROOM else None,
    )
