"""The geometry of steps is planned before their settings; the settings of a class only compute with it."""

from __future__ import annotations

import cProfile
import math
import pstats
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest
from builders import cutter, groove, kit, outside, part, pocket, rounded, setup
from hypothesis import given, settings
from hypothesis import strategies as st

import kitforge_settings.adapter
from kitforge.geometry.shapes import polyline, rectangle
from kitforge.lettering.engrave import between
from kitforge.model.kit import Face, Kit, Tabs
from kitforge.model.steps import BlockedStep, Step, StepSettings
from kitforge.model.travel import Travel, travel_along
from kitforge.model.workshop import MachineClass
from kitforge.pipeline import CheckedKit
from kitforge.plugins import Plugins, load_plugins
from kitforge.stages.planning import plan
from kitforge.workshop.load import load_workshop
from kitforge_settings.layers import layers_of

CALLS = 3000
"""So many calls of functions the settings of one step on one class may take; they took 20 000 with its geometry."""
HEIGHTS = st.sampled_from([0.0, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0])
WAYS = st.lists(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9), HEIGHTS), min_size=1, max_size=7), max_size=5)


MEDIUM = load_workshop().machines["medium_router"]


class Counted:
    """Plugins whose settings are counted in calls of functions."""

    def __init__(self, plugins: Plugins) -> None:
        self.plugins, self.calls = plugins, list[int]()

    def step_settings(self, made: Kit, step: Step, machine: MachineClass) -> StepSettings | BlockedStep | None:
        profile = cProfile.Profile()
        found = profile.runcall(self.plugins.step_settings, made, step, machine)
        self.calls.append(pstats.Stats(profile).total_calls)  # type: ignore[attr-defined]
        return found


def made() -> Kit:
    """A plate with a pocket, a groove and an outline whose tabs the plan chooses."""
    shape, line = rounded(0, 0, 200, 150), polyline([(20.0, 120.0), (180.0, 120.0)])
    board = part(
        pocket(rectangle((60, 40), at=(60, 50))), groove(line), outside(shape, cutter(6.0), Tabs(None, 6.0, 3.0))
    )
    return kit(board, setups=(setup(Face.TOP, ("screws",)),), machines=("light_router", "medium_router"))


def test_settings_work_out_no_geometry() -> None:
    """From a fresh plan no call of the plugin is longer than the formulas and the time of the path ask for."""
    plugins = load_plugins()
    plan(made(), plugins)  # loads the tables and programs
    counted = Counted(plugins)
    plan(made(), counted)  # type: ignore[arg-type]
    assert len(counted.calls) == 6
    assert max(counted.calls) <= CALLS


def test_every_step_of_a_plan_has_its_geometry(demo: CheckedKit) -> None:
    steps = [*demo.plan.steps, *(hole.step for hole in demo.plan.turning)]
    steps += [one.flattening.step for one in demo.plan.prepared if one.flattening is not None]
    assert [step.key for step in steps if step.geometry is None] == []


def test_a_step_without_geometry_has_the_same_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    """A step from elsewhere is worked out when it is asked for."""

    plugins, of = load_plugins(), made()
    planned = plan(of, plugins)
    for step in planned.steps:
        bare = replace(step, geometry=None)
        assert plugins.step_settings(of, bare, MEDIUM) == plugins.step_settings(of, step, MEDIUM)
    monkeypatch.setattr(kitforge_settings.adapter, "step_geometry_of", None)
    plan(of, plugins)


def one_by_one(travel: Travel, depth: float, passes: int) -> Iterator[Travel]:
    """What is cut in each layer, each way alone: the plain form of `layers_of`."""
    for number in range(passes):
        low, high = number * depth, (number + 1) * depth if number + 1 < passes else math.inf
        pieces = [piece for chain in travel.chains for piece in between(chain, low, math.inf)]
        yield travel_along(np.column_stack([one[:, :2], np.minimum(one[:, 2], high)]) for one in pieces)


@settings(max_examples=200, deadline=None)
@given(WAYS, st.sampled_from([0.5, 0.7, 1.0, 5.0]), st.integers(1, 5))
def test_layers_are_those_of_each_way_alone(
    ways: list[list[tuple[int, int, float]]], depth: float, passes: int
) -> None:
    travel = travel_along(np.array(way, dtype=np.float64) for way in ways)
    for layer, plain in zip(layers_of(travel, depth, passes), one_by_one(travel, depth, passes), strict=True):
        assert layer.lengths.tolist() == plain.lengths.tolist()
        assert layer.angles.tolist() == plain.angles.tolist()
        assert layer.starts == plain.starts
