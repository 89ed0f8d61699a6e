"""The arrow on a step's cut that shows which way the cutter runs along it."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from itertools import accumulate, pairwise
from typing import TYPE_CHECKING

from shapely import LinearRing, LineString, Point
from shapely.affinity import scale

from kitforge.model.kit import Face, Spot
from kitforge.print.svg import INK, num

if TYPE_CHECKING:
    from kitforge.model.steps import Step
    from kitforge.print.svg import PlanView, SvgCanvas

_LONG, _HEAD = 9.0, 2.0
"""Length of the arrow and of its head on paper, mm."""
_PLACES = 24
"""So many places along a way are tried: the arrow stands on the straightest of those that are clear of marks."""


def way_of(step: Step, clockwise: bool) -> LineString | None:
    """Return the longest round of a step, mm of the part as it lies, run the way that is wanted; None for none."""
    rounds = [LinearRing(chain[:, :2]) for chain in (step.travel.chains if step.travel else ()) if len(chain) > 3]
    if not rounds:
        return None
    longest = max(rounds, key=lambda one: one.length)
    if step.face is not Face.TOP:
        longest = scale(longest, -1.0, 1.0, origin=(step.part.outline.bounds.centre[0], 0.0))
    spots = list(longest.coords)
    return LineString(spots if longest.is_ccw is not clockwise else spots[::-1])


def draw_way(canvas: SvgCanvas, way: LineString | None, view: PlanView, marks: Sequence[Spot] = ()) -> None:
    """Draw an arrow along a way, clear of marks, where it is straightest; nothing on one shorter than two heads."""
    if way is None or way.length * view.scale < 2 * _HEAD:
        return
    long = min(_LONG / view.scale, way.length / 3) if way.is_ring else way.length
    starts = [(way.length - long) * place / (_PLACES - 1) for place in range(_PLACES)]
    runs = stretches_of(way, starts, long) if way.is_ring else [way]
    run = max(runs, key=lambda one: (_clear(one, marks, view), round(math.dist(one.coords[0], one.coords[-1]), 6)))
    points = [(view.x(x), view.y(y)) for x, y in run.coords]
    data = "M" + "L".join(f"{num(x)} {num(y)}" for x, y in points)
    head = _head(points[-2], points[-1])
    for colour, wide in (("#ffffff", 1.3), (INK, 0.5)):
        canvas.path(data, stroke=colour, width=wide)
        canvas.path(head, fill=INK, stroke=colour, width=wide / 2)


def stretches_of(way: LineString, starts: Sequence[float], long: float) -> list[LineString]:
    """Return the stretches of a way that begin so far along it and are `long` mm long, with its corners between.

    As `shapely.ops.substring` does, which would measure the whole way for each of them.
    """
    spots = list(way.coords)
    sides = (((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5 for a, b in pairwise(spots))
    along = list(accumulate(sides, initial=0.0))[:-1]
    found: list[LineString] = []
    for start in starts:
        ends = [way.interpolate(at).coords[0] for at in (start, start + long)]
        between = spots[bisect_right(along, start) : bisect_left(along, start + long)]
        found.append(LineString([ends[0], *between, ends[1]]))
    return found


def _clear(run: LineString, marks: Sequence[Spot], view: PlanView) -> bool:
    return all(run.distance(Point(mark)) * view.scale > _HEAD for mark in marks)


def _head(before: tuple[float, float], tip: tuple[float, float]) -> str:
    turn = math.atan2(tip[1] - before[1], tip[0] - before[0])
    ahead = (tip[0] + _HEAD / 2 * math.cos(turn), tip[1] + _HEAD / 2 * math.sin(turn))
    sides = [
        (ahead[0] + _HEAD * math.cos(turn + side), ahead[1] + _HEAD * math.sin(turn + side))
        for side in (math.radians(155), math.radians(-155))
    ]
    return "M" + "L".join(f"{num(x)} {num(y)}" for x, y in (ahead, *sides)) + "Z"
