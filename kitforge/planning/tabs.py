"""Holding tabs: how many, and where on the edge: on straight runs, away from corners, evenly spread."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
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
    """Return up to `count` distances along a closed path, as even as the straight runs allow, lengths mm.

    Between two tabs the cutter comes down to full depth, or they were one. Where the good runs have no room for all,
    worse ones are taken too; where the path has none, there are fewer.
    """
    total, apart = path.length, width + 2 * cutter
    best: list[float] = []
    for allowed in _tiers(path, width, cutter, cut):
        shifts = [_placed(total, count, allowed, shift / _SHIFTS, apart) for shift in range(_SHIFTS)]
        found = min(shifts, key=lambda distances: (-len(distances), _unevenness(distances, total)))
        best = found if len(found) > len(best) else best
        if len(best) == count:
            break
    return best


def _tiers(path: Path, width: float, cutter: float, cut: MultiPolygon | None) -> Iterator[list[Interval]]:
    """Yield where tabs may sit: the best runs, then these and the next best, and so on."""
    taken: list[Interval] = []
    for runs in allowed_runs(path, width / 2 + cutter):
        taken = taken + (_joining(path, runs, cutter, cut) if cut is not None else runs)
        if taken:
            yield taken
    if not taken:
        yield [(0.0, path.length)]


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


def _placed(total: float, count: int, allowed: Sequence[Interval], shift: float, apart: float) -> list[float]:
    """Return the places nearest to even ones that are `apart` from each other; fewer where there is no more room."""
    found: list[float] = []
    for index in range(count):
        want = (index + shift) * total / count
        runs = _free(allowed, found, apart, total)
        if runs:
            found.append(min((_clamped(run, want) for run in runs), key=lambda d: abs(d - want)))
    return sorted(found)


def _free(runs: Sequence[Interval], taken: Sequence[float], apart: float, total: float) -> list[Interval]:
    """Return what of runs along a closed path is far enough from the places that are taken."""
    left = list(runs)
    for place in taken:
        for low, high in ((place + turn - apart, place + turn + apart) for turn in (-total, 0.0, total)):
            pieces = [(start, end, min(end, low), max(start, high)) for start, end in left]
            left = [one for a, b, c, d in pieces for one in _two(a, b, c, d)]
    return left


def _two(start: float, end: float, low: float, high: float) -> Iterator[Interval]:
    """Yield what is left of a run, start to low and high to end; a run that is one place stays one."""
    if low >= end or high <= start:
        yield start, end
        return
    if start <= low:
        yield start, low
    if high <= end:
        yield high, end


def _clamped(run: Interval, wanted: float) -> float:
    return min(max(wanted, run[0]), run[1])


def _unevenness(distances: Sequence[float], total: float) -> float:
    if not distances:
        return math.inf
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
