"""The dimensions of a drawing: overall size, positions from the datum, radii of rounded corners, the datum itself."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.geometry.extent import Form
from kitforge.model.path import is_circle
from kitforge.pictures.drawn.features import is_feature
from kitforge.pictures.drawn.marks import zero_mark
from kitforge.pictures.drawn.placing import Box, LabelPlace, Leader, box_around, words_width
from kitforge.pictures.drawn.stations import REACH
from kitforge.planning.overall import part_extent
from kitforge.print.svg import INK, num

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from kitforge.geometry.extent import Extent
    from kitforge.model.kit import Part, Spot
    from kitforge.model.piece import Piece
    from kitforge.pictures.drawn.pen import Pen
    from kitforge.pictures.drawn.placing import Ground
    from kitforge.pictures.drawn.stations import DrawingFrame
    from kitforge.print.figures import Measure, Units
    from kitforge.print.svg import PlanView, SvgCanvas

_ZERO = 1.6
_Ends = tuple[float, float]
_MOST_RADII, _LARGEST_RADIUS = 4, 1000.0


def draw_overall(
    canvas: SvgCanvas, ground: Ground, part: Part, frame: DrawingFrame, view: PlanView, units: Units, pen: Pen
) -> None:
    """Draw the overall length above the part and the overall width at its right, along the part's own axes."""
    box, extent = part.outline.bounds, part_extent(part)
    if extent.form is Form.ROUND:
        left, right, top = view.x(box.left), view.x(box.right), view.y(box.top)
        words = f"Ø {units.length(extent.along)}"
        _draw_diameter(canvas, ground, (left, right), (top, top - 4.5 * pen.grow - frame.end), words, pen)
        return
    above, beside = 4.5 * pen.grow + frame.end, 5.0 * pen.grow + frame.side
    _draw_side(canvas, ground, _Side(extent, view, 90.0, extent.along, extent.across, above), units, pen)
    _draw_side(canvas, ground, _Side(extent, view, 0.0, extent.across, extent.along, beside), units, pen)


@dataclass(frozen=True, slots=True)
class _Side:
    """One side of the box along a part's axes, on paper: the size along it, how far off its dimension stands, mm.

    away: from the first axis to the direction away from the part, degrees.
    """

    extent: Extent
    view: PlanView
    away: float
    size: float
    depth: float
    off: float

    @property
    def turn(self) -> float:
        """The direction away from the part on the drawing, degrees."""
        return self.extent.angle + self.away

    def at(self, along: float, out: float) -> Spot:
        """Return the point on paper so far along the side from its middle, a share of its half, and so far out, mm."""
        c, s = math.cos(math.radians(self.turn)), math.sin(math.radians(self.turn))
        run = along * self.size / 2
        x, y = (
            self.extent.centre[0] + self.depth / 2 * c - run * s,
            self.extent.centre[1] + self.depth / 2 * s + run * c,
        )
        return self.view.x(x) + out * c, self.view.y(y) - out * s


def _draw_side(canvas: SvgCanvas, ground: Ground, side: _Side, units: Units, pen: Pen) -> None:
    """Draw the dimension of a side: two lines out from its ends, an arrow between them, the size over it."""
    out, grow = side.off, pen.grow
    for end in (-1.0, 1.0):
        pen.line(canvas, *side.at(end, 1.0), *side.at(end, out + 1.2 * grow))
        pen.arrow(canvas, *side.at(end, out), side.turn + 90.0 * end)
    (x0, y0), (x1, y1) = side.at(-1.0, out), side.at(1.0, out)
    pen.line(canvas, x0, y0, x1, y1)
    ground.add_line(x0, y0, x1, y1)
    words = _that_fits(units.length(side.size), side.size * side.view.scale, pen)
    # words are read from below or from the right: their feet stand on the line or, turned over, their heads
    reading = side.turn - 90.0
    on_line = reading > -90.0
    turn = -reading if on_line else -reading - 180.0
    canvas.text(
        *side.at(0.0, out + (1.0 if on_line else 3.4) * grow), words, size=pen.words, anchor="middle", turn=turn
    )
    middle = side.at(0.0, out + (1.6 if on_line else 2.2) * grow)
    wide, tall = words_width(words, pen.words), pen.words
    c, s = abs(math.cos(math.radians(turn))), abs(math.sin(math.radians(turn)))
    ground.take(box_around(*middle, wide * c + tall * s, wide * s + tall * c))


def _draw_diameter(canvas: SvgCanvas, ground: Ground, ends: _Ends, levels: _Ends, words: str, pen: Pen) -> None:
    """Draw the diameter of a round part above it; once is enough."""
    (left, right), (top, above) = ends, levels
    for x, angle in ((left, 180), (right, 0)):
        side = top + (right - left) / 2
        pen.line(canvas, x, side, x, above - 1.2 * pen.grow)
        ground.add_line(x, side, x, above)
        pen.arrow(canvas, x, above, angle)
    pen.line(canvas, left, above, right, above)
    ground.add_line(left, above, right, above)
    middle = (left + right) / 2
    canvas.text(middle, above - pen.grow, words, size=pen.words, anchor="middle")
    ground.take(box_around(middle, above - 1.6 * pen.grow, words_width(words, pen.words), pen.words))


def _that_fits(size: Measure, room: float, pen: Pen) -> str:
    """Return a length in both unit systems where there is room for both."""
    return str(size) if words_width(str(size), pen.words) <= room else size.main


