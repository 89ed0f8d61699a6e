"""Inside corners: where a round cutter that works on one side of a path cannot reach."""

from __future__ import annotations

import math
from typing import Literal, NamedTuple

from kitforge.model.path import Path
from kitforge.model.piece import Piece

Side = Literal["inside", "outside"]

SMOOTH_TURN = math.radians(15)
"""Below this turn a vertex counts as a point on a curve: a cutter leaves at most r/cos(7.5°) - r, 0.9 % of r, there."""


class InsideCorner(NamedTuple):
    """An inside corner: its place and radius in mm (0 if sharp), its turn in radians, and the number of its vertex."""

    x: float
    y: float
    radius: float
    turn: float
    number: int
    sharp: bool


def inside_corners(path: Path, side: Side = "inside") -> list[InsideCorner]:
    """Return the corners of a closed path that a cutter on `side` has to reach into, in path order.

    A vertex that turns by less than 15° counts as a point on a curve whose radius follows from the lengths beside it.
    """
    if not path.closed:
        raise ValueError("an open path has no inside")
    ring = _without_zero_pieces(path)
    sign = math.copysign(1.0, path.area) * (1 if side == "inside" else -1)
    corners = []
    for position, (index, piece) in enumerate(ring):
        corners += _vertex_corner(ring[position - 1][1], piece, index, sign)
        corners += _arc_corner(piece, index, sign)
    return corners


def inside_corner_radius(path: Path, side: Side = "inside") -> float:
    """Return the smallest inside corner radius in mm on `side`: 0 for a sharp corner, infinite if there is none."""
    return min((corner.radius for corner in inside_corners(path, side)), default=math.inf)


def _without_zero_pieces(path: Path) -> list[tuple[int, Piece]]:
    return [(index, piece) for index, piece in enumerate(path.pieces()) if piece.chord > 1e-9]


def turn_between(before: Piece, after: Piece) -> float:
    """Return the turn in radians from one piece to the next, positive to the left, in (-pi, pi]."""
    arriving, leaving = before.at(1.0), after.at(0.0)
    cross = arriving.dx * leaving.dy - arriving.dy * leaving.dx
    return math.atan2(cross, arriving.dx * leaving.dx + arriving.dy * leaving.dy)


def _vertex_corner(before: Piece, after: Piece, index: int, sign: float) -> list[InsideCorner]:
    turn = turn_between(before, after) * sign
    if turn <= 1e-6:
        return []
    if turn >= SMOOTH_TURN:
        return [InsideCorner(after.x0, after.y0, 0.0, turn, index, sharp=True)]
    if before.is_arc or after.is_arc:
        return []
    radius = min(before.chord, after.chord) / 2 / math.tan(turn / 2)
    return [InsideCorner(after.x0, after.y0, radius, turn, index, sharp=False)]


def _arc_corner(piece: Piece, index: int, sign: float) -> list[InsideCorner]:
    if not piece.is_arc or piece.bulge * sign <= 0:
        return []
    middle = piece.at(0.5)
    return [InsideCorner(middle.x, middle.y, piece.radius, abs(piece.sweep), index, sharp=False)]
