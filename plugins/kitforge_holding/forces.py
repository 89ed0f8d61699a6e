"""What holds against what pulls: the results of the plan, judged class by class."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitforge.model.findings import Finding, FindingType
from kitforge.model.plan import HoldResult, MachinePlan, Plan, PlannedSetup
from kitforge.model.units import plain_number
from kitforge_holding import kinds


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


def _where(setup: PlannedSetup) -> str:
    return f"{setup.stock.title}, {setup.face.value} face up"


def _none(setup: PlannedSetup) -> Finding:
    return kinds.NO_HOLD_DOWN.new(
        f"{_where(setup)}: no hold-down is given.",
        "List at least one under hold_down of the kit or of this setup.",
        source=setup.setup.source,
    )


def _hold_downs(setup: PlannedSetup, machine: MachinePlan, results: Sequence[HoldResult]) -> Iterator[Finding]:
    own = [result for result in results if result.hold_down is not None]
    if not own or own[0].holds:
        return
    holding = [result for result in own if result.holds]
    kind: FindingType = kinds.HOLD_FIRST_TOO_WEAK if holding else kinds.HOLD_TOO_WEAK
    shown = own[0] if holding else max(own, key=_margin)
    subject = "" if holding or len(own) == 1 else f", the strongest of the {len(own)} listed"
    advice = (
        f"On this class use {holding[0].held_by} instead; put it first if that suits the others too."
        if holding
        else "List a stronger hold-down or more fasteners, or ask for shallower passes or a smaller cutter."
    )
    yield kind.new(
        f"{_where(setup)}, on {machine.machine.name}: {shown.held_by}: {_figures(shown)}{subject}.",
        advice,
        source=setup.setup.source,
    )


def _margin(result: HoldResult) -> float:
    return min(_share(result.capacity, result.demand), _share(result.lift_capacity, result.lift_demand))


def _share(capacity: float, demand: float) -> float:
    return capacity / demand if demand > 0 else float("inf")


def _figures(result: HoldResult) -> str:
    """Return both forces and the margin in words, for the direction that fails worse."""
    sideways = _share(result.capacity, result.demand) <= _share(result.lift_capacity, result.lift_demand)
    has, needs = (result.capacity, result.demand) if sideways else (result.lift_capacity, result.lift_demand)
    way = "sideways" if sideways else "upwards"
    missing = f"{100 * (1 - _share(has, needs)):.0f} % short"
    return (
        f"{plain_number(has, 0)} N {way}, safety factor taken off, against {plain_number(needs, 0)} N of step "
        f"'{result.step}', {missing} ({result.text})"
    )


def _freed(plan: Plan, machine: MachinePlan, results: Sequence[HoldResult]) -> Iterator[Finding]:
    for result in results:
        if result.hold_down is not None or result.holds or (result.capacity <= 0 and result.lift_capacity <= 0):
            continue
        step = plan.step(result.step)
        yield kinds.BRIDGES_TOO_WEAK.new(
            f"'{step.title}' of {step.part.title}, on {machine.machine.name}: {result.held_by}: {_figures(result)}.",
            "Give more, wider or higher tabs or a thicker skin, tape the part down, or cut less deep at once.",
            source=step.operation.source,
            part=step.part.key,
            operation=step.operation.name,
        )
