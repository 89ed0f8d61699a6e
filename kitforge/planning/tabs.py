"""Holding tabs: how many, and where on the edge: on straight runs, away from corners, evenly spread."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.model.kit import Cutter, Operation, Side, Tabs
from kitforge.model.path import Path
from kitforge.model.plan import TabPlace

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from shapely import MultiPolygon
    from shapely.geometry.base import BaseGeometry

# Common practice, no source: at least 3 tabs per part, 100 to 250 mm apart, not on small curves.
LEAST_TABS = 3
LEAST_TABS_OF_WASTE = 2
LARGEST_SPACING = 200.0
SMALLEST_CURVE = 15.0
_SHIFTS = 24
# How far beyond the cut wood must stand, and in steps of what it is looked for, mm.
_BEYOND, _LOOK = 1.0, 2.0

Interval = tuple[float, float]


def needed_tabs(operation: Operation, cutter: Cutter, path: Path, for_force: int = 0) -> int:
    """Return how many tabs one loop of a through cut gets: the author's count, or by length and force.

    At least three hold a part and two a plug of waste; there are never more than fit beside each other.
    """
    hold = operation.hold
    if not isinstance(hold, Tabs):
        return 0
    if hold.count is not None:
        return hold.count
    least = LEAST_TABS if operation.side is Side.OUTSIDE else LEAST_TABS_OF_WASTE
    room = int(path.length / (3 * hold.width + 2 * cutter.diameter))
    return max(least, min(max(math.ceil(path.length / LARGEST_SPACING), for_force), room))


def place_tabs(
    operation: Operation, cutter: Cutter, for_force: int = 0, cut: MultiPolygon | None = None
) -> tuple[TabPlace, ...]:
    """Return the tabs of every closed loop of a through cut, or those the author placed.

    cut: what the operation takes away in plan view: a tab sits where wood stands on both sides of the cut.
    """
    hold = operation.hold
    closed = [path for path in operation.shapes if path.closed]
    if not isinstance(hold, Tabs) or not closed:
        return ()
    if hold.at:
        return tuple(_nearest(point, closed, hold) for point in hold.at)
    tabs: list[TabPlace] = []
    for path in closed:
        count = needed_tabs(operation, cutter, path, for_force)
        tabs += [_tab(path, distance, hold) for distance in spread(path, count, hold.width, cutter.diameter, cut)]
    return tuple(tabs)


def spread(path: Path, count: int, width: float, cutter: float, cut: MultiPolygon | None = None) -> list[float]:
    """Return `count` distances along a closed path, as even as the straight runs allow, lengths mm."""
    total = path.length
    runs = allowed_runs(path, width / 2 + cutter)
    joining = (_joining(path, some, cutter, cut) for some in runs) if cut is not None else iter(runs)
    allowed = next((some for some in joining if some), runs[0])
    shifts = [_placed(total, count, allowed, shift / _SHIFTS) for shift in range(_SHIFTS)]
    return min(shifts, key=lambda distances: _unevenness(distances, total))


def allowed_runs(path: Path, margin: float) -> list[list[Interval]]:
    """Return where tabs may sit, as distances along the path, best first; none of the lists is empty.

    Best are straight pieces less `margin` at each end, then curves of more than 15 mm radius, then all of the path.
    """
    straight, curved, inside, at = [], [], [], 0.0
    for piece in path.pieces():
        inner = (at + margin, at + piece.length - margin)
        if not piece.is_arc and inner[1] > inner[0]:
            straight.append(inner)
        elif piece.is_arc and inner[1] > inner[0] and piece.radius >= SMALLEST_CURVE:
            curved.append((at, at + piece.length))
            inside.append(inner)
        at += piece.length
    found = [straight, inside, curved] if straight else [curved]
    return [*(runs for runs in found if runs), [(0.0, at)]]


def _joining(path: Path, runs: Sequence[Interval], cutter: float, cut: MultiPolygon) -> list[Interval]:
    """Return the stretches of runs along which wood stands on both sides of the cut: there a tab joins something."""
    import numpy as np
    from shapely import contains_xy, prepare

    prepare(cut)
    found: list[Interval] = []
    for start, end in runs:
        marks = np.linspace(start, end, max(2, math.ceil((end - start) / _LOOK) + 1))
        stations = [path.point_at(float(mark)) for mark in marks]
        reach = cutter + _BEYOND
        sides = [[(s.x - way * s.dy, s.y + way * s.dx) for s in stations] for way in (-reach, reach)]
        free = ~np.any([contains_xy(cut, np.array(side)) for side in sides], axis=0)
        for a, b, both in zip(marks, marks[1:], free[1:] & free[:-1], strict=False):
            if both and found and found[-1][1] == a:
                found[-1] = (found[-1][0], float(b))
            elif both:
                found.append((float(a), float(b)))
    return found


def _placed(total: float, count: int, allowed: Sequence[Interval], shift: float) -> list[float]:
    wanted = [(index + shift) * total / count for index in range(count)]
    return sorted(min((_clamped(run, want) for run in allowed), key=lambda d: abs(d - want)) for want in wanted)


def _clamped(run: Interval, wanted: float) -> float:
    return min(max(wanted, run[0]), run[1])


def _unevenness(distances: Sequence[float], total: float) -> float:
    gaps = [b - a for a, b in zip(distances, [*distances[1:], distances[0] + total], strict=True)]
    return max(gaps) - min(gaps)


def _tab(path: Path, distance: float, hold: Tabs) -> TabPlace:
    station = path.point_at(distance)
    return TabPlace(station.x, station.y, math.degrees(math.atan2(station.dy, station.dx)), hold.width, hold.height)


def _nearest(point: tuple[float, float], paths: Sequence[Path], hold: Tabs) -> TabPlace:
    from shapely import LineString, Point

    lines = [(path, LineString(path.flatten())) for path in paths]
    path, line = min(lines, key=lambda pair: pair[1].distance(Point(point)))
    return _tab(path, line.project(Point(point)), hold)


def split_at_tabs(
    chains: Sequence[NDArray[np.float64]], tabs: Sequence[TabPlace], radius: float, leave: float = 0.0
) -> tuple[tuple[NDArray[np.float64], ...], tuple[NDArray[np.float64], ...]]:
    """Return the chains (below, over): what runs at full depth and what is lifted over the tabs.

    The cutter is lifted over the tab's width and its own radius on both sides, so that the tab is as wide as asked
    where it is narrowest, in the middle of the cut.
    """
    from shapely import LineString, union_all

    zones = union_all([_zone(tab, radius, leave) for tab in tabs])
    lines = [LineString(chain) for chain in chains if len(chain) > 1]
    below = [line for chain in lines for line in _lines(chain.difference(zones))]
    over = [line for chain in lines for line in _lines(chain.intersection(zones))]
    return tuple(below), tuple(over)


def _zone(tab: TabPlace, radius: float, leave: float) -> BaseGeometry:
    from shapely import box
    from shapely.affinity import rotate, translate

    along, across = tab.width / 2 + radius, 1.5 * radius + leave
    return translate(rotate(box(-along, -across, along, across), tab.angle, origin=(0, 0)), tab.x, tab.y)


def _lines(shape: BaseGeometry) -> list[NDArray[np.float64]]:
    import numpy as np

    parts = shape.geoms if hasattr(shape, "geoms") else (shape,)
    return [np.asarray(part.coords) for part in parts if part.geom_type == "LineString" and not part.is_empty]
