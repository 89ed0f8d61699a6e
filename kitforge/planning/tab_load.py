"""What the tabs of one loop must bear, and where on its edge they bear most. Lengths mm, N, degrees."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from kitforge.cutting.tab_strength import safety_of, sideways, standing_tab, upwards
from kitforge.model.identity import IdentityKey
from kitforge.model.kit import Stock
from kitforge.model.path import Path
from kitforge.model.record import record
from kitforge.model.steps import TabPlace
from kitforge.planning.runs import Interval, stretches

# Edges are looked at in steps of this, mm; those count as strong that bear this share of the strongest one.
_STEP = 2.0
_STRONG = 0.7
_LOAD = 1e6


@record
class Pull:
    """The hardest pull of one pass at what its tabs hold: side force and lift, N; how wide the cut is then, mm."""

    sideways: float
    upwards: float
    kerf: float


@record
class TabLoad:
    """What the tabs of a cut bear one after the other: the hardest pull of each pass; the stock whose wood they are.

    utmost: nothing is known of the pull, the tabs shall bear as much as they can.
    """

    pulls: tuple[Pull, ...]
    stock: Stock
    utmost: bool = False

    @property
    def kerf(self) -> float:
        """How wide the cut is in the end, mm."""
        return max(pull.kerf for pull in self.pulls)

    def borne(self, tabs: Sequence[TabPlace], area: float) -> float:
        """Return the share of the load that tabs bear which hold a piece of an area, mm2, safety factor taken off."""
        if not tabs:
            return 0.0
        return min(self._share(pull, tabs) for pull in self.pulls) / safety_of(area).value

    def _share(self, pull: Pull, tabs: Sequence[TabPlace]) -> float:
        standing = [standing_tab(self.stock, tab.angle, tab.width, tab.height, pull.kerf) for tab in tabs]
        return min(
            sideways(standing)[1].force / max(pull.sideways, 1e-9), upwards(standing).force / max(pull.upwards, 1e-9)
        )

    def strongest_runs(self, path: Path, width: float, height: float) -> list[Interval]:
        """Return the stretches of a path where a tab bears most; none where all of them bear alike."""
        marks, directions = _directions(IdentityKey(path))
        angles, place = np.unique(directions, return_inverse=True)
        by_angle = np.array([self.lift_of(angle, width, height) for angle in angles.tolist()])
        strong = by_angle >= _STRONG * by_angle.max()
        if strong.all():
            return []
        inside = strong[place]
        return stretches(marks, inside[:-1] & inside[1:])

    def lift_of(self, angle: float, width: float, height: float) -> float:
        """Return what a tab on an edge of a direction in degrees bears when the piece is lifted, N; lengths mm."""
        return standing_tab(self.stock, angle, width, height, self.kerf).strength.up


@lru_cache(maxsize=64)
def _directions(along: IdentityKey[Path]) -> tuple[NDArray[np.float64], NDArray[np.intp]]:
    """Return marks along a path and its direction at each, whole degrees. Kept, because tabs of each width ask."""
    path = along.one
    count = max(8, math.ceil(path.length / _STEP))
    marks = np.arange(count + 1) * path.length / count
    ways = path.points_at(marks)[:, 2:].tolist()
    return marks, np.array([round(math.degrees(math.atan2(dy, dx))) for dx, dy in ways], dtype=np.intp)


def utmost(stock: Stock, kerf: float) -> TabLoad:
    """Return a load that no tabs bear, half as much upwards as sideways: about what a cutter that lifts chips pulls."""
    return TabLoad((Pull(_LOAD, _LOAD / 2, kerf),), stock, utmost=True)
