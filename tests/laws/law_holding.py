"""What holds the work is asked for all that the printed ranges allow, worked out anew at their worst corner."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import replace

import pytest
from kit_samples import Sample
from planted import Fault
from shapely import Point

import kitforge_holding.fasteners
import kitforge_holding.fences
from kitforge.cutting.settings import settings
from kitforge.model.kit import Grain, OperationKind
from kitforge.model.plan import MachinePlan, PlannedSetup
from kitforge.model.settings import CutSettings, RequestedSettings
from kitforge.model.steps import Step, StepSettings
from kitforge.model.workshop import HoldDown, HoldKind
from kitforge.planning import fasteners, holding
from kitforge.planning.acting import offered
from kitforge.workshop.cutting_data import cutting_data
from kitforge_holding import kitforge_check
from kitforge_settings.adapter import cut_of, geometry_of, planned_geometry

LAW = "what holds the work is asked for all that the printed ranges allow, and stands where no cutter comes"
HAIR = 1 + 1e-6
_TAKEN = fasteners.taken_area


def broken(sample: Sample) -> list[str]:
    """Return every set-up and every piece that is asked for less than the ranges of a class allow."""
    return [
        said
        for machine in sample.plan.machines
        for setup in sample.plan.setups
        for said in _of_setup(sample, machine, setup)
    ] + [
        said
        for setup in sample.plan.setups
        for said in (*_tips(sample, setup), *_in_facings(sample, setup), *_near_ends(setup))
    ]


def _near_ends(setup: PlannedSetup) -> Iterator[str]:
    """Yield proposed screws and brads that would split a solid board.

    LVL Handbook Europe (2025), Table 5.1, after EN 1995-1-1, Table 8.2: in lead holes (7 + 5) d from a loaded end and
    (3 + 2) d from a loaded edge; without them in wood of 420 to 500 kg/m3 20 d and 9 d (EN 1995-1-1, from memory).
    """
    stock, sides = setup.stock, {"screws": (3.51, 12.0, 5.0), "brads": (1.2, 20.0, 9.0)}
    if stock.material.is_panel:
        return
    for place in setup.fasteners:
        if not place.proposed or place.kind not in sides:
            continue
        wide, end, edge = sides[place.kind]
        x, y = min(place.x, stock.length - place.x), min(place.y, stock.width - place.y)
        to_end, to_edge = (y, x) if stock.grain is Grain.WIDTH else (x, y)
        if to_end < end * wide - 0.1 or to_edge < edge * wide - 0.1:
            yield f"{setup.key}: {place.kind} {to_end:.1f} mm from an end and {to_edge:.1f} mm from an edge"


def _tips(sample: Sample, setup: PlannedSetup) -> Iterator[str]:
    """Yield fasteners that come out below the spoilboard, do not reach into it, or count with more than is in it."""
    gone = 0.0
    for before in itertools.takewhile(lambda one: one is not setup, sample.plan.setups):
        if before.same_piece(setup):
            facings = [sample.plan.step(key) for key in before.steps]
            gone = max([step.tip for step in facings if step.operation.whole], default=gone)
    lies, board = setup.stock.actual - gone, setup.setup.spoilboard
    for hold in offered(setup):
        if hold.kind not in (HoldKind.SCREWS, HoldKind.BRADS):
            continue
        long = fasteners.fastener_length(hold, setup)
        if long is None or not lies < long < lies + board:
            yield f"{setup.key}: {hold.name} of {long} mm in {lies:g} mm of stock on {board:g} mm"
            continue
        for machine in sample.plan.machines:
            for result in machine.holding.get(setup.key, ()):
                inside = [one.value for line in result.trail.lines for one in line.inputs if one.symbol == "l"]
                if result.hold_down is hold and any(one > long - lies + 1e-9 for one in inside):
                    yield f"{setup.key}: {hold.name} counts with {max(inside):g} mm of {long - lies:g} mm in the board"


def _in_facings(sample: Sample, setup: PlannedSetup) -> Iterator[str]:
    """Yield what stands above or beside the stock where a step that makes a face comes, unless it is told."""
    told = {finding.code for finding in kitforge_check(sample.kit, sample.plan)}
    first = next(iter(offered(setup)), None)
    for step in map(sample.plan.step, setup.steps):
        if step.operation.does is not OperationKind.FACE or step.cut is None or step.cut.is_empty:
            continue
        for run in setup.sheets[0].runs(step):
            area = run.shape(step.cut)
            for place in setup.fasteners:
                if area.distance(Point(place.x, place.y)) < place.keep_out - 0.5 and "fastener-in-cut" not in told:
                    yield f"{step.key}: a {place.kind} at {place.x:g}, {place.y:g} stands in what is faced"
        fenced = first is not None and first.kind is HoldKind.EDGE_FENCES and step.operation.whole
        if fenced and not told & {"fence-in-cut", "fence-low"}:
            yield f"{step.key}: fences stand where the whole stock is faced, and nobody says so"


def _of_setup(sample: Sample, machine: MachinePlan, setup: PlannedSetup) -> Iterator[str]:
    steps = [sample.plan.step(key) for key in setup.steps if key in machine.settings]
    pulls = {step.key: _pull(sample, machine, step) for step in steps}
    for result in machine.holding.get(setup.key, ()):
        own = pulls.values() if result.hold_down is not None else [pulls[result.step]]
        for name, asked, most in zip(
            ("sideways", "upwards"),
            (result.demand, result.lift_demand),
            (max(side for side, _lift in own), max(lift for _side, lift in own)),
            strict=True,
        ):
            if asked * HAIR < most:
                where = f"{result.step}, {machine.machine.key}"
                yield f"{where}: {result.held_by} is asked for {asked:.1f} N {name}, the ranges allow {most:.1f}"


def _pull(sample: Sample, machine: MachinePlan, step: Step) -> tuple[float, float]:
    """Return side force and lift where depth, stepover and feed are set as high as their ranges go, in one pass."""
    found: StepSettings = machine.settings[step.key]
    if found.detail is None:
        return 0.0, 0.0
    cut, high = cut_of(step, planned_geometry(sample.kit, step)), found.detail
    depth = min(high.depth_per_pass.high, cut.depth)
    one_pass = replace(cut, depth=depth, reach=cut.reach if cut.reach and cut.reach > cut.depth else depth)
    cutter = replace(geometry_of(step.cutter), stick_out=high.stick_out)
    wish = RequestedSettings(
        speed=high.speed.start,
        feed=high.feed.high,
        depth_per_pass=depth,
        stepover=high.stepover.high if high.stepover else None,
    )
    rows = sample.kit.cutting_rows
    at = settings(one_pass, cutter, step.part.stock.material, machine.machine, cutting_data(), wish, rows)
    return (at.loads.side_force, max(0.0, at.loads.lift)) if isinstance(at, CutSettings) else (0.0, 0.0)


def _at_start(patch: pytest.MonkeyPatch) -> None:
    """Only the values to start with are looked at."""
    patch.setattr(StepSettings, "pull", property(lambda found: (found.force, found.lift)))


def _without_lift(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(StepSettings, "pull", property(lambda found: (max(found.force, found.most_force), 0.0)))


def _any_length(patch: pytest.MonkeyPatch) -> None:
    """The next length that is sold, however thick the spoilboard is."""

    def longer(hold: HoldDown, setup: PlannedSetup) -> float:
        wanted = setup.stock.actual + (hold.penetration or 0.0)
        return next(one for one in fasteners.LENGTHS if one >= wanted + 4)

    patch.setattr(fasteners, "fastener_length", longer)


def _as_deep_as_wished(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(holding, "as_driven", lambda hold, _setup: replace(hold, penetration=99.0))


def _facing_forgotten(patch: pytest.MonkeyPatch) -> None:
    """Clamps are placed as if nothing were faced, and nobody looks at them again."""
    patch.setattr(
        fasteners,
        "taken_area",
        lambda kit, sheet, steps: _TAKEN(kit, sheet, [one for one in steps if not one.operation.whole]),
    )
    patch.setattr(kitforge_holding.fasteners, "check_fasteners", lambda _kit, _plan: ())


def _in_the_corner(patch: pytest.MonkeyPatch) -> None:
    """The places that are proposed begin 10 mm from the corners of every stock."""
    patch.setattr(fasteners, "edge_distances", lambda _hold, _stock: (10.0, 10.0))


def _fences_forgotten(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(kitforge_holding.fences, "check_fences", lambda _plan: ())


FAULTS = (
    Fault("a clamp is placed where the whole stock is faced", _facing_forgotten, {"facing of the whole stock"}),
    Fault(
        "fences under a facing are not told of",
        _fences_forgotten,
        {"hold-down edge_fences", "facing of the whole stock"},
    ),
    Fault("screws split the corners of a board", _in_the_corner, {"hold-down screws"}),
    Fault("screws come out below the spoilboard", _any_length, {"hold-down screws"}),
    Fault("screws count with more than is in the spoilboard", _as_deep_as_wished, {"hold-down screws"}),
    Fault("holding looks at the start values alone", _at_start, {"tabs"}),
    Fault("the lift of the cutter is forgotten", _without_lift, {"tabs"}),
)
