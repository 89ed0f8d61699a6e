"""Where a step's cutter goes down and what lies between: the moves of a layer that are not the cut itself.

A place is cleared in one go, layer under layer; rounds of one place are joined at depth, and from the last round of a
layer the cutter goes back to where the first one starts. Then it goes up and on to the nearest place that is left.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

from kitforge.model.identity import IdentityKey
from kitforge.model.kit import OperationKind
from kitforge.model.plan import Step
from kitforge.model.record import record
from kitforge_settings.room import chains_by_place

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Chain = NDArray[np.float64]

CLOSE = 0.05
"""Ends of a round that are so near are one, mm."""


@record
class Visits:
    """One copy of a step. places: how often the cutter goes down from above; joins: distances from round to round at
    depth; backs: of each place that it does not end where it began, the distance back; hops: distances from place to
    place above the work; all in mm."""

    places: int
    joins: tuple[float, ...]
    backs: tuple[float, ...]
    hops: tuple[float, ...]


def visits_of(step: Step) -> Visits:
    """Return the places of a step and what lies between them, worked out once for all machine classes."""
    return _visits(IdentityKey(step))


@lru_cache(maxsize=64)
def _visits(same: IdentityKey[Step]) -> Visits:
    step = same.one
    rounds = [place for place in chains_by_place(step) if place]
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
    import numpy as np

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
