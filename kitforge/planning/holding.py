"""Whether the work stays put: every hold-down of a setup, and what keeps a part that is being freed, against the cut.

Capacities are sideways and upward forces in N with the safety factor of the hold-down taken off; demands are the peak
side force and the lift of the step that pulls hardest, both at the unfavourable end of the force model.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from kitforge.cutting.hold import Capacity, Held, capacity, skin_bears, tab_strength, tabs_bear
from kitforge.kit import OnionSkin, Side, Tabs
from kitforge.plan import FastenerPlace, HoldResult, PlannedSetup, Step, StepSettings
from kitforge.planning.tabs import place_tabs
from kitforge.units import plain_number
from kitforge.workshop.cutting_data import cutting_data
from kitforge.workshop.records import HoldDown, HoldKind

# Tape covers about half of the underside; four clamps or fasteners where none are placed: common practice, no source.
COVERAGE = 0.5
DEFAULT_COUNT = 4
_TAPES = (HoldKind.TAPE_AND_GLUE, HoldKind.DOUBLE_SIDED_TAPE)
_UNDER_THE_PART = (*_TAPES, HoldKind.VACUUM)


def hold_results(
    setups: Sequence[PlannedSetup], steps: Sequence[Step], settings: Mapping[str, StepSettings]
) -> dict[tuple[str, str], tuple[HoldResult, ...]]:
    """Return for each setup, by stock key and face, how every hold-down and every freeing cut stands."""
    by_key = {step.key: step for step in steps if step.key in settings}
    results = {}
    for setup in setups:
        own = [by_key[key] for key in setup.steps if key in by_key]
        if own:
            results[setup.stock.key, setup.face.value] = tuple(_setup_results(setup, own, settings))
    return results


def _setup_results(
    setup: PlannedSetup, steps: Sequence[Step], settings: Mapping[str, StepSettings]
) -> list[HoldResult]:
    hardest = max(steps, key=lambda step: settings[step.key].force)
    force = settings[hardest.key].force
    lifting = max(settings[step.key].lift for step in steps)
    area = setup.stock.length * setup.stock.width
    results = []
    for hold in setup.setup.hold_downs:
        found = capacity_of(hold, area, setup.fasteners)
        side, lift = found.sideways or 0.0, found.upwards or 0.0
        results.append(HoldResult(hold.name, side, force, lift, lifting, found.text, hardest.key, hold_down=hold))
    return results + [_freed(setup, step, settings[step.key]) for step in steps if _loosens(step)]


def _loosens(step: Step) -> bool:
    """Return whether a step can leave a loose piece: the part itself, or a plug of waste inside it."""
    return step.frees or (step.operation.through and step.operation.side is Side.INSIDE and bool(step.operation.hold))


def capacity_of(hold: HoldDown, area: float, places: Sequence[FastenerPlace]) -> Capacity:
    """Return what a hold-down bears under `area` mm2 of stock; fasteners and clamps by their places, else four."""
    own = [place for place in places if place.kind == hold.kind.value]
    covered = COVERAGE * area if hold.kind in _TAPES else area
    return capacity(hold, Held(covered, len(own) or DEFAULT_COUNT), cutting_data())


def _freed(setup: PlannedSetup, step: Step, settings: StepSettings) -> HoldResult:
    """Return what keeps the piece that a step cuts loose: its tabs or skin, and tape or vacuum right under it."""
    found = [*_bridges(step), *_under_part(setup, step)]
    held_by = " and ".join(name for name, _capacity in found) or "nothing"
    side = sum(capacity.sideways or 0.0 for _name, capacity in found)
    lift = sum(capacity.upwards or 0.0 for _name, capacity in found)
    text = "; ".join(capacity.text for _name, capacity in found) or "the part lies loose when the cut is done"
    return HoldResult(held_by, side, settings.force, lift, settings.lift, text, step.key)


def _bridges(step: Step) -> list[tuple[str, Capacity]]:
    hold, material, data = step.operation.hold, step.part.stock.material, cutting_data()
    strength, safety = tab_strength(material, data)[0], data.safety_factors["default"].value
    if isinstance(hold, Tabs) and step.tabs:
        side = tabs_bear(len(step.tabs), hold.width, hold.height, material, data)
        size = f"{plain_number(hold.width, 1)} × {plain_number(hold.height, 1)} mm"
        text = f"{len(step.tabs)} tabs × {size} × {strength:g} MPa / {safety:g}"
        return [("holding tabs", Capacity(side, side, safety, text))]
    if isinstance(hold, OnionSkin):
        side = skin_bears(step.path_length, hold.thickness, material, data)
        text = f"{step.path_length:.0f} mm × {hold.thickness:g} mm × {strength:g} MPa / {safety:g}"
        return [("the onion skin", Capacity(side, side, safety, text))]
    return []


def _under_part(setup: PlannedSetup, step: Step) -> list[tuple[str, Capacity]]:
    first = setup.setup.hold_downs[0] if setup.setup.hold_downs else None
    if first is None or first.kind not in _UNDER_THE_PART:
        return []
    return [(f"{first.name} under the part", capacity_of(first, abs(step.part.outline.area), ()))]


def with_enough_tabs(step: Step, settings: Sequence[StepSettings]) -> Step:
    """Return the step with as many tabs as the hardest cut of all machine classes needs, unless the author counted."""
    hold = step.operation.hold
    if not isinstance(hold, Tabs) or hold.count is not None or hold.at or not step.tabs or not settings:
        return step
    force = max(max(found.force, found.lift) for found in settings)
    one = tabs_bear(1, hold.width, hold.height, step.part.stock.material, cutting_data())
    return replace(step, tabs=place_tabs(step.operation, step.cutter, math.ceil(force / one)))
