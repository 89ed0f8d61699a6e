"""The law of tabs, worked out anew from the height map: as many stand as the plan counts, each by itself.

Looked at when all passes of an operation are cut: a tab that one of them leaves and another one cuts holds nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
import pytest
from kit_samples import Sample
from planted import Fault
from scipy import ndimage

from kitforge.model.kit import Tabs
from kitforge.model.steps import Step, TabPlace
from kitforge.planning import holding, steps, tab_passes
from kitforge.planning.tabs import place_tabs
from kitforge.surface.grid import Grid
from kitforge.surface.heightmap import Surface, after_step

LAW = "as many tabs stand after a cut as each of its passes counts, each by itself and over the whole kerf"
CELL = 0.5
_LEAST = np.ones((2, 2))  # cells: what is narrower is the edge of a cut, which is known to half a cell, no tab
_FLAT = 0.01  # mm


def broken(sample: Sample) -> list[str]:
    """Return every step of which another number of tabs stands than it counts, and tabs rated for a narrower cut."""
    found = []
    for step in sample.plan.steps:
        if step.through and step.final and isinstance(step.operation.hold, Tabs) and step.cut is not None:
            passes = [one for one in sample.plan.steps_of(step.part.key) if one.operation.name == step.operation.name]
            standing = _standing(passes)
            found += [
                f"{one.key}: {len(one.tabs)} tabs are counted, {standing} stand"
                for one in passes
                if one.tabs and standing != len(one.tabs)
            ]
            found += sorted(set(_too_narrow(sample, passes)))
    return found


def _standing(passes: Sequence[Step]) -> int:
    """Return how many patches of wood the passes of an operation leave in their cut, by themselves in whole stock."""
    step = passes[-1]
    assert isinstance(step.operation.hold, Tabs)
    top = step.datum.from_face(step.wood - step.operation.hold.height)
    bounds = np.array([one.cut.bounds for one in passes if one.cut is not None and not one.cut.is_empty])
    (left, low), (right, high) = bounds[:, :2].min(axis=0), bounds[:, 2:].max(axis=0)
    shape = round((high - low) / CELL) + 8, round((right - left) / CELL) + 8
    grid = Grid(left - 4 * CELL, low - 4 * CELL, CELL, *shape)
    wood = Surface(grid, step.part.stock.actual, np.zeros(grid.shape, np.float32))
    for one in passes:
        wood = after_step(wood, one).after
    cut = wood.bottom if wood.top is None or not wood.top.any() else wood.top
    if cut is None:
        return 0
    left_standing = np.abs(cut - top) < _FLAT
    labels, _ = ndimage.label(left_standing)
    return len(np.unique(labels[ndimage.binary_erosion(left_standing, _LEAST)]))


def _too_narrow(sample: Sample, passes: Sequence[Step]) -> list[str]:
    """Return what says that a tab reaches less far than all passes together cut beside the wall."""
    kerf = max(one.leave_walls + one.cutter.diameter for one in passes)
    last = passes[-1].key
    return [
        f"{last}: a tab over {kerf:g} mm is rated as over {bridge.kerf:g} mm"
        for setup in sample.plan.setups
        for division in setup.divisions
        if division.step == last
        for bridge in division.bridges
        if bridge.step == last and not bridge.skin and bridge.kerf < kerf - _FLAT
    ]


def _changed(patch: pytest.MonkeyPatch, change: Callable[[tuple[TabPlace, ...]], tuple[TabPlace, ...]]) -> None:
    place = place_tabs
    for room in (steps, tab_passes, holding):
        patch.setattr(room, "place_tabs", lambda *given, **named: change(place(*given, **named)))


def _twice(patch: pytest.MonkeyPatch) -> None:
    _changed(patch, lambda tabs: (*tabs, *tabs[:1]))


def _off_the_line(patch: pytest.MonkeyPatch) -> None:
    _changed(patch, lambda tabs: tuple(replace(tab, x=tab.x + 500.0) for tab in tabs))


def _by_pass(patch: pytest.MonkeyPatch) -> None:
    """Each pass of an operation has the tabs that it needs by itself."""
    patch.setattr(tab_passes, "passes_of", lambda steps: [[step] for step in steps])


def _last_cutter(patch: pytest.MonkeyPatch) -> None:
    """A tab reaches over no more than the cutter of the last pass has cut."""
    patch.setattr(Step, "kerf", property(lambda step: step.cutter.diameter))


FAULTS = (
    Fault("two tabs are at one place", _twice, {"tabs"}),
    Fault("tabs lie off the line", _off_the_line, {"tabs"}),
    Fault("each pass leaves tabs of its own", _by_pass, {"two passes", "tabs"}),
    Fault("a tab is rated for the last cutter alone", _last_cutter, {"two passes", "tabs"}),
)
