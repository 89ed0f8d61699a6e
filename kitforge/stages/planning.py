"""The plan stage: steps in cutting order, and per machine class the settings, passes and time."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from kitforge.model.plan import MachinePlan, Plan, PlannedSetup, Prepared, Sheet, TurningHole, served
from kitforge.model.steps import BlockedStep, Step, StepSettings
from kitforge.planning.fasteners import fastener_places
from kitforge.planning.fit import misfits
from kitforge.planning.freeing import freed_parts
from kitforge.planning.handling import cutter_changes, flattening_seconds, handling_seconds
from kitforge.planning.holding import KeptPieces, hold_results
from kitforge.planning.layout import lay_out
from kitforge.planning.order import Turn, numbered, turns_of
from kitforge.planning.pieces import with_pieces
from kitforge.planning.preparing import prepared
from kitforge.planning.step_geometry import with_geometry
from kitforge.planning.steps import steps_of
from kitforge.planning.tab_passes import with_enough_tabs
from kitforge.planning.turning_hole import turning_holes

if TYPE_CHECKING:
    from kitforge.model.kit import Kit
    from kitforge.model.workshop import MachineClass
    from kitforge.plugins import Plugins


Outcome = StepSettings | BlockedStep


def plan(kit: Kit, plugins: Plugins, like: Plan | None = None) -> Plan:
    """Return the plan of a kit: layout, steps in order, and the settings of every step on every machine class.

    like: the plan of the same kit at another thickness; tabs and what they keep are taken from there where they do.
    """
    known = {step.key: step for step in like.steps} if like is not None else {}
    sheets, turns, drawn = _in_order(kit)
    steps = [with_geometry(kit, step, known.get(step.key)) for step in drawn]
    outcomes = {machine.key: _outcomes(kit, steps, machine, plugins) for machine in kit.machines}
    steps = with_enough_tabs(steps, {step.key: _settings_of(step, outcomes.values()) for step in steps}, known)
    setups = with_pieces(kit, [_setup(kit, turn, turns[:number]) for number, turn in enumerate(turns)], steps)
    kept = KeptPieces()
    machines = tuple(_machine_plan(one, outcomes[one.key], sheets, steps, setups, kept) for one in kit.machines)
    ready = prepared(kit, sheets)
    machines = tuple(_with_flattening(kit, planned, ready, plugins) for planned in machines)
    holes = turning_holes(kit, setups, steps, lambda hole: _cut_by_all(kit, hole, machines, plugins))
    machines = tuple(_with_holes(kit, planned, holes, plugins) for planned in machines)
    return Plan(tuple(steps), setups, sheets, machines, ready, freed_parts(setups, steps), holes)


def first_plan(kit: Kit) -> Plan:
    """Return the steps of a kit in order, on their sheets, before anything is computed for a machine.

    Tabs that the plan may choose are the fewest; `plan` puts as many as the settings need.
    """
    sheets, _turns, steps = _in_order(kit)
    return Plan(tuple(steps), (), sheets, ())


def _in_order(kit: Kit) -> tuple[tuple[Sheet, ...], Sequence[Turn], Sequence[Step]]:
    sheets = lay_out(kit)
    unordered = [replace(step, copies=_times(step, sheets)) for step in steps_of(kit)]
    turns = turns_of(kit, unordered, sheets)
    return sheets, turns, numbered(turns, unordered)


def _cut_by_all(kit: Kit, step: Step, machines: Sequence[MachinePlan], plugins: Plugins) -> bool:
    """Return whether a step has settings on every class that the kit is for: all are told of it in the same words."""
    return all(isinstance(_outcomes(kit, [step], one.machine, plugins).get(step.key), StepSettings)
               for one in served(machines))  # fmt: skip


def _with_holes(kit: Kit, planned: MachinePlan, holes: Sequence[TurningHole], plugins: Plugins) -> MachinePlan:
    """Return the plan of a class with the settings of the holes that check how a piece lies after turning."""
    found = _outcomes(kit, [hole.step for hole in holes], planned.machine, plugins)
    return replace(planned, turning={key: one for key, one in found.items() if isinstance(one, StepSettings)})


def _with_flattening(kit: Kit, planned: MachinePlan, ready: Sequence[Prepared], plugins: Plugins) -> MachinePlan:
    """Return the plan of a class with the settings and the time of flattening stock that no planer takes."""
    needed = {one.stock.key: one for one in ready if one.flattening is not None}
    steps = [one.flattening.step for one in needed.values() if one.flattening is not None]
    found = _outcomes(kit, steps, planned.machine, plugins)
    outcomes = {step.part.stock.key: found[step.key] for step in steps if step.key in found}
    spans = [flattening_seconds(needed[key], one) for key, one in outcomes.items() if isinstance(one, StepSettings)]
    seconds = sum(low for low, _high in spans), sum(high for _low, high in spans)
    return replace(planned, flattening=outcomes, flattening_seconds=seconds)


def _times(step: Step, sheets: Sequence[Sheet]) -> int:
    """Return how often a step is run: once for each copy of its part, or for each sheet that is faced as a whole."""
    return sum(len(sheet.runs(step)) for sheet in sheets) if step.operation.whole else step.copies


def _outcomes(kit: Kit, steps: Sequence[Step], machine: MachineClass, plugins: Plugins) -> dict[str, Outcome]:
    found = {step.key: plugins.step_settings(kit, step, machine) for step in steps}
    return {key: outcome for key, outcome in found.items() if outcome is not None}


def _settings_of(step: Step, outcomes: Iterable[dict[str, Outcome]]) -> list[StepSettings]:
    found = (by_step.get(step.key) for by_step in outcomes)
    return [outcome for outcome in found if isinstance(outcome, StepSettings)]


def _setup(kit: Kit, turn: Turn, before: Sequence[Turn]) -> PlannedSetup:
    stock = turn.sheets[0].stock
    earlier = [step for other in before if other.sheets == turn.sheets for step in other.steps]
    faced = max((step.tip for step in earlier if step.operation.whole), default=0.0)
    setup = kit.setup(stock.key, turn.face)
    places = fastener_places(kit, setup, turn.sheets, turn.steps)
    return PlannedSetup(
        setup, stock, turn.face, turn.sheets, tuple(step.key for step in turn.steps), places, faced=faced
    )


def _machine_plan(
    machine: MachineClass,
    outcomes: dict[str, Outcome],
    sheets: Sequence[Sheet],
    steps: Sequence[Step],
    setups: Sequence[PlannedSetup],
    kept: KeptPieces,
) -> MachinePlan:
    settings = {key: outcome for key, outcome in outcomes.items() if isinstance(outcome, StepSettings)}
    seconds = [found.seconds for found in settings.values()]
    changes = cutter_changes(setups, steps)
    return MachinePlan(
        machine=machine,
        misfits=misfits(machine, sheets, steps, max((one.setup.spoilboard for one in setups), default=0.0)),
        settings=settings,
        blocked={key: outcome for key, outcome in outcomes.items() if isinstance(outcome, BlockedStep)},
        holding=hold_results(setups, steps, settings, kept),
        cutter_changes=changes,
        cutting_seconds=(sum(low for low, _high in seconds), sum(high for _low, high in seconds)),
        handling_seconds=handling_seconds(setups, changes),
    )
