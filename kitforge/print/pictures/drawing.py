"""The dimensioned drawing of a part, with the line habits of ISO 128 and ISO 129.

Wide lines (0.5 mm) for what is seen, narrow ones (0.25 mm) for dimensions, long-dash-dot lines for centres, figures
above the dimension line and readable from below or from the right. What is cut from the underside and does not come
through is hidden in this view: a dashed narrow line. Positions are given from the zero of the part's drawing.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from kitforge.geometry.path import is_circle
from kitforge.kit import Doing, Face, Side
from kitforge.language import decimal, say
from kitforge.planning.areas import width_at
from kitforge.print.pictures.marks import zero_mark
from kitforge.print.pictures.svg import INK, NARROW, WIDE, Canvas, Picture, View, num, path_data

if TYPE_CHECKING:
    from kitforge.geometry.path import Path
    from kitforge.geometry.piece import Piece
    from kitforge.kit import Operation, Part
    from kitforge.print.figures import Units

_LEFT, _RIGHT, _ABOVE, _BELOW = 13.0, 11.0, 9.0, 16.0
_RATIOS = (1, 2, 3, 4, 5, 6, 8, 10, 15, 20, 25, 50, 100)
_MOST_STATIONS = 16
_ZERO, _DASH = 1.6, 12 * NARROW
_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"


@dataclass(frozen=True, slots=True)
class Feature:
    """One feature of a part: its letter in the drawing, what it is, where its centre lies from the datum, its size.

    count: how many of them; x, y: centre of the first; line: width of a groove at the face; face: where it is cut from.
    """

    letter: str
    title: str
    count: int
    x: float
    y: float
    width: float
    height: float
    diameter: float | None
    depth: float
    through: bool
    line: float | None = None
    face: Face = Face.TOP


def scale_words(scale: float) -> str:
    """Return the scale of a drawing that is not enlarged, e.g. '1 : 2'."""
    return f"1 : {decimal(f'{1 / scale:g}')}"


def drawing_scale(part: Part, width: float, height: float) -> float:
    """Return the largest scale at which the part fits the paper.

    ISO 5455 recommends 1:1, 1:2, 1:5, 1:10; the whole ratios between are used where they fill the page better.
    """
    box = part.outline.bounds
    for scale in (1 / ratio for ratio in _RATIOS):
        if box.width * scale <= width - _LEFT - _RIGHT and box.height * scale <= height - _ABOVE - _BELOW:
            return scale
    return 1 / _RATIOS[-1]


def features_of(part: Part) -> tuple[Feature, ...]:
    """Return the part's features, one for each operation that makes something inside the outline, with letters."""
    found: list[Feature] = []
    for operation in part.operations:
        if operation.does is Doing.PROFILE and operation.side is Side.OUTSIDE:
            continue
        feature = _feature(operation, _LETTERS[len(found) % len(_LETTERS)])
        if feature is not None:
            found.append(replace(feature, face=operation.face))
    return tuple(found)


def _feature(operation: Operation, letter: str) -> Feature | None:
    if operation.does is Doing.ENGRAVE:
        return _engraved(operation, letter)
    circles = [found for path in operation.shapes if (found := is_circle(path))]
    boxes = [path.bounds for path in operation.shapes if path.vertices]
    if operation.points:
        x, y = operation.points[0]
        diameter = width_at(operation.cutter, operation.depth)
        count, width, height = len(operation.points), diameter, diameter
    elif boxes:
        first = boxes[0]
        (x, y), width, height, count = first.centre, first.width, first.height, len(boxes)
        diameter = 2 * circles[0][2] if circles else None  # type: ignore[assignment]
    else:
        return None
    line = operation.width or width_at(operation.cutter, operation.depth) if operation.does is Doing.GROOVE else None
    return Feature(
        letter, operation.title, count, x, y, width, height, diameter, operation.depth, operation.through, line
    )


def _engraved(operation: Operation, letter: str) -> Feature | None:
    """Return the whole of what is engraved, such as a word, as one feature."""
    boxes = [path.bounds for path in operation.shapes if path.vertices]
    if not boxes:
        return None
    left, bottom = min(box.left for box in boxes), min(box.bottom for box in boxes)
    right, top = max(box.right for box in boxes), max(box.top for box in boxes)
    x, y, depth = (left + right) / 2, (bottom + top) / 2, operation.depth
    return Feature(letter, operation.title, 1, x, y, right - left, top - bottom, None, depth, operation.through)


