"""Holding tabs: how many, and where on the edge: on straight runs, away from corners, evenly spread."""

from __future__ import annotations

import math
from collections.abc import Sequence

from kitforge.model.kit import Cutter, Operation, Side, Tabs
from kitforge.model.path import Path
from kitforge.model.plan import TabPlace

# Common practice, no source: at least 3 tabs per part, 100 to 250 mm apart, not on small curves.
LEAST_TABS = 3
LEAST_TABS_OF_WASTE = 2
LARGEST_SPACING = 200.0
SMALLEST_CURVE = 15.0
_SHIFTS = 24

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


def place_tabs(operation: Operation, cutter: Cutter, for_force: int = 0) -> tuple[TabPlace, ...]:
    """Return the tabs of every closed loop of a through cut, or those the author placed."""
    hold = operation.hold
    closed = [path for path in operation.shapes if path.closed]
    if not isinstance(hold, Tabs) or not closed:
        return ()
    if hold.at:
        return tuple(_nearest(point, closed, hold) for point in hold.at)
    tabs: list[TabPlace] = []
    for path in closed:
        count = needed_tabs(operation, cutter, path, for_force)
        tabs += [_tab(path, distance, hold) for distance in spread(path, count, hold.width, cutter.diameter)]
    return tuple(tabs)


def spread(path: Path, count: int, width: float, cutter: float) -> list[float]:
    """Return `count` distances along a closed path, as even as the straight runs allow, lengths mm."""
    total = path.length
    allowed = allowed_runs(path, width / 2 + cutter)
    shifts = [_placed(total, count, allowed, shift / _SHIFTS) for shift in range(_SHIFTS)]
    return min(shifts, key=lambda distances: _unevenness(distances, total))


def allowed_runs(path: Path, margin: float) -> list[Interval]:
    """Return where tabs may sit, as distances along the path: straight pieces less `margin` at each end.

    A path without such runs may use its curves of more than 15 mm radius, and failing that all of itself.
    """
    straight, curved, at = [], [], 0.0
    for piece in path.pieces():
        inner = (at + margin, at + piece.length - margin)
        if inner[1] > inner[0]:
            if not piece.is_arc:
                straight.append(inner)
            elif piece.radius >= SMALLEST_CURVE:
                curved.append((at, at + piece.length))
        at += piece.length
    return straight or curved or [(0.0, at)]


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
