"""What the tabs of one loop must bear, and where on its edge they bear most. Lengths mm, N, degrees."""

from __future__ import annotations

import math
from collections.abc import Sequence

from kitforge.cutting.tab_strength import StandingTab, safety_of, sideways, standing_tab, upwards
from kitforge.model.kit import Stock
from kitforge.model.path import Path
from kitforge.model.record import record
from kitforge.model.steps import TabPlace

Interval = tuple[float, float]

# Edges are looked at in steps of this, mm; those count as strong that bear this share of the strongest one.
_STEP = 2.0
_STRONG = 0.7
_LOAD = 1e6


@record
class TabLoad:
    """The pull of the hardest cut: side force and lift N; the stock whose wood the tabs are.

    utmost: nothing is known of the pull, the tabs shall bear as much as they can.
    """

    sideways: float
    upwards: float
    stock: Stock
    utmost: bool = False

    def borne(self, tabs: Sequence[TabPlace], kerf: float, area: float) -> float:
        """Return the share of the load that tabs bear which hold a piece of an area, mm2, safety factor taken off."""
        standing = [self._standing(tab, kerf) for tab in tabs]
        if not standing:
            return 0.0
        safety = safety_of(area).value
        shares = (
            sideways(standing)[1].force / max(self.sideways, 1e-9),
            upwards(standing).force / max(self.upwards, 1e-9),
        )
        return min(shares) / safety

    def _standing(self, tab: TabPlace, kerf: float) -> StandingTab:
        return standing_tab(self.stock, tab.angle, tab.width, tab.height, kerf)

    def strongest_runs(self, path: Path, width: float, height: float, kerf: float) -> list[Interval]:
        """Return the stretches of a path where a tab bears most; none where all of them bear alike."""
        count = max(8, math.ceil(path.length / _STEP))
        marks = [index * path.length / count for index in range(count + 1)]
        angles = [_angle_at(path, mark) for mark in marks]
        by_angle = {angle: self._upwards(angle, width, height, kerf) for angle in dict.fromkeys(angles)}
        bears = [by_angle[angle] for angle in angles]
        if min(bears) >= _STRONG * max(bears):
            return []
        return _stretches(marks, [one >= _STRONG * max(bears) for one in bears])

    def _upwards(self, angle: float, width: float, height: float, kerf: float) -> float:
        return standing_tab(self.stock, angle, width, height, kerf).strength.up


def _angle_at(path: Path, distance: float) -> int:
    """Return the direction of a path in whole degrees."""
    station = path.point_at(distance)
    return round(math.degrees(math.atan2(station.dy, station.dx)))


def utmost(stock: Stock) -> TabLoad:
    """Return a load that no tabs bear, half as much upwards as sideways: about what a cutter that lifts chips pulls."""
    return TabLoad(_LOAD, _LOAD / 2, stock, utmost=True)


def _stretches(marks: Sequence[float], inside: Sequence[bool]) -> list[Interval]:
    found: list[Interval] = []
    for before, after, one, other in zip(marks, marks[1:], inside, inside[1:], strict=False):
        if one and other and found and found[-1][1] == before:
            found[-1] = found[-1][0], after
        elif one and other:
            found.append((before, after))
    return found