def dimensioned_drawing(part: Part, units: Units, width: float, height: float) -> Picture:
    """Return the drawing of a part at a standard scale, inside `width` x `height` mm of paper."""
    scale = drawing_scale(part, width, height)
    box = part.outline.bounds
    canvas = Canvas(width, box.height * scale + _ABOVE + _BELOW)
    left = max(_LEFT, (width - box.width * scale) / 2)
    view = View(scale, left - box.left * scale, _ABOVE + box.height * scale + box.bottom * scale)
    canvas.path(path_data([part.outline], view), fill="#ffffff", stroke=INK, width=WIDE)
    for operation in part.operations:
        _draw_operation(canvas, operation, view)
    for feature in features_of(part):
        canvas.text(view.x(feature.x) + 1.3, view.y(feature.y) - 1.3, feature.letter, size=3.5, bold=True, halo=True)
    _draw_overall(canvas, part, view, units)
    _draw_stations(canvas, part, view, units)
    _draw_radius(canvas, part, view, units)
    _draw_datum(canvas, part, view)
    return canvas.finish(_words(part, units, scale))


def is_hidden(operation: Operation) -> bool:
    """Whether what an operation cuts cannot be seen from above."""
    return operation.face is Face.BOTTOM and not operation.through


def _dashes(around: float) -> str:
    """Return dashes of 12 and gaps of 3 line widths (ISO 128-2), shorter where so little line shows less than six."""
    dash = max(0.5, min(_DASH, around / 7.5))
    return f"{num(dash)} {num(dash / 4)}"


def _draw_shapes(canvas: Canvas, operation: Operation, view: View) -> None:
    if not is_hidden(operation):
        canvas.path(path_data(operation.shapes, view), stroke=INK, width=0.35)
        return
    for path in operation.shapes:
        if path.vertices:
            around = 2 * (path.bounds.width + path.bounds.height) * view.scale
            canvas.path(path_data([path], view), stroke=INK, width=NARROW, dash=_dashes(around))


def _draw_operation(canvas: Canvas, operation: Operation, view: View) -> None:
    _draw_shapes(canvas, operation, view)
    radius = max(operation.cutter.radius * view.scale, 0.4)
    dash = _dashes(math.tau * radius) if is_hidden(operation) else ""
    for x, y in operation.points:
        canvas.disc(view.x(x), view.y(y), radius, stroke=INK, dash=dash)
        _cross(canvas, view.x(x), view.y(y), radius + 1.2)
    for path in _measured(operation):
        if found := is_circle(path):
            _cross(canvas, view.x(found[0]), view.y(found[1]), found[2] * view.scale + 1.2)


def _measured(operation: Operation) -> tuple[Path, ...]:
    """Return the shapes worth centre lines and dimensions; the dot of a letter is not."""
    return () if operation.does is Doing.ENGRAVE else operation.shapes


def _cross(canvas: Canvas, x: float, y: float, arm: float) -> None:
    data = f"M{num(x - arm)} {num(y)}h{num(2 * arm)}M{num(x)} {num(y - arm)}v{num(2 * arm)}"
    canvas.path(data, stroke=INK, width=0.13, dash="2.4 0.6 0.5 0.6")


def _draw_overall(canvas: Canvas, part: Part, view: View, units: Units) -> None:
    box = part.outline.bounds
    top, right = view.y(box.top) - 4.5, view.x(box.right) + 6.0
    _dimension(canvas, view.x(box.left), view.x(box.right), top, view.y(box.top), str(units.length(box.width, 1)))
    for y in (view.y(box.bottom), view.y(box.top)):
        canvas.line(view.x(box.right) + 1, y, right + 1.2, y, width=0.18)
    canvas.line(right, view.y(box.bottom), right, view.y(box.top), width=0.18)
    _arrow(canvas, right, view.y(box.top), 90)
    _arrow(canvas, right, view.y(box.bottom), -90)
    middle = (view.y(box.bottom) + view.y(box.top)) / 2
    canvas.text(right + 3.6, middle, str(units.length(box.height, 1)), anchor="middle", turn=-90)


def _dimension(canvas: Canvas, x0: float, x1: float, y: float, edge: float, words: str) -> None:
    for x in (x0, x1):
        canvas.line(x, edge - 1, x, y - 1.2, width=0.18)
    canvas.line(x0, y, x1, y, width=0.18)
    _arrow(canvas, x0, y, 180)
    _arrow(canvas, x1, y, 0)
    canvas.text((x0 + x1) / 2, y - 1, words, anchor="middle")


def _arrow(canvas: Canvas, x: float, y: float, angle: float) -> None:
    """A filled arrowhead with its point at (x, y); angle 0 points right, 90 up."""
    turn, spread = math.radians(angle), math.radians(170)
    corners = [(x, y)]
    for side in (spread, -spread):
        corners.append((x + 2.4 * math.cos(turn + side), y - 2.4 * math.sin(turn + side)))
    canvas.path("M" + "L".join(f"{num(a)} {num(b)}" for a, b in corners) + "Z", fill=INK)


