"""Holding tabs: how many, how wide, and where on the edge.

They stand on straight runs, away from corners and evenly spread. Where that bears too little they go to where the grain
runs across the kerf, then there are more of them, then wider ones.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from shapely import LineString, MultiPolygon, Point, Polygon, box, contains_xy, prepare, union_all
from shapely.affinity import rotate, translate
from shapely.geometry.base import BaseGeometry

from kitforge.geometry.corners import SMOOTH_TURN, turn_between
from kitforge.model.identity import IdentityKey
from kitforge.model.kit import Cutter, Operation, Side, Tabs
from kitforge.model.path import Path
from kitforge.model.steps import TabPlace
from kitforge.planning.runs import Interval, free, marks_along, most_even, shared, stretches
from kitforge.planning.tab_load import TabLoad
from kitforge.workshop.cutting_data import cutting_data

# Common practice, no source: at least 3 tabs per part, 100 to 250 mm apart, not on small curves.
LEAST_TABS = 3
LEAST_TABS_OF_WASTE = 2
LARGEST_SPACING = 200.0
SMALLEST_CURVE = 15.0
# How far beyond the cut wood must stand, and in steps of what it is looked for, mm.
BEYOND, _LOOK = 1.0, 2.0
# A loop with more tabs than this is metres long: they bear enough wherever they stand, and not every number is tried.
_MANY = 64
# Tabs that the plan makes wider become so wide, mm; and better ones are better by this share.
_WIDER = (10.0, 12.0)
_BETTER = 1e-6


def needed_tabs(operation: Operation, cutter: Cutter, path: Path) -> int:
    """Return how many tabs one loop of a through cut has at least: the author's count, or by its length.

    At least three hold a part and two a plug of waste; there are never more than fit beside each other.
    """
    hold = operation.hold
    if not isinstance(hold, Tabs):
        return 0
    if hold.count is not None:
        return hold.count
    least = LEAST_TABS if operation.side is Side.OUTSIDE else LEAST_TABS_OF_WASTE
    return max(least, min(math.ceil(path.length / LARGEST_SPACING), _room(hold.width, cutter, path)))


def most_tabs(operation: Operation, cutter: Cutter, path: Path, width: float) -> int:
    """Return how many tabs of a width one loop may get: eight, or one each 100 mm; never more than fit."""
    practice, least = cutting_data().tabs, needed_tabs(operation, cutter, path)
    hold = operation.hold
    if not isinstance(hold, Tabs) or hold.count is not None:
        return least
    most = max(int(practice.most.value), math.ceil(path.length / practice.spacing.low))
    return max(least, min(most, _room(width, cutter, path)))


def _room(width: float, cutter: Cutter, path: Path) -> int:
    return int(path.length / (3 * width + 2 * cutter.diameter))


def place_tabs(
    operation: Operation, load: TabLoad | None = None, cut: MultiPolygon | None = None
) -> tuple[TabPlace, ...]:
    """Return the tabs of every closed loop of a through cut, or those the author placed: the same for all its passes.

    load: what they must bear; None: nobody knows yet. cut: what the operation takes away in plan view, and what others
    take beside it: a tab sits where wood stands on both sides of the cut.
    """
    hold = operation.hold
    closed = [path for path in operation.shapes if path.closed]
    if not isinstance(hold, Tabs) or not closed:
        return ()
    if hold.at:
        return tuple(nearest_tab(point, closed, hold)[1] for point in hold.at)
    cutter, tabs = widest_cutter(operation), list[TabPlace]()
    for path in closed:
        tabs += _on_loop(operation, hold, cutter, path, load, cut)
    return tuple(tabs)


def widest_cutter(operation: Operation) -> Cutter:
    """Return the widest cutter of the passes of an operation: between two tabs there is room for each of them."""
    passes = (operation.roughing, operation.finishing)
    return max((one.cutter for one in passes if one is not None), key=lambda cutter: cutter.diameter)


def _on_loop(
    operation: Operation, hold: Tabs, cutter: Cutter, path: Path, load: TabLoad | None, cut: MultiPolygon | None
) -> list[TabPlace]:
    """Return the tabs of one loop: the first that bear the load; where none do, those that bear most of it."""
    if load is None:
        count = needed_tabs(operation, cutter, path)
        return [_tab(path, place, hold) for place in spread(path, count, hold.width, cutter.diameter, cut)]
    area = enclosed(operation, load.kerf, path)
    best, most = list[TabPlace](), -1.0
    for tabs in _tried(operation, hold, cutter, path, load, cut):
        share = load.borne(tabs, area)
        if share > most * (1 + _BETTER):
            best, most = tabs, share
        if share >= 1:
            break
    return best


def _tried(
    operation: Operation, hold: Tabs, cutter: Cutter, path: Path, load: TabLoad, cut: MultiPolygon | None
) -> Iterator[list[TabPlace]]:
    """Yield ever stronger tabs: spread evenly, on the strongest edges first, more of them, wider ones."""
    least, widest = needed_tabs(operation, cutter, path), cutting_data().tabs.widest.value
    widths = [hold.width]
    if hold.open_width:
        widths += [width for width in _WIDER if hold.width < width <= widest]
    for width in widths:
        wide, most = replace(hold, width=width), most_tabs(operation, cutter, path, width)
        strong = load.strongest_runs(path, width, hold.height)
        tiers = _good(list(_tiers(path, width, cutter.diameter, cut)), path, wide, least, cutter)
        for count in [most] if load.utmost else _counts(min(least, most), most):
            yield [_tab(path, place, wide) for place in _on_tiers(path, count, tiers, width + 2 * cutter.diameter)]
            if strong and count <= _MANY:
                yield _strongest_first(path, wide, count, cutter, tiers, strong)


def _counts(least: int, most: int) -> Iterable[int]:
    """Return how many tabs are tried: each number from the least to the most, or some of them where these are many."""
    step = max(1, (most - least) // _MANY)
    return [*range(least, most, step), most]


def _good(tiers: list[list[Interval]], path: Path, hold: Tabs, least: int, cutter: Cutter) -> list[list[Interval]]:
    """Return where more tabs may go: not into corners, where they are hard to cut, unless the least many have to."""
    clear = _off_corners(path, hold.width / 2 + cutter.radius)
    good = [found for tier in tiers if (found := shared(tier, clear))]
    return good if len(_on_tiers(path, least, good, hold.width + 2 * cutter.diameter)) >= least else tiers


def _off_corners(path: Path, margin: float) -> list[Interval]:
    """Return the stretches of a closed path that are so far from its sharp corners, along the path."""
    return free([(0.0, path.length)], _sharp_corners(IdentityKey(path)), margin, path.length)


@lru_cache(maxsize=64)
def _sharp_corners(along: IdentityKey[Path]) -> tuple[float, ...]:
    """Return where the sharp corners of a closed path are. Kept, because tabs of each width ask for them."""
    pieces = [piece for piece in along.one.pieces() if piece.length > 0]
    ends = list(itertools.accumulate(piece.length for piece in pieces))
    turns = zip(ends, pieces, [*pieces[1:], *pieces[:1]], strict=True)
    return tuple(end for end, before, after in turns if abs(turn_between(before, after)) > SMOOTH_TURN)


def _strongest_first(
    path: Path, hold: Tabs, count: int, cutter: Cutter, tiers: Sequence[Sequence[Interval]], strong: Sequence[Interval]
) -> list[TabPlace]:
    """Return tabs on the strongest edges; what is left where these are full, or too far from each other, elsewhere."""
    apart = hold.width + 2 * cutter.diameter
    runs = [both for tier in tiers if (both := shared(tier, strong))]
    found: list[float] = []
    widest = cutting_data().tabs.spacing.high
    # tabs that are too few for their path are too far from each other wherever they stand
    firsts = range(count, 0, -1) if path.length <= count * widest else [1]
    for first in firsts:
        found = _on_tiers(path, first, runs, apart)
        while len(found) < count:
            more = _in_widest_gap(path.length, found, tiers, apart)
            if more is None:
                break
            found = sorted([*found, more])
        if _widest_gap(found, path.length)[0] <= widest:
            break
    return [_tab(path, distance, hold) for distance in found]


def _widest_gap(places: Sequence[float], total: float) -> tuple[float, float]:
    """Return the widest gap between neighbours along a closed path, and where its middle is."""
    if not places:
        return total, 0.0
    gaps = zip(places, [*places[1:], places[0] + total], strict=True)
    return max((b - a, (a + b) / 2 % total) for a, b in gaps)


def _in_widest_gap(
    total: float, places: Sequence[float], tiers: Sequence[Sequence[Interval]], apart: float
) -> float | None:
    """Return the place nearest to the middle of the widest gap that has room for one more."""
    _gap, middle = _widest_gap(places, total)
    for tier in tiers:
        left = free(tier, places, apart, total)
        if left:
            return min((_clamped(run, middle) for run in left), key=lambda d: _around(d - middle, total))
    return None


def _around(distance: float, total: float) -> float:
    return min(abs(distance), total - abs(distance))


def enclosed(operation: Operation, kerf: float, path: Path) -> float:
    """Return the area of the piece that a loop cuts out, mm2; kerf: how wide the cut is, mm."""
    area = Polygon(path.flatten())
    return float(area.area if operation.side is Side.OUTSIDE else area.buffer(-kerf).area)


def spread(path: Path, count: int, width: float, cutter: float, cut: MultiPolygon | None = None) -> list[float]:
    """Return up to `count` distances along a closed path, as even as the straight runs allow, lengths mm.

    Between two tabs the cutter comes down to full depth, or they were one. Where the good runs have no room for all,
    worse ones are taken too; where the path has none, there are fewer.
    """
    return _on_tiers(path, count, _tiers(path, width, cutter, cut), width + 2 * cutter)


def _on_tiers(path: Path, count: int, tiers: Iterable[Sequence[Interval]], apart: float) -> list[float]:
    best: list[float] = []
    for allowed in tiers:
        found = most_even(path.length, count, allowed, apart)
        best = found if len(found) > len(best) else best
        if len(best) == count:
            break
    return best


def _tiers(path: Path, width: float, cutter: float, cut: MultiPolygon | None) -> Iterator[list[Interval]]:
    """Yield where tabs may sit: the best runs, then these and the next best, and so on."""
    taken: list[Interval] = []
    for runs in allowed_runs(path, width / 2 + cutter):
        joined = runs if cut is None else _joining(IdentityKey(path), tuple(runs), cutter, IdentityKey(cut))
        taken = [*taken, *joined]
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


@lru_cache(maxsize=64)
def _joining(
    along: IdentityKey[Path], runs: tuple[Interval, ...], cutter: float, taken: IdentityKey[MultiPolygon]
) -> tuple[Interval, ...]:
    """Return the stretches of runs along which wood stands on both sides of the cut: there a tab joins something.

    Kept, because a plan asks for the same runs before it knows the load, for the utmost load, and for the load.
    """
    path, cut = along.one, taken.one
    prepare(cut)
    marks, follows = marks_along(runs, _LOOK)
    stations = path.points_at(marks)
    reach = cutter + BEYOND
    sides = [stations[:, :2] + way * reach * stations[:, [3, 2]] * (-1, 1) for way in (-1, 1)]
    wood = ~np.any([contains_xy(cut, side) for side in sides], axis=0)
    return tuple(stretches(marks, follows & wood[1:] & wood[:-1]))


def _clamped(run: Interval, wanted: float) -> float:
    return min(max(wanted, run[0]), run[1])


def _tab(path: Path, distance: float, hold: Tabs) -> TabPlace:
    station = path.point_at(distance)
    return TabPlace(station.x, station.y, math.degrees(math.atan2(station.dy, station.dx)), hold.width, hold.height)


def nearest_tab(point: tuple[float, float], paths: Sequence[Path], hold: Tabs) -> tuple[int, TabPlace]:
    """Return the tab on the paths that is nearest to a point, with the index of its path."""
    spot, lines = Point(point), [LineString(path.flatten()) for path in paths]
    index = min(range(len(paths)), key=lambda number: lines[number].distance(spot))
    return index, _tab(paths[index], lines[index].project(spot), hold)


def split_at_tabs(
    chains: Sequence[NDArray[np.float64]], tabs: Sequence[TabPlace], radius: float, leave: float = 0.0
) -> tuple[tuple[NDArray[np.float64], ...], tuple[NDArray[np.float64], ...]]:
    """Return the chains (below, over): what runs at full depth and what is lifted over the tabs.

    The cutter is lifted over the tab's width and its own radius on both sides, so that the tab is as wide as asked
    where it is narrowest, in the middle of the cut.
    """
    zones = lifted_over(tabs, radius, leave)
    lines = [LineString(chain) for chain in chains if len(chain) > 1]
    below = [line for chain in lines for line in _lines(chain.difference(zones))]
    over = [line for chain in lines for line in _lines(chain.intersection(zones))]
    return tuple(below), tuple(over)


def lifted_over(tabs: Sequence[TabPlace], radius: float, leave: float, beyond: float = 0.0) -> BaseGeometry:
    """Return the places in which the middle of a cutter is lifted over tabs, and so much beyond them, mm."""
    return union_all([_zone(tab, radius, leave, beyond) for tab in tabs])


def _zone(tab: TabPlace, radius: float, leave: float, beyond: float) -> BaseGeometry:
    along, across = tab.width / 2 + radius + beyond, 1.5 * radius + leave + beyond
    return translate(rotate(box(-along, -across, along, across), tab.angle, origin=(0, 0)), tab.x, tab.y)


def _lines(shape: BaseGeometry) -> list[NDArray[np.float64]]:
    parts = shape.geoms if hasattr(shape, "geoms") else (shape,)
    return [np.asarray(part.coords) for part in parts if part.geom_type == "LineString" and not part.is_empty]
