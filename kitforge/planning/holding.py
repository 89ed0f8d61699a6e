"""Whether the work stays put: every hold-down of a setup, and what keeps a part that is being freed, against the cut.

Capacities are sideways and upward forces in N with the safety factor of the hold-down taken off; demands are the peak
side force and the lift of the step that pulls hardest, both at the unfavourable end of the force model.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from kitforge.cutting.holding import friction_hold, shear_hold, skin_hold, tab_hold, vacuum_normal
from kitforge.kit import OnionSkin, Side, Tabs
from kitforge.plan import FastenerPlace, HoldResult, PlannedSetup, Step, StepSettings
from kitforge.planning.tabs import place_tabs
from kitforge.units import plain_number
from kitforge.workshop.cutting_data import cutting_data
from kitforge.workshop.records import HoldDown, HoldKind, Material
from kitforge.workshop.wood import nail_full_penetration, nail_withdrawal, screw_withdrawal, short_penetration_factor

# Tape covers about half of the underside; clamps and fences come in fours and twos: common practice, no source.
COVERAGE = 0.5
DEFAULT_COUNT = 4
# Fasteners sit in the spoilboard, taken as light softwood; withdrawal is an ultimate load, so it is divided by 5.7, the
# ratio of the handbook's ultimate to the published design values for nails. Both common practice, no source.
SPOILBOARD_GRAVITY = 0.40
WITHDRAWAL_SAFETY = 5.7
# A wood screw carries its full side load from 7 diameters of thread on (Wood Handbook, FPL-GTR-282, p. 8-11).
SCREW_PENETRATION = 7
TAB_SAFETY = 2.0


@dataclass(frozen=True, slots=True)
class Capacity:
    """Sideways and upward capacity in N, and the sentence that says how they were found."""

    side: float
    lift: float
    text: str


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
    lifting = max(settings[step.key].lift for step in steps)
    results = []
    for hold in setup.setup.hold_downs:
        area = setup.stock.length * setup.stock.width
        found = capacity_of(hold, area, setup.fasteners)
        force = settings[hardest.key].force
        results.append(
            HoldResult(hold.name, found.side, force, found.lift, lifting, found.text, hardest.key, hold_down=hold)
        )
    return results + [_freed(setup, step, settings[step.key]) for step in steps if _loosens(step)]


def _loosens(step: Step) -> bool:
    """Return whether a step can leave a loose piece: the part itself, or a plug of waste inside it."""
    return step.frees or (step.operation.through and step.operation.side is Side.INSIDE and bool(step.operation.hold))


def capacity_of(hold: HoldDown, area: float, places: Sequence[FastenerPlace]) -> Capacity:
    """Return what a hold-down can take on a piece of stock that touches the spoilboard with `area` mm2."""
    safety = hold.safety.value
    if hold.kind in (HoldKind.TAPE_AND_GLUE, HoldKind.DOUBLE_SIDED_TAPE):
        return _tape(hold, area)
    if hold.kind in (HoldKind.BRADS, HoldKind.SCREWS):
        own = [place for place in places if place.kind == hold.kind.value]
        return _fastened(hold, len(own) or DEFAULT_COUNT)
    friction = hold.friction.value if hold.friction else 0.0
    if hold.kind is HoldKind.VACUUM:
        pressure = hold.pressure.low if hold.pressure else 0.0
        normal = vacuum_normal(pressure, area)
        text = f"{plain_number(friction, 2)} × {plain_number(pressure, 3)} MPa × {area:.0f} mm² / {safety:g}"
        return Capacity(friction_hold(friction, normal, safety), normal / safety, text)
    return _clamped(hold, friction, safety, places)


def _clamped(hold: HoldDown, friction: float, safety: float, places: Sequence[FastenerPlace]) -> Capacity:
    each = hold.force_each.low if hold.force_each else 0.0
    own = [place for place in places if place.kind == hold.kind.value]
    count = len(own) or DEFAULT_COUNT
    side = friction_hold(friction, count * each, safety)
    text = f"{count} × {each:.0f} N × {plain_number(friction, 2)} / {safety:g}"
    if hold.kind is HoldKind.EDGE_FENCES:
        return Capacity(
            each / safety, side, f"{each:.0f} N from one pair of wedges / {safety:g}; upwards by friction, {text}"
        )
    return Capacity(side, count * each / safety, text)


def _tape(hold: HoldDown, area: float) -> Capacity:
    shear = hold.shear.low if hold.shear else 0.0
    side = shear_hold(shear, COVERAGE * area, hold.safety.value)
    text = f"{plain_number(shear, 3)} MPa × {COVERAGE * area:.0f} mm² of tape / {hold.safety.value:g}"
    # No pull-off figure was found for tape on wood; the shear figure stands in for it.
    return Capacity(side, side, text)


def _fastened(hold: HoldDown, count: int) -> Capacity:
    diameter, grip = hold.diameter or 0.0, hold.penetration or 0.0
    constant = min(cutting_data().lateral_constants, key=lambda row: row.nail.value)
    if hold.kind is HoldKind.BRADS:
        factor = short_penetration_factor(grip, nail_full_penetration(SPOILBOARD_GRAVITY, diameter))
        side, formula = constant.nail.value * diameter**1.5, f"{constant.nail.value:g} × {diameter:g}^1.5"
        pull = nail_withdrawal(SPOILBOARD_GRAVITY, diameter, grip)
    else:
        factor = short_penetration_factor(grip, SCREW_PENETRATION * diameter)
        side, formula = constant.screw.value * diameter**2, f"{constant.screw.value:g} × {diameter:g}²"
        pull = screw_withdrawal(SPOILBOARD_GRAVITY, diameter, grip)
    safety = hold.safety.value
    short = f" × {factor:.2f} for the short grip" if factor < 1 else ""
    text = f"{count} × {formula}{short} / {safety:g}; upwards {count} × {pull:.0f} N / {WITHDRAWAL_SAFETY}"
    return Capacity(count * side * factor / safety, count * pull / WITHDRAWAL_SAFETY, text)


def shear_strength(material: Material) -> float:
    """Return the shear strength along the grain in MPa, or the design value for panels where none is known."""
    return material.shear_parallel.value if material.shear_parallel else cutting_data().tabs.panel_shear.value


def _freed(setup: PlannedSetup, step: Step, settings: StepSettings) -> HoldResult:
    """Return what keeps the piece that a step cuts loose: its tabs or skin, and tape or vacuum right under it."""
    found = [*_bridges(step), *_under_part(setup, step)]
    held_by = " and ".join(name for name, _capacity in found) or "nothing"
    side = sum(capacity.side for _name, capacity in found)
    lift = sum(capacity.lift for _name, capacity in found)
    text = "; ".join(capacity.text for _name, capacity in found) or "the part lies loose when the cut is done"
    return HoldResult(held_by, side, settings.force, lift, settings.lift, text, step.key)


def _bridges(step: Step) -> list[tuple[str, Capacity]]:
    hold, strength = step.operation.hold, shear_strength(step.part.stock.material)
    if isinstance(hold, Tabs) and step.tabs:
        count = len(step.tabs)
        side = tab_hold(count, hold.width, hold.height, strength, TAB_SAFETY)
        size = f"{plain_number(hold.width, 1)} × {plain_number(hold.height, 1)} mm"
        return [("holding tabs", Capacity(side, side, f"{count} tabs × {size} × {strength:g} MPa / {TAB_SAFETY:g}"))]
    if isinstance(hold, OnionSkin):
        length = step.path_length
        side = skin_hold(length, hold.thickness, strength, TAB_SAFETY)
        text = f"{length:.0f} mm × {hold.thickness:g} mm × {strength:g} MPa / {TAB_SAFETY:g}"
        return [("the onion skin", Capacity(side, side, text))]
    return []


def _under_part(setup: PlannedSetup, step: Step) -> list[tuple[str, Capacity]]:
    under = (HoldKind.TAPE_AND_GLUE, HoldKind.DOUBLE_SIDED_TAPE, HoldKind.VACUUM)
    first = setup.setup.hold_downs[0] if setup.setup.hold_downs else None
    if first is None or first.kind not in under:
        return []
    area = abs(step.part.outline.area)
    return [(f"{first.name} under the part", capacity_of(first, area, ()))]


def with_enough_tabs(step: Step, settings: Sequence[StepSettings]) -> Step:
    """Return the step with as many tabs as the hardest cut of all machine classes needs, unless the author counted."""
    hold = step.operation.hold
    if not isinstance(hold, Tabs) or hold.count is not None or hold.at or not step.tabs or not settings:
        return step
    force = max(max(found.force, found.lift) for found in settings)
    one = tab_hold(1, hold.width, hold.height, shear_strength(step.part.stock.material), TAB_SAFETY)
    return replace(step, tabs=place_tabs(step.operation, step.cutter, math.ceil(force / one)))
