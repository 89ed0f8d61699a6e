"""Smooth curves to chains of arcs: pairs of arcs that meet the curve's points and tangents, refined until they fit.

A pair of arcs (biarc) through two points with given unit tangents t0, t1 and chord v: with equal tangent lengths d,
v·v - 2 d v·(t0 + t1) + 2 d² (t0·t1 - 1) = 0 (Bolton, Biarc curves, Computer-Aided Design 7(2), 1975, pp. 89-92).
The error of a pair falls with the cube of its length, so few arcs reach a tolerance that needs thousands of chords.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from kitforge.model.path import Vertex
from kitforge.model.piece import Piece

FIT_TOLERANCE = 0.001
"""Largest distance in mm between a curve and the arcs that stand for it, unless a caller says otherwise."""

_SAMPLES = (0.15, 0.35, 0.5, 0.65, 0.85)
_MAX_PIECES = 20_000
_MAX_HALVINGS = 24

Point = tuple[float, float]


class Sample(NamedTuple):
    """A point of a curve and the derivative there (any length; zero where the curve stops)."""

    x: float
    y: float
    dx: float
    dy: float


Curve = Callable[[float], Sample]


def fit_arcs(curve: Curve, start: float, end: float, tolerance: float = FIT_TOLERANCE) -> list[Vertex]:
    """Return vertices from `start` up to (not including) the point at `end` that keep within `tolerance` mm.

    The curve must have a continuous tangent between `start` and `end`. Raises ValueError when it needs more than
    20,000 pieces.
    """
    vertices: list[Vertex] = []
    stack = [(start, end, curve(start), curve(end), 0)]
    while stack:
        low, high, first, last, depth = stack.pop()
        pieces = _biarc(curve, low, high, first, last)
        if depth >= _MAX_HALVINGS or (depth >= 1 and _fits(curve, low, high, pieces, tolerance)):
            vertices += [Vertex(piece.x0, piece.y0, piece.bulge) for piece in pieces]
            if len(vertices) > _MAX_PIECES:
                raise ValueError(f"a curve needs more than {_MAX_PIECES} pieces; check its size and its points")
            continue
        middle = (low + high) / 2
        between = curve(middle)
        stack.append((middle, high, between, last, depth + 1))
        stack.append((low, middle, first, between, depth + 1))
    return vertices


def _biarc(curve: Curve, low: float, high: float, first: Sample, last: Sample) -> list[Piece]:
    """Return the pair of arcs between two samples, or a line where the curve has no direction or runs straight."""
    chord = (last.x - first.x, last.y - first.y)
    line = [Piece(first.x, first.y, last.x, last.y)]
    t0, t1 = _direction(curve, low, high, first), _direction(curve, high, low, last, backwards=True)
    if t0 is None or t1 is None or math.hypot(*chord) == 0:
        return line
    reach = _tangent_length(chord, t0, t1)
    if reach is None:
        return line
    joint_x = (first.x + last.x + reach * (t0[0] - t1[0])) / 2
    joint_y = (first.y + last.y + reach * (t0[1] - t1[1])) / 2
    one = _arc_from(first.x, first.y, t0, joint_x, joint_y)
    other = _arc_from(last.x, last.y, (-t1[0], -t1[1]), joint_x, joint_y).reversed()
    return [piece for piece in (one, other) if piece.chord > 0] or line


def _direction(curve: Curve, at: float, toward: float, sample: Sample, *, backwards: bool = False) -> Point | None:
    """Return the unit tangent; where the derivative vanishes (a doubled control point) that of a point nearby."""
    for step in (0.0, 1e-6, 1e-4, 1e-2):
        near = curve(at + (toward - at) * step) if step else sample
        if step:
            dx, dy = near.x - sample.x, near.y - sample.y
            dx, dy = (-dx, -dy) if backwards else (dx, dy)
        else:
            # along the way from low to high, which may be the way of falling parameters
            sign = math.copysign(1.0, (at - toward) if backwards else (toward - at))
            dx, dy = near.dx * sign, near.dy * sign
        size = math.hypot(dx, dy)
        if size > 1e-12:
            return dx / size, dy / size
    return None


def _tangent_length(chord: Point, t0: Point, t1: Point) -> float | None:
    """Return the positive tangent length of the pair of arcs with equal tangent lengths, or None if there is none."""
    along = chord[0] * (t0[0] + t1[0]) + chord[1] * (t0[1] + t1[1])
    square = chord[0] ** 2 + chord[1] ** 2
    bend = 2 * (1 - t0[0] * t1[0] - t0[1] * t1[1])
    # the positive root of bend d² + 2 along d - square = 0, in the form that does not cancel as bend goes to 0
    root = math.sqrt(max(0.0, along * along + bend * square))
    if along + root <= 1e-12 * math.sqrt(square):
        return None
    return square / (along + root)


def _arc_from(x: float, y: float, tangent: Point, to_x: float, to_y: float) -> Piece:
    """Return the arc that leaves (x, y) along `tangent` and ends at (to_x, to_y)."""
    dx, dy = to_x - x, to_y - y
    half = math.atan2(tangent[0] * dy - tangent[1] * dx, tangent[0] * dx + tangent[1] * dy)
    return Piece(x, y, to_x, to_y, math.tan(half / 2))


def _fits(curve: Curve, low: float, high: float, pieces: list[Piece], tolerance: float) -> bool:
    """Return whether samples of the curve lie within `tolerance` of the pieces, and the pieces are not far too long."""
    for share in _SAMPLES:
        sample = curve(low + (high - low) * share)
        if min(distance_to_piece(piece, sample.x, sample.y) for piece in pieces) > tolerance:
            return False
    span = sum(piece.chord for piece in pieces)
    return all(piece.length <= 2 * span + tolerance for piece in pieces)


def distance_to_piece(piece: Piece, x: float, y: float) -> float:
    """Return the distance in mm from a point to a line or arc."""
    ends = min(math.hypot(x - piece.x0, y - piece.y0), math.hypot(x - piece.x1, y - piece.y1))
    if piece.is_arc and piece.radius < 1e9:
        cx, cy = piece.centre
        start = math.atan2(piece.y0 - cy, piece.x0 - cx)
        turn = (math.atan2(y - cy, x - cx) - start) * math.copysign(1, piece.bulge)
        if turn % (2 * math.pi) <= abs(piece.sweep):
            return min(ends, abs(math.hypot(x - cx, y - cy) - piece.radius))
        return ends
    dx, dy = piece.x1 - piece.x0, piece.y1 - piece.y0
    square = dx * dx + dy * dy
    if square == 0:
        return ends
    share = ((x - piece.x0) * dx + (y - piece.y0) * dy) / square
    return abs((x - piece.x0) * dy - (y - piece.y0) * dx) / math.sqrt(square) if 0 <= share <= 1 else ends
