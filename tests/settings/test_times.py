"""Times of steps against a second estimate that writes out every move; entries and air moves of small things."""

from __future__ import annotations

import statistics
from dataclasses import replace

import pytest
import toolpath
from seed_dishes import Check

from kitforge.model.kit import OperationKind
from kitforge.model.plan import MachinePlan
from kitforge.model.step_geometry import Visits
from kitforge.model.steps import Step
from kitforge.pipeline import CheckedKit
from kitforge_settings.timing import step_seconds

CLASSES = ("light_router", "medium_router", "heavy_router")
MOST = 4000
"""Ways of more points are left to others: the second estimate is slow."""


def visits_of(step: Step) -> Visits:
    assert step.geometry is not None
    return step.geometry.visits


def ratios(checked: CheckedKit) -> dict[str, float]:
    """Return the middle of our range over the second estimate, by step and class."""
    found = {}
    for planned in checked.plan.machines:
        for step in checked.plan.steps if planned.machine.key in CLASSES else ():
            if step.key in planned.settings and _written_out(step, planned):
                found[f"{step.key} on {planned.machine.key}"] = _ratio(step, planned)
    return found


def _written_out(step: Step, planned: MachinePlan) -> bool:
    settings = planned.settings[step.key]
    if step.operation.does is OperationKind.ENGRAVE or step.operation.whole or step.operation.overrides:
        return False
    as_planned = step.stepover is None or settings.stepover is None or step.stepover == settings.stepover.start
    points = sum(len(chain) for chain in step.travel.chains) if step.travel else 0
    return as_planned and points * settings.passes < MOST


def _ratio(step: Step, planned: MachinePlan) -> float:
    settings = planned.settings[step.key]
    assert settings.detail is not None
    low, high = settings.seconds
    return (low + high) / 2 / step.copies / toolpath.seconds(step, planned.machine, settings.detail)


def test_times_of_the_demo_kits(demo: CheckedKit) -> None:
    """The median of a kit within 15 %, every step within 40 %."""
    found = ratios(demo)
    assert len(found) >= 3
    assert 0.85 < statistics.median(found.values()) < 1.15, found
    assert {key: ratio for key, ratio in found.items() if not 0.7 < ratio < 1.4} == {}


def test_times_of_three_dishes(check: Check) -> None:
    found = ratios(check())
    assert 0.85 < statistics.median(found.values()) < 1.15, found


def test_a_hole_that_is_milled_in_layers_is_not_left_between_them(check: Check) -> None:
    """A round outline ends where it began: more layers cost their cut and their way down alone."""
    checked = check()
    planned = next(one for one in checked.plan.machines if one.machine.key == "medium_router")
    step = checked.plan.step("round/outline")
    visits = visits_of(step)
    assert (visits.places, visits.backs, visits.hops) == (1, (), ())
    found = planned.settings[step.key].detail
    assert found is not None
    plain = replace(step, tabs=())
    one, two = (step_seconds(plain, visits, planned.machine, replace(found, passes=count))[1] for count in (4, 8))
    down = (found.depth_per_pass.start + 1) / (found.plunge.start / 60)
    cut = step.path_length / (found.feed.start / 60)
    assert (two - one) / 4 == pytest.approx((cut + down) * 1.1, rel=0.05)


def test_places_are_visited_nearest_first(check: Check) -> None:
    """Three holes in a row are one pass over them, whatever order they are written in."""
    row = ", ".join(f"{{circle: {{centre: [{x}, 0], diameter: 7 mm}}}}" for x in (0, 20, 10))
    old = "shapes: [{circle: {centre: [0, 0], diameter: = wide - 2 * rim}}]"
    swap = (
        "do: dish, cutter: bowl, depth: deep, roughing: {leave_floor: 0.15 mm, leave_walls: 0.15 mm},\n         " + old
    )
    checked = check((swap, "do: pocket, cutter: mill, depth: deep,\n         shapes: [" + row + "]"))
    visits = visits_of(checked.plan.step("round/hollow"))
    assert visits.places == 3
    assert sum(visits.hops) == pytest.approx(20, abs=1.5)
