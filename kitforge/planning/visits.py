"""Where a step's cutter goes down and what lies between: the moves of a layer that are not the cut itself.

A place is cleared in one go, layer under layer; rounds of one place are joined at depth, and from the last round of a
layer the cutter goes back to where the first one starts. Then it goes up and on to the nearest place that is left.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon

from kitforge.model.kit import OperationKind
from kitforge.model.step_geometry import Visits
from kitforge.model.steps import Step
from kitforge.planning.room import chains_by_place

if TYPE_CHECKING:
    Chain = NDArray[np.float64]

CLOSE = 0.05
"""Ends of a round that are so near are one, mm."""


def visits_of(step: Step, places: Sequence[Polygon]) -> Visits:
    """Return the places of a step and what lies between them; places: those of `places_of`."""
    rounds = [place for place in chains_by_place(step, places) if place]
    holes = step.operation.points if step.operation.does in _PLUNGES else ()
    ends = [*((place[0][0][:2], place[-1][-1][:2]) for place in rounds), *((hole, hole) for hole in holes)]
    joins = [_apart(one[-1], other[0]) for place in rounds for one, other in itertools.pairwise(place)]
    backs = [_apart(end, start) for start, end in ends]
    far = tuple(back for back in backs if back > CLOSE)
    return Visits(len(ends), tuple(joins), far, tuple(_nearest_first(ends)))


_PLUNGES = (OperationKind.DRILL, OperationKind.DISH, OperationKind.POCKET, OperationKind.FACE)


def _apart(one: Sequence[float], other: Sequence[float]) -> float:
    return float(((one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2) ** 0.5)


def _nearest_first(ends: Sequence[tuple[Sequence[float], Sequence[float]]]) -> list[float]:
    """Return the distances from each place to the next, going on to the nearest one that is left."""
    if len(ends) < 2:
        return []
    starts = np.array([start for start, _end in ends], dtype=np.float64)
    stops = np.array([end for _start, end in ends], dtype=np.float64)
    here, left, found = 0, np.ones(len(ends), dtype=bool), []
    left[0] = False
    for _step in range(len(ends) - 1):
        away = np.hypot(*(starts - stops[here]).T)
        away[~left] = np.inf
        here = int(np.argmin(away))
        left[here] = False
        found.append(float(away[here]))
    return found
