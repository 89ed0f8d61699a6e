"""What holds the work is asked for all that the printed ranges allow, worked out anew at their worst corner."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from kit_samples import Sample
from planted import Fault

from kitforge.cutting.settings import settings
from kitforge.model.plan import MachinePlan, PlannedSetup, Step, StepSettings
from kitforge.model.settings import CutSettings, RequestedSettings
from kitforge.workshop.cutting_data import cutting_data
from kitforge_settings.adapter import cut_of, geometry_of

LAW = "what holds the work is asked for the hardest pull that the printed ranges allow"
HAIR = 1 + 1e-6


def broken(sample: Sample) -> list[str]:
    """Return every set-up and every piece that is asked for less than the ranges of a class allow."""
    return [
        said
        for machine in sample.plan.machines
        for setup in sample.plan.setups
        for said in _of_setup(sample, machine, setup)
    ]


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
    cut, high = cut_of(sample.kit, step), found.detail
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


FAULTS = (
    Fault("holding looks at the start values alone", _at_start, {"tabs"}),
    Fault("the lift of the cutter is forgotten", _without_lift, {"tabs"}),
)
"""Faults of what is asked."""
