"""Room for the collet nut over the wood, with the stick-out that the settings give the cutter."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kitforge.findings import Finding, Severity
from kitforge.plan import Plan
from kitforge.surface.clearances import nut_clearance, nut_diameter
from kitforge.surface.heightmap import SurfaceState
from kitforge.units import format_mm
from kitforge_surface.kinds import NUT_NEAR_WOOD
from kitforge_surface.telling import found, near

# Room that should stay under the nut for chips and for stock that is not quite even, mm; under the second figure the
# two may meet. Common practice, no source.
LEAST_ROOM, NO_ROOM = 2.0, 0.5


@dataclass(frozen=True, slots=True)
class Held:
    """How a step's cutter is held: the shortest stick-out among the machine classes, the widest nut, mm."""

    stick_out: float
    nut: float


def held_in(plan: Plan) -> dict[str, Held]:
    """Return for each step key how its cutter is held on the classes that fit; steps without settings are left out."""
    known: dict[str, Held] = {}
    for machine in plan.machines:
        nut = nut_diameter(machine.machine.collet_text)
        for key, settings in machine.settings.items() if machine.fits else ():
            before = known.get(key, Held(settings.stick_out, nut))
            known[key] = Held(min(before.stick_out, settings.stick_out), max(before.nut, nut))
    return known


def check_nut(state: SurfaceState, held: Held | None) -> Iterator[Finding]:
    """Yield a step at whose depth the collet nut comes down to the wood around the cut."""
    if held is None or (place := nut_clearance(state, held.stick_out, held.nut, LEAST_ROOM)) is None:
        return
    step = state.step
    spare = max(0.0, place.amount)
    yield found(
        NUT_NEAR_WOOD,
        step,
        f"{step.title}: {format_mm(step.depth)} deep, with the cutter {format_mm(held.stick_out)} out of the collet, "
        f"the collet nut (up to {format_mm(held.nut)} wide) is {format_mm(spare)} over the wood {near(place)}; "
        f"{format_mm(LEAST_ROOM)} should stay free for chips and uneven stock.",
        f"Use a cutter at least {format_mm(step.cutter.overall_length + LEAST_ROOM - spare)} long, or cut less deep.",
        place,
        Severity.ERROR if spare < NO_ROOM else None,
    )
