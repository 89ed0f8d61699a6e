"""The law of tabs, worked out anew from the height map: as many stand as the plan counts, each by itself."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from kit_samples import Sample
from planted import Fault
from scipy import ndimage

from kitforge.model.kit import Tabs
from kitforge.model.steps import Step, TabPlace
from kitforge.planning import holding, steps
from kitforge.planning.tabs import place_tabs
from kitforge.surface.grid import Grid
from kitforge.surface.heightmap import Surface, after_step

LAW = "as many tabs stand after a cut as its step counts, each by itself"
CELL = 0.5
_LEAST = np.ones((2, 2))  # cells: what is narrower is the edge of a cut, which is known to half a cell, no tab
_FLAT = 0.01  # mm


def broken(sample: Sample) -> list[str]:
    """Return every step of which another number of tabs stands than it counts."""
    found = []
    for step in sample.plan.steps:
        if step.through and isinstance(step.operation.hold, Tabs) and step.cut is not None and not step.leave_walls:
            standing = _standing(step)
            if standing != len(step.tabs):
                found.append(f"{step.key}: {len(step.tabs)} tabs are counted, {standing} stand")
    return found


def _standing(step: Step) -> int:
    """Return how many patches of wood a step leaves in its cut, by itself in whole stock."""
    assert step.cut is not None
    assert isinstance(step.operation.hold, Tabs)
    top = step.datum.from_face(step.wood - step.operation.hold.height)
    left, low, right, high = step.cut.bounds
    shape = round((high - low) / CELL) + 8, round((right - left) / CELL) + 8
    grid = Grid(left - 4 * CELL, low - 4 * CELL, CELL, *shape)
    after = after_step(Surface(grid, step.part.stock.actual, np.zeros(grid.shape, np.float32)), step).after
    cut = after.bottom if after.top is None or not after.top.any() else after.top
    if cut is None:
        return 0
    left_standing = np.abs(cut - top) < _FLAT
    labels, _ = ndimage.label(left_standing)
    return len(np.unique(labels[ndimage.binary_erosion(left_standing, _LEAST)]))


def _changed(patch: pytest.MonkeyPatch, change: Callable[[tuple[TabPlace, ...]], tuple[TabPlace, ...]]) -> None:
    place = place_tabs
    for room in (steps, holding):
        patch.setattr(room, "place_tabs", lambda *given, **named: change(place(*given, **named)))


def _twice(patch: pytest.MonkeyPatch) -> None:
    _changed(patch, lambda tabs: (*tabs, *tabs[:1]))


def _off_the_line(patch: pytest.MonkeyPatch) -> None:
    _changed(patch, lambda tabs: tuple(replace(tab, x=tab.x + 500.0) for tab in tabs))


FAULTS = (
    Fault("two tabs are at one place", _twice, {"tabs"}),
    Fault("tabs lie off the line", _off_the_line, {"tabs"}),
)
