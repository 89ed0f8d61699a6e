"""What a thickness of the stock does to the cuts through it, in words that booklet and settings sheet share."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.language import say
from kitforge.print.figures import Units, between

if TYPE_CHECKING:
    from kitforge.model.plan import MachinePlan, Plan, Rung


def rung_words(rung: Rung, units: Units, machines: Sequence[MachinePlan]) -> str:
    """Return a thickness with the depth of the cuts through it and the passes that they take on some classes."""
    through = [step for step in rung.plan.steps if step.part.stock.key == rung.stock and step.through]
    found = [one.settings[step.key].passes for one in machines for step in through if step.key in one.settings]
    if not found:
        return str(units.length(rung.thickness))
    return say(
        "{thickness}: {depth} deep, {passes} passes",
        thickness=units.length(rung.thickness),
        depth=units.length(max(step.tip for step in through)),
        passes=between(min(found), max(found)),
    )


def sheet_words(plan: Plan, machine: MachinePlan, units: Units) -> str:
    """Return what the settings sheet of a class says of other thicknesses, '' where there are none."""
    told = [
        rung_words(rung, units, [one for one in rung.plan.machines if one.machine.key == machine.machine.key])
        for rung in plan.rungs
    ]
    if not told:
        return ""
    return say(
        "Cuts that go through follow the thickness of the stock: {list}. All other figures of a thickness are in the "
        "table settings.csv of its folder.",
        list="; ".join(told),
    )
