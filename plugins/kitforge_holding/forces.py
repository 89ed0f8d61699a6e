"""What holds against what pulls: the results of the plan, judged class by class."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from kitforge.model.findings import Finding, FindingType, Mend
from kitforge.model.holds import HoldResult
from kitforge.model.left_standing import Tabs
from kitforge.model.messages import Message, Quantity, Value, inner, mm, msg, newton, term
from kitforge.model.plan import MachinePlan, Plan, PlannedSetup
from kitforge.planning.holding import tabs_that_bear
from kitforge_holding import kinds
from kitforge_holding.words import where


def check_forces(plan: Plan) -> Iterator[Finding]:
    """Yield setups and freeing cuts that do not hold on a class that the kit fits."""
    for setup in plan.setups:
        if not setup.setup.hold_downs:
            yield _none(setup)
        for machine in plan.machines:
            if machine.fits:
                results = machine.holding.get(setup.key, ())
                yield from _hold_downs(setup, machine, results)
                yield from _freed(plan, machine, results)


def _none(setup: PlannedSetup) -> Finding:
    return kinds.NO_HOLD_DOWN.new(
        msg("{where}: no hold-down is given.", where=where(setup)),
        msg("List at least one under hold_down of the kit or of this setup."),
        source=setup.setup.source,
    )


def _hold_downs(setup: PlannedSetup, machine: MachinePlan, results: Sequence[HoldResult]) -> Iterator[Finding]:
    own = [result for result in results if result.hold_down is not None]
    if not own or own[0].holds:
        return
    holding = [result for result in own if result.holds]
    kind: FindingType = kinds.HOLD_FIRST_TOO_WEAK if holding else kinds.HOLD_TOO_WEAK
    shown = own[0] if holding else max(own, key=_margin)
    message = msg(
        "{where}, on {machine}: {held_by}: {figures}.",
        where=where(setup), machine=term(machine.machine.name), held_by=shown.held_by, figures=_figures(shown),
    )  # fmt: skip
    if holding:
        advice = msg(
            "Put {hold_down} first, which bears it: only the first one is drawn, bought and told of.",
            hold_down=_inner_name(holding[0]),
        )
    else:
        advice = msg("List a stronger hold-down or more fasteners, or ask for shallower passes or a smaller cutter.")
        if len(own) > 1:
            message = msg(
                "{where}, on {machine}: {held_by}: {figures}, the strongest of the {count} listed.",
                where=where(setup), machine=term(machine.machine.name), held_by=shown.held_by,
                figures=_figures(shown), count=len(own),
            )  # fmt: skip
    yield kind.new(message, advice, source=setup.setup.source)


def _inner_name(result: HoldResult) -> Value:
    return inner(result.hold_down.name) if result.hold_down is not None else result.held_by


def _margin(result: HoldResult) -> float:
    return min(_share(result.capacity, result.demand), _share(result.lift_capacity, result.lift_demand))


def _share(capacity: float, demand: float) -> float:
    return capacity / demand if demand > 0 else float("inf")


def _figures(result: HoldResult) -> Message:
    """Return both forces and the margin in words, for the direction that fails worse."""
    sideways = _share(result.capacity, result.demand) <= _share(result.lift_capacity, result.lift_demand)
    has, needs = (result.capacity, result.demand) if sideways else (result.lift_capacity, result.lift_demand)
    return msg(
        "{has} {way}, safety factor taken off, against {needs} of step '{step}', {missing} short ({sum})",
        has=newton(has),
        way=msg("sideways") if sideways else msg("upwards"),
        needs=newton(needs),
        step=result.step,
        missing=Quantity(100 * (1 - _share(has, needs)), "%", 0),
        sum=result.text,
    )


def _freed(plan: Plan, machine: MachinePlan, results: Sequence[HoldResult]) -> Iterator[Finding]:
    for result in results:
        own = result.hold_down is None and result.instead is None
        if own and not result.holds and max(result.capacity, result.lift_capacity) > 0:
            yield _of_piece(plan, machine, result)


def _of_piece(plan: Plan, machine: MachinePlan, result: HoldResult) -> Finding:
    step, borne = plan.step(result.step), result.breaks or (result.capacity, result.lift_capacity)
    pulls = (
        (_share(borne[0], result.demand), borne[0], result.demand, msg("sideways")),
        (_share(borne[1], result.lift_demand), borne[1], result.lift_demand, msg("upwards")),
    )
    share, bears, pulled, way = min(pulls, key=lambda one: one[0])
    told: dict[str, Value] = {
        "title": step.title,
        "part": step.part.title,
        "machine": term(machine.machine.name),
        "held_by": result.held_by,
        "bears": newton(bears),
        "way": way,
        "pulled": newton(pulled),
    }
    if result.near_limit:
        message = msg(
            "'{title}' of {part}, on {machine}: {held_by} break at {bears} {way}; the hardest cut of the printed "
            "settings pulls with {pulled}, so that the safety factor is {share} only.",
            share=Quantity(share, "", 1),
            **told,
        )
    else:
        message = msg(
            "'{title}' of {part}, on {machine}: {held_by} break at {bears} {way}; the hardest cut of the printed "
            "settings pulls with {pulled}.",
            **told,
        )
    kind = kinds.BRIDGES_NEAR_LIMIT if result.near_limit else kinds.BRIDGES_TOO_WEAK
    better = tabs_that_bear(step, result.demand, result.lift_demand)
    return kind.new(
        message,
        _advice(better),
        source=step.operation.source,
        part=step.part.key,
        operation=step.operation.name,
        mend=_mend(better),
    )


def _mend(better: Tabs | None) -> Mend | None:
    """Return the tabs that bear it as they are written; rounded to what bears no less."""
    if better is None:
        return None
    sides = (("width", better.width), ("height", better.height))
    return Mend(("hold", "tabs"), tuple((name, math.ceil(value * 10 - 1e-6) / 10) for name, value in sides))


def _advice(better: Tabs | None) -> Message:
    """Name tabs that were found to bear it, else what else helps."""
    if better is not None:
        return msg(
            "Leave number and places of the tabs to the plan and make them {width} wide and {height} high: that bears "
            "it. Or ask for thinner passes, or tape the part down.",
            width=mm(better.width),
            height=mm(better.height),
        )
    return msg(
        "Ask for thinner passes or a smaller cutter, hold the part with tape under it, or give it a thicker skin."
    )
