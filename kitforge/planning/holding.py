"""Whether the work stays put: every hold-down of a setup, and what keeps a part that is being freed, against the cut.

Capacities are sideways and upward forces in N with the safety factor of the hold-down taken off; demands are the peak
side force and the lift of the step that pulls hardest, both at the unfavourable end of the force model.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from kitforge.cutting.hold import Capacity, Held, bridges_hold, capacity, tabs_bear
from kitforge.cutting.sources import HOLDING
from kitforge.model.kit import OnionSkin, Setup, Side, Tabs
from kitforge.model.plan import FastenerPlace, HoldResult, PlannedSetup, Step, StepSettings
from kitforge.model.settings import COMMON, DERIVED, CalculationLine, Given, Trail
from kitforge.model.workshop import HoldDown, HoldKind
from kitforge.planning.tabs import needed_tabs, place_tabs
from kitforge.workshop.cutting_data import cutting_data

# Tape covers about half of the underside; four clamps or fasteners where none are placed: common practice, no source.
COVERAGE = 0.5
DEFAULT_COUNT = 4
MANY = 10**6
_TAPES = (HoldKind.TAPE_AND_GLUE, HoldKind.DOUBLE_SIDED_TAPE)
_UNDER_THE_PART = (*_TAPES, HoldKind.VACUUM)


def hold_results(
    setups: Sequence[PlannedSetup], steps: Sequence[Step], settings: Mapping[str, StepSettings]
) -> dict[tuple[str, int, str], tuple[HoldResult, ...]]:
    """Return for each setup, by its key, how every hold-down and every freeing cut stands."""
    by_key = {step.key: step for step in steps if step.key in settings}
    results = {}
    for setup in setups:
        own = [by_key[key] for key in setup.steps if key in by_key]
        if own:
            results[setup.key] = tuple(_setup_results(setup, own, settings))
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
        trail = Trail(found.lines)
        results.append(HoldResult(hold.name, side, force, lift, lifting, found.text, hardest.key, hold, trail))
    return results + [_freed(setup.setup, step, settings[step.key]) for step in steps if loosens(step)]


def loosens(step: Step) -> bool:
    """Return whether a step can leave a loose piece: the part itself, or a plug of waste inside it."""
    return step.frees or (step.operation.through and step.operation.side is Side.INSIDE and bool(step.operation.hold))


def capacity_of(hold: HoldDown, area: float, places: Sequence[FastenerPlace]) -> Capacity:
    """Return what a hold-down bears under `area` mm2 of stock; fasteners and clamps by their places, else four."""
    own = [place for place in places if place.kind == hold.kind.value]
    taped = hold.kind in _TAPES
    held = Held(
        COVERAGE * area if taped else area,
        len(own) or DEFAULT_COUNT,
        f"tape on {COVERAGE:g} of the face; {COMMON}" if taped else "kit",
        "the plan" if own else COMMON,
    )
    return capacity(hold, held, cutting_data())


def _freed(setup: Setup, step: Step, settings: StepSettings) -> HoldResult:
    """Return what keeps the piece that a step cuts loose: its tabs or skin, and tape or vacuum right under it."""
    kept = keeps(setup, step)
    return HoldResult(
        kept.held_by, kept.sideways, settings.force, kept.upwards, settings.lift, kept.text, step.key, trail=kept.trail
    )


@dataclass(frozen=True, slots=True)
class Kept:
    """What keeps a piece that is being cut loose, and what it bears sideways and upwards, N."""

    held_by: str
    sideways: float
    upwards: float
    text: str
    trail: Trail


def keeps(setup: Setup, step: Step, *, tabs_to_come: bool = False) -> Kept:
    """Return what keeps the piece that a step cuts loose.

    tabs_to_come: count the tabs that have room on the line, where their number is for the plan to choose.
    """
    found = [*_bridges(step, tabs_to_come=tabs_to_come), *_under_part(setup, step)]
    side = sum(capacity.sideways or 0.0 for _name, capacity in found)
    lift = sum(capacity.upwards or 0.0 for _name, capacity in found)
    lines = [line for _name, capacity in found for line in capacity.lines]
    if len(found) > 1:
        lines += [_sum("Fh", "borne sideways", side, found), _sum("Fu", "borne upwards", lift, found)]
    return Kept(
        held_by=" and ".join(name for name, _capacity in found) or "nothing",
        sideways=side,
        upwards=lift,
        text="; ".join(capacity.text for _name, capacity in found) or "the part lies loose when the cut is done",
        trail=Trail(tuple(lines)),
    )


def _sum(symbol: str, what: str, value: float, found: Sequence[tuple[str, Capacity]]) -> CalculationLine:
    borne = [(c.sideways if symbol == "Fh" else c.upwards) or 0.0 for _name, c in found]
    inputs = tuple(
        Given(name, f"{symbol}{index}", force, "N", HOLDING)
        for index, ((name, _c), force) in enumerate(zip(found, borne, strict=True), 1)
    )
    formula = " + ".join(given.symbol for given in inputs)
    return CalculationLine(f"together {what}", symbol, formula, inputs, value, "N", DERIVED)


def _bridges(step: Step, *, tabs_to_come: bool) -> list[tuple[str, Capacity]]:
    """Return the tabs or the skin of the loop that has least of them: each loop may cut a piece of its own loose."""
    hold, material, data = step.operation.hold, step.part.stock.material, cutting_data()
    if isinstance(hold, Tabs) and step.tabs:
        to_come = tabs_to_come and open_count(hold)
        count, name = _fewest_tabs(step), "holding tabs"
        if to_come:
            count, name = _room_for_tabs(step), "holding tabs, as many as have room"
        width, height = Given("width of a tab", "w", hold.width, "mm", "kit"), _height(hold.height, "of a tab")
        return [(name, bridges_hold(name, count, width, height, material, data))] if count else []
    if isinstance(hold, OnionSkin):
        around = Given("length of the cut", "w", _shortest_loop(step), "mm", "the plan")
        skin = bridges_hold("the onion skin", 1, around, _height(hold.thickness, "of the skin"), material, data)
        return [("the onion skin", skin)]
    return []


def _height(value: float, of: str) -> Given:
    return Given(f"thickness {of}", "t", value, "mm", "kit")


def open_count(hold: Tabs) -> bool:
    """Return whether the plan chooses how many tabs there are."""
    return hold.count is None and not hold.at


def _fewest_tabs(step: Step) -> int:
    """Return how many tabs the loop with the fewest has."""
    from shapely import LineString, Point

    lines = [LineString(path.flatten()) for path in step.operation.shapes if path.closed]
    if len(lines) < 2:
        return len(step.tabs)
    counts = [0] * len(lines)
    for tab in step.tabs:
        away = [line.distance(Point(tab.x, tab.y)) for line in lines]
        counts[away.index(min(away))] += 1
    return min(counts)


def _room_for_tabs(step: Step) -> int:
    loops = [path for path in step.operation.shapes if path.closed]
    return min((needed_tabs(step.operation, step.cutter, path, MANY) for path in loops), default=0)


def _shortest_loop(step: Step) -> float:
    loops = [path.length for path in step.operation.shapes if path.closed]
    return step.path_length if len(loops) < 2 else min(loops)


def _under_part(setup: Setup, step: Step) -> list[tuple[str, Capacity]]:
    first = setup.hold_downs[0] if setup.hold_downs else None
    if first is None or first.kind not in _UNDER_THE_PART:
        return []
    return [(f"{first.name} under the part", capacity_of(first, abs(step.part.outline.area), ()))]


def with_enough_tabs(step: Step, settings: Sequence[StepSettings]) -> Step:
    """Return the step with as many tabs as the hardest cut of all machine classes needs, unless the author counted."""
    hold = step.operation.hold
    if not isinstance(hold, Tabs) or not open_count(hold) or not step.tabs or not settings:
        return step
    force = max(max(found.force, found.lift) for found in settings)
    one = tabs_bear(1, hold.width, hold.height, step.part.stock.material, cutting_data())
    return replace(step, tabs=place_tabs(step.operation, step.cutter, math.ceil(force / one)))