def _draw_stations(canvas: Canvas, part: Part, view: View, units: Units) -> None:
    """Running dimensions from the datum: each position along X below, along Y at the left."""
    xs, ys = _stations(part)
    box = part.outline.bounds
    if 0 < len(xs) <= _MOST_STATIONS:
        base = view.y(box.bottom) + 3.5
        for x, place in zip(xs, _spread([view.x(value) for value in xs], 3.6), strict=True):
            at = view.x(x)
            canvas.path(
                f"M{num(at)} {num(base - 2.5)}V{num(base)}L{num(place)} {num(base + 2)}", stroke=INK, width=0.18
            )
            canvas.text(
                place + 1.0, base + 2.6, units.length(x, 1).main.split(" ")[0], size=2.8, anchor="end", turn=-90
            )
    if 0 < len(ys) <= _MOST_STATIONS:
        base = view.x(box.left) - 3.5
        places = _spread([-view.y(value) for value in ys], 3.6)
        for y, place in zip(ys, places, strict=True):
            at = view.y(y)
            canvas.path(
                f"M{num(base + 2.5)} {num(at)}H{num(base)}L{num(base - 2)} {num(-place)}", stroke=INK, width=0.18
            )
            canvas.text(base - 2.6, -place + 1.0, units.length(y, 1).main.split(" ")[0], size=2.8, anchor="end")


def _stations(part: Part) -> tuple[list[float], list[float]]:
    """Return the X and Y positions worth a dimension: hole centres and sharp corners of the outline."""
    spots = []
    for operation in part.operations:
        spots += list(operation.points)
        spots += [(hit[0], hit[1]) for path in _measured(operation) if (hit := is_circle(path))]
    corners = _corners(part)
    box = part.outline.bounds
    xs = {round(x, 2) for x, _ in spots} | {round(x, 2) for x, _ in corners if box.left < x < box.right}
    ys = {round(y, 2) for _, y in spots} | {round(y, 2) for _, y in corners if box.bottom < y < box.top}
    return sorted(xs), sorted(ys)


def _corners(part: Part) -> list[tuple[float, float]]:
    pieces = part.outline.pieces()
    pairs = zip(pieces[-1:] + pieces[:-1], pieces, strict=True)
    return [
        (after.x0, after.y0)
        for before, after in pairs
        if not (before.is_arc and after.is_arc) and not (_smooth(before, after))
    ]


def _smooth(before: Piece, after: Piece) -> bool:
    one, two = before.at(1.0), after.at(0.0)
    return one.dx * two.dx + one.dy * two.dy > 0.999


def _spread(values: list[float], gap: float) -> list[float]:
    """Return label places at least `gap` apart, in order, as near to the values as a single pass allows."""
    places: list[float] = []
    for value in values:
        places.append(max(value, places[-1] + gap) if places else value)
    return places


def _draw_radius(canvas: Canvas, part: Part, view: View, units: Units) -> None:
    """Mark each different corner radius of the outline once."""
    seen: set[float] = set()
    for piece in part.outline.counter_clockwise().pieces():
        radius = round(piece.radius, 1) if piece.is_arc and is_circle(part.outline) is None else 0.0
        if not 0 < radius < 1000 or radius in seen or len(seen) > 3:
            continue
        seen.add(radius)
        spot, (cx, cy) = piece.at(0.5), piece.centre
        x, y = view.x(spot.x), view.y(spot.y)
        # the words stand on the wood: towards the centre of a rounded corner, away from that of a hollow
        side = 1 if piece.bulge > 0 else -1
        inward = math.atan2(side * (view.y(cy) - y), side * (view.x(cx) - x))
        reach = min(9.0, max(5.0, radius * view.scale))
        ex, ey = x + math.cos(inward) * reach, y + math.sin(inward) * reach
        canvas.line(x, y, ex, ey, width=0.18)
        _arrow(canvas, x, y, math.degrees(math.atan2(ey - y, x - ex)))
        anchor = "start" if ex >= x else "end"
        canvas.text(
            ex + (0.6 if ex >= x else -0.6), ey + 1, f"R{units.length(radius, 1).main}", anchor=anchor, halo=True
        )


def _draw_datum(canvas: Canvas, part: Part, view: View) -> None:
    x, y = view.x(0), view.y(0)
    zero_mark(canvas, x, y, _ZERO, hollow=_something_at_zero(part, _ZERO / view.scale))
    canvas.text(x - 2.2, y + 4.4, "X0 Y0", size=2.8, anchor="end", halo=True)


def _something_at_zero(part: Part, reach: float) -> bool:
    """Whether a hole, pocket or groove of the part lies under the mark of the zero."""
    inside = [op for op in part.operations if op.does is not Doing.PROFILE or op.side is not Side.OUTSIDE]
    boxes = [path.bounds for op in inside for path in op.shapes if path.vertices]
    near = any(b.left - reach < 0 < b.right + reach and b.bottom - reach < 0 < b.top + reach for b in boxes)
    return near or any(math.hypot(x, y) < reach + op.cutter.radius for op in inside for x, y in op.points)


def _words(part: Part, units: Units, scale: float) -> str:
    box = part.outline.bounds
    size = units.size(box.width, box.height, part.stock.actual)
    return say(
        "Dimensioned drawing of {part}, {size}, at scale {scale}, positions from the zero of the part's drawing.",
        part=part.title,
        size=size,
        scale=scale_words(scale),
    )