def draw_positions(
    canvas: SvgCanvas, ground: Ground, part: Part, frame: DrawingFrame, view: PlanView, pen: Pen
) -> None:
    """Draw the positions from the datum (ISO 129-1, running dimensions): along X below, along Y at the left."""
    box, grow, words = part.outline.bounds, pen.grow, pen.words
    low, left = view.y(box.bottom), view.x(box.left)
    near, out, reach = 0.8 * grow, 2.0 * grow + frame.end, REACH * grow + frame.end
    for one in frame.xs:
        at, place = view.x(one.value), left + one.place
        data = f"M{num(at)} {num(low + near)}V{num(low + out)}L{num(place)} {num(low + reach - 0.4)}"
        canvas.path(data, stroke=INK, width=pen.narrow)
        canvas.text(place + 0.35 * words, low + reach, one.words, size=words, anchor="end", turn=-90)
        ground.take(_column(place, low + frame.end, reach - frame.end + words_width(one.words, words), words))
        if frame.end:
            ground.add_line(at, low + near, at, low + out)
    out, reach = 2.0 * grow + frame.side, REACH * grow + frame.side
    for one in frame.ys:
        at, place = view.y(one.value), low - one.place
        data = f"M{num(left - near)} {num(at)}H{num(left - out)}L{num(left - reach + 0.4)} {num(place)}"
        canvas.path(data, stroke=INK, width=pen.narrow)
        canvas.text(left - reach, place + 0.35 * words, one.words, size=words, anchor="end")
        outer, inner = left - reach - words_width(one.words, words), left - frame.side
        ground.take(Box(outer, place - words / 2, inner, place + words / 2))
        if frame.side:
            ground.add_line(left - near, at, left - out, at)


def _column(x: float, top: float, length: float, width: float) -> Box:
    return Box(x - width / 2, top, x + width / 2, top + length)


def draw_radii(canvas: SvgCanvas, ground: Ground, part: Part, view: PlanView, units: Units, pen: Pen) -> None:
    """Mark each different corner radius of the outline once, at the corner with the most room."""
    if is_circle(part.outline) is not None:
        return
    corners: dict[float, list[Piece]] = {}
    pieces_round = part.outline.counter_clockwise().pieces()
    for before, piece, after in zip(
        pieces_round[-1:] + pieces_round[:-1], pieces_round, pieces_round[1:] + pieces_round[:1], strict=True
    ):
        # arcs in a row stand for a free curve, whose radii say nothing
        lone = piece.is_arc and not before.is_arc and not after.is_arc
        if lone and 0 < round(piece.radius, 1) < _LARGEST_RADIUS:
            corners.setdefault(round(piece.radius, 1), []).append(piece)
    for pieces in list(corners.values())[:_MOST_RADII]:
        words = f"R{units.length(pieces[0].radius, 1).main}"
        wide = words_width(words, pen.words) + 0.6
        place = ground.choose(_beside_arcs(pieces, view, wide, pen), wide, pen.words)
        if place is not None and place.leader is not None:
            pen.leader(canvas, place.leader)
            canvas.text(place.x, place.y + 0.35 * pen.words, words, size=pen.words, anchor="middle", halo=True)


def _beside_arcs(pieces: Sequence[Piece], view: PlanView, wide: float, pen: Pen) -> Iterator[LabelPlace]:
    """Places for a radius: the leader stands square on the arc, on the side of the wood if it can."""
    for number, piece in enumerate(pieces):
        spot, (cx, cy) = piece.at(0.5), piece.centre
        x, y = view.x(spot.x), view.y(spot.y)
        wood = 1 if piece.bulge > 0 else -1
        for side in (wood, -wood):
            angle = math.atan2(side * (view.y(cy) - y), side * (view.x(cx) - x))
            for reach in (5.0, 7.0, 9.0, 12.0):
                ex, ey = x + math.cos(angle) * reach * pen.grow, y + math.sin(angle) * reach * pen.grow
                shift = (wide / 2 + 0.4) * (1 if ex >= x else -1)
                cost = reach + 0.01 * number + (0.0 if side == wood else 2.0)
                yield LabelPlace(ex + shift, ey, Leader(x, y, ex, ey), cost)


def draw_zero(canvas: SvgCanvas, ground: Ground, part: Part, view: PlanView, pen: Pen) -> None:
    """Draw the datum with its name beside it."""
    x, y, radius = view.x(0), view.y(0), _ZERO * pen.grow
    zero_mark(canvas, x, y, radius, hollow=_something_at_zero(part, radius / view.scale))
    ground.take(box_around(x, y, 2 * radius, 2 * radius))
    words = "X0 Y0"
    wide = words_width(words, pen.words) + 0.4
    place = ground.choose(_around(x, y, wide, pen), wide, pen.words)
    if place is not None:
        canvas.text(place.x, place.y + 0.35 * pen.words, words, size=pen.words, anchor="middle", halo=True)


def _around(x: float, y: float, wide: float, pen: Pen) -> Iterator[LabelPlace]:
    """Places beside the datum, first below at the left, where it lies clear of a part that starts there."""
    for out in (0.6, 2.0, 4.0):
        across, down = wide / 2 + (_ZERO + out) * pen.grow, pen.words / 2 + (_ZERO + out) * pen.grow
        steps = [(-across * 0.75, down), (-across, 0), (across, down), (0, down), (across, 0), (-across, -down)]
        for rank, (dx, dy) in enumerate([*steps, (across, -down), (0, -down)]):
            yield LabelPlace(x + dx, y + dy, None, out + 0.1 * rank)


def _something_at_zero(part: Part, reach: float) -> bool:
    """Whether a hole, pocket or groove of the part lies under the mark of the zero."""
    inside = [operation for operation in part.operations if is_feature(operation)]
    boxes = [path.bounds for operation in inside for path in operation.shapes if path.vertices]
    near = any(b.left - reach < 0 < b.right + reach and b.bottom - reach < 0 < b.top + reach for b in boxes)
    return near or any(math.hypot(x, y) < reach + one.cutter.radius for one in inside for x, y in one.points)
