"""The dimensions in the plan of a step, after ISO 129-1: along X above the part, along Y at its left, the size beside
what is cut with a leader to it. Words cover neither a line nor other words; coordinates are mm of paper.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shapely import LineString, box, prepare
from shapely.geometry.base import BaseGeometry

from kitforge.pictures.drawn.placing import Box, LabelPlace, Leader, box_around, words_width
from kitforge.print.svg import INK, num

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from kitforge.model.kit import Spot
    from kitforge.pictures.drawn.placing import Ground
    from kitforge.pictures.drawn.plan_sizes import Distance, PlanSizes
    from kitforge.print.figures import Measure
    from kitforge.print.svg import PlanView, SvgCanvas

WORDS = 2.85
"""Size of the figures, 8 pt, mm."""
_TALL = 0.74 * WORDS
_OFF, _OVER, _BEYOND, _GAP = 2.5, 0.75, 0.3, 0.6
"""From the part to a dimension line, from that to the feet of its words, how far extension lines go beyond it and from
what they begin, mm."""
ROOM = _OFF + _OVER + _TALL + 0.55
"""What a dimension needs beside the part, mm, with the feet of brackets."""
_ARROW, _INNER, _TAIL, _LINE = 1.5, 4.0, 2.6, 0.18
"""Length of an arrow, the shortest line with arrows inside it, how far arrows from outside reach, width of lines."""
ROW = 4.3
"""What a row of words below the part needs, mm."""
_CLEAR = 2.2
"""From the part to words in the row below it, mm."""
_COMPARED = 24
"""So many clear places, the nearest, are compared by the lines that their leaders cross."""
_AIR = 1.2
"""What stays clear before and after a figure, so that two of them are not read as one, mm."""
_REACHES, _FEET, _ALONG, _EDGE = (2.0, 3.0, 4.5, 6.5, 9.0, 12.0, 16.0), 12, 10, 0.6


@dataclass(frozen=True, slots=True)
class PlanGround:
    """What a plan already holds: words and lines, what is shown as cut, the box around all of it on paper.

    crowded: whether words of a dimension along X may stand in the corner above the one along Y.
    """

    ground: Ground
    cut: BaseGeometry | None
    bounds: Box
    crowded: bool = False


def draw_dimensions(canvas: SvgCanvas, on: PlanGround, sizes: PlanSizes, view: PlanView) -> bool:
    """Draw the figures of a plan; return whether there was a clear place for all of them."""
    if sizes.across is not None:
        _draw_distance(canvas, on, sizes.across, view, level=True)
    if sizes.up is not None:
        _draw_distance(canvas, on, sizes.up, view, level=False)
    if sizes.right is not None:
        _draw_distance(canvas, on, sizes.right, view, level=False, out=1.0)
    if sizes.size is not None and sizes.edge is not None:
        return _draw_size(canvas, on, sizes.size, [(view.x(x), view.y(y)) for x, y in sizes.edge.tolist()], view)
    return True


def _draw_distance(
    canvas: SvgCanvas, on: PlanGround, one: Distance, view: PlanView, *, level: bool, out: float = -1.0
) -> None:
    """Draw a dimension along X above, or with `level` false along Y at the left; at the right where `out` is 1."""
    if level:
        ends, starts = (view.x(one.low), view.x(one.high)), (view.y(one.from_low), view.y(one.from_high))
        line, room = on.bounds.top - _OFF, (0.2, canvas.width - 0.2)
    else:
        ends, starts = (view.y(one.high), view.y(one.low)), (view.x(one.from_high), view.x(one.from_low))
        # words of the other dimension may stand in the corner above
        side, above = on.bounds.right if out > 0 else on.bounds.left, on.bounds.top - _OFF / 2
        line, room = side + _OFF * out, (max(0.2, above) if on.crowded else 0.2, canvas.height - 0.2)
    for at, start in zip(ends, starts, strict=True):
        _line(canvas, on.ground, (at, start + _GAP * out), (at, line + _BEYOND * out), level)
    _draw_arrows(canvas, on.ground, ends, line, level)
    words = _that_fits(one.words, ends, room)
    half = words_width(words, WORDS) / 2
    middle = min(max((ends[0] + ends[1]) / 2, room[0] + half), room[1] - half)
    foot = line + _OVER * out + (_TALL if out > 0 else 0.0)
    x, y = _swap((middle, foot), level)
    canvas.text(x, y, words, size=WORDS, anchor="middle", turn=0.0 if level else -90.0)
    mx, my = _swap((middle, foot - _TALL / 2), level)
    on.ground.take(box_around(mx, my, *_swap((2 * half + 2 * _AIR, _TALL), level)))


def _swap(pair: Spot, level: bool) -> Spot:
    return pair if level else (pair[1], pair[0])


def _line(canvas: SvgCanvas, ground: Ground, one: Spot, other: Spot, level: bool) -> None:
    (x0, y0), (x1, y1) = _swap(one, level), _swap(other, level)
    canvas.line(x0, y0, x1, y1, width=_LINE)
    ground.add_line(x0, y0, x1, y1)


def _draw_arrows(canvas: SvgCanvas, ground: Ground, ends: Spot, line: float, level: bool) -> None:
    """Draw the dimension line with its arrows; of a short one they stand outside."""
    low, high = ends
    inside = high - low >= _INNER
    tail = 0.0 if inside else _TAIL
    _line(canvas, ground, (low - tail, line), (high + tail, line), level)
    for at, toward in ((low, -1.0), (high, 1.0)):
        way = toward if inside else -toward
        _arrow(canvas, _swap((at, line), level), _swap((way, 0.0), level))


def _arrow(canvas: SvgCanvas, tip: Spot, way: Spot) -> None:
    """Draw an arrowhead with its point at `tip` that points along `way`, a unit vector on paper."""
    turn = math.atan2(way[1], way[0])
    corners = [tip]
    for side in (math.radians(168), math.radians(-168)):
        corners.append((tip[0] + _ARROW * math.cos(turn + side), tip[1] + _ARROW * math.sin(turn + side)))
    canvas.path("M" + "L".join(f"{num(a)} {num(b)}" for a, b in corners) + "Z", fill=INK)


def _that_fits(size: Measure, ends: Spot, room: Spot) -> str:
    """Return a length in both unit systems if there is room over its line, or nothing is said beside it."""
    wide = words_width(str(size), WORDS)
    return str(size) if wide <= max(ends[1] - ends[0], min(room[1] - room[0], 1.6 * (ends[1] - ends[0]))) else size.main


def _draw_size(canvas: SvgCanvas, on: PlanGround, size: Measure, edge: Sequence[Spot], view: PlanView) -> bool:
    """Draw the size of what is cut where it covers nothing, with a leader to it; return whether there is a place."""
    for words in dict.fromkeys((str(size), size.main)):
        wide = words_width(words, WORDS)
        places = sorted((*_beside(edge, wide), *_in_rows(edge, wide, on, canvas)), key=lambda one: one.cost)
        clear = (one for one in places if _is_clear(on, one, box_around(one.x, one.y, wide, _TALL), view))
        place = on.ground.choose(itertools.islice(clear, _COMPARED), wide + _EDGE, _TALL + _EDGE)
        if place is not None and place.leader is not None:
            x0, y0, x1, y1 = place.leader
            canvas.line(x0, y0, x1, y1, width=_LINE)
            long = max(math.hypot(x0 - x1, y0 - y1), 1e-9)
            _arrow(canvas, (x0, y0), ((x0 - x1) / long, (y0 - y1) / long))
            canvas.text(place.x, place.y + _TALL / 2, words, size=WORDS, anchor="middle", halo=True)
            return True
    return False


def _is_clear(on: PlanGround, place: LabelPlace, words: Box, view: PlanView) -> bool:
    """Whether words cover neither other words, nor a line, nor what is shown as cut."""
    around = Box(words.left - _EDGE, words.top - _EDGE, words.right + _EDGE, words.bottom + _EDGE)
    if not on.ground.is_free(around, place.leader) or on.ground.has_ink(around):
        return False
    if on.cut is None:
        return True
    left, right = ((x - view.left) / view.scale for x in (words.left, words.right))
    low, high = ((view.bottom - y) / view.scale for y in (words.bottom, words.top))
    return not on.cut.intersects(box(left, low, right, high))


def _beside(edge: Sequence[Spot], wide: float) -> Iterator[LabelPlace]:
    """Places all round the edge, the nearest first; a leader stands on the edge or comes from within."""
    for number, (x, y) in enumerate(_feet(edge)):
        for reach in _REACHES:
            for turn in range(0, 360, 30):
                dx, dy = math.cos(math.radians(turn)), math.sin(math.radians(turn))
                out = reach + min(wide / 2 / max(abs(dx), 1e-9), _TALL / 2 / max(abs(dy), 1e-9)) + _EDGE
                leader = Leader(x, y, x + dx * reach, y + dy * reach)
                yield LabelPlace(x + dx * out, y + dy * out, leader, reach + 0.01 * number)


def _in_rows(edge: Sequence[Spot], wide: float, on: PlanGround, canvas: SvgCanvas) -> Iterator[LabelPlace]:
    """Places in the row above the part and in those below it, with a leader to the edge."""
    below = on.bounds.bottom + _TALL / 2 + _CLEAR
    for row in (_TALL / 2 + 0.5, below, canvas.height - _TALL / 2 - 0.5):
        for number, (x, y) in enumerate(_feet(edge)):
            toward = 1.0 if row < y else -1.0
            for step in range(_ALONG + 1):
                at = _between(step / _ALONG, wide / 2 + _EDGE, canvas.width - wide / 2 - _EDGE)
                end = min(max(x, at - wide / 2 + 1.0), at + wide / 2 - 1.0), row + toward * (_TALL / 2 + _EDGE)
                cost = 2.0 + math.hypot(end[0] - x, end[1] - y) + 0.01 * number
                yield LabelPlace(at, row, Leader(x, y, *end), cost)


def _between(share: float, low: float, high: float) -> float:
    return low + share * (high - low)


def _feet(edge: Sequence[Spot]) -> list[Spot]:
    """Return some points of an edge, evenly along it."""
    if len(edge) < 2:
        return list(edge)
    run = LineString(edge)
    spots = [run.interpolate((index + 0.5) / _FEET, normalized=True) for index in range(_FEET)]
    return [(spot.x, spot.y) for spot in spots]


def prepared(cut: BaseGeometry | None) -> BaseGeometry | None:
    """Return what is shown as cut, ready to be looked into many times."""
    if cut is not None:
        prepare(cut)
    return cut
