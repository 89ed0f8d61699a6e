"""Corner relief: inside corners opened up so that a square counterpart fits although the cutter is round.

Dog-bone: the cutter's circle passes the corner with its centre on the bisector. T-bone: the circle touches one wall in
the corner and lies beyond the other wall only. Both are common joinery practice; the geometry is derived here. In a
corner of angle 2h a dog-bone of radius r opens each wall over 2 r cos h, a T-bone opens one wall over 2 r sin 2h. In
corners below 90° the cutter cannot get there between the walls, and the relief becomes a slot that opens the walls over
r / sin h and 2 r / sin 2h.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal, NamedTuple

from kitforge.geometry.corners import SMOOTH_TURN, Side, turn_between
from kitforge.model.errors import RefusedValueError
from kitforge.model.messages import Quantity, msg
from kitforge.model.path import Path, Vertex
from kitforge.model.piece import Piece

Style = Literal["dog-bone", "t-bone"]
Wall = Literal["longer", "shorter"]

# A relief is a little rounder than the cutter, so that the cutter gets into it whatever the rounding, mm.
ROOM = 0.05
_TIGHT = 1e-6


class _Lead(NamedTuple):
    """A straight side of a relief: where it meets the relief's circle and its direction away from the corner."""

    x: float
    y: float
    dx: float
    dy: float


class _Notch(NamedTuple):
    """A relief: the centre of its circle in mm, and its straight sides (none in corners of 90° and more)."""

    x: float
    y: float
    lead_in: _Lead | None
    lead_out: _Lead | None


def relief_radius(cutter_radius: float) -> float:
    """Return the radius of the reliefs that a cutter of this radius makes, mm."""
    return cutter_radius + ROOM


def corner_relief(
    path: Path,
    cutter_radius: float,
    style: Style = "dog-bone",
    *,
    side: Side = "inside",
    along: Wall = "longer",
) -> Path:
    """Return the closed path with a relief arc at every inside corner tighter than the cutter.

    Inside corners are those of the area on `side` of the path, which is the area that is cut. With a T-bone the relief
    is cut into the longer (or shorter) of the corner's two walls. Rounded corners are treated as the sharp corner in
    which their walls would meet. Raises ValueError, naming the place, where the walls are too short for a relief.
    """
    if not path.closed:
        raise RefusedValueError(msg("only a closed path has inside corners to relieve"))
    if not (math.isfinite(cutter_radius) and cutter_radius > 0):
        raise RefusedValueError(
            msg(
                "the radius of the cutter must be above 0 mm, not {cutter_radius} mm",
                cutter_radius=Quantity(cutter_radius, "", 6),
            )
        )
    if style not in ("dog-bone", "t-bone"):
        raise RefusedValueError(msg("'{style}' is no corner relief; use 'dog-bone' or 't-bone'", style=style))
    sign = math.copysign(1.0, path.area) * (1 if side == "inside" else -1)
    pieces = _sharpened([piece for piece in path.pieces() if piece.chord > 1e-9], cutter_radius, sign)
    return _with_reliefs(pieces, cutter_radius, style, along, sign)


def _sharpened(pieces: list[Piece], radius: float, sign: float) -> list[Piece]:
    """Return the pieces with tangent fillets tighter than the cutter replaced by the corner of their walls."""
    result = list(pieces)
    for index, piece in enumerate(pieces):
        if not (piece.is_arc and piece.bulge * sign > 0 and piece.radius < radius - _TIGHT):
            continue
        before, after = index - 1, (index + 1) % len(pieces)
        walls = result[before], result[after]
        if any(wall.is_arc for wall in walls) or not _tangent(*walls, piece) or abs(piece.sweep) > math.radians(170):
            x, y = piece.at(0.5)[:2]
            raise RefusedValueError(
                msg(
                    "the round corner near ({x}, {y}) is tighter than the cutter and has no straight walls",
                    x=Quantity(x, "", 2, padded=True),
                    y=Quantity(y, "", 2, padded=True),
                )
            )
        tip = piece.at(0.0)
        reach = piece.radius * math.tan(abs(piece.sweep) / 2)
        x, y = tip.x + reach * tip.dx, tip.y + reach * tip.dy
        result[before] = result[before]._replace(x1=x, y1=y)
        result[after] = result[after]._replace(x0=x, y0=y)
        result[index] = Piece(x, y, x, y)
    return [piece for piece in result if piece.chord > 1e-9]


def _tangent(before: Piece, after: Piece, fillet: Piece) -> bool:
    return abs(turn_between(before, fillet)) < 1e-3 and abs(turn_between(fillet, after)) < 1e-3


def _with_reliefs(pieces: Sequence[Piece], radius: float, style: Style, along: Wall, sign: float) -> Path:
    notches = [_notch(pieces[k - 1], piece, radius, style, along, sign) for k, piece in enumerate(pieces)]
    walls = [
        _shortened(piece, notch, after, radius)
        for piece, notch, after in zip(pieces, notches, notches[1:] + notches[:1], strict=True)
    ]
    vertices: list[Vertex] = []
    for index, (wall, notch) in enumerate(zip(walls, notches, strict=True)):
        if notch:
            vertices += _relief(walls[index - 1], wall, notch, sign)
        if wall.chord > 1e-9:
            vertices.append(Vertex(wall.x0, wall.y0, wall.bulge))
    return Path(tuple(vertices))


def _shortened(piece: Piece, first: _Notch | None, last: _Notch | None, radius: float) -> Piece:
    """Return a wall without what the reliefs at its two ends take off it."""
    low = _leaves(piece, first, first.lead_out, radius) if first else 0.0
    high = 1 - _leaves(piece.reversed(), last, last.lead_in, radius) if last else 1.0
    if low > high + 1e-12:
        middle = piece.at(0.5)
        raise RefusedValueError(
            msg(
                "the wall at ({x}, {y}) is too short for the reliefs at its two ends",
                x=Quantity(middle.x, "", 2, padded=True),
                y=Quantity(middle.y, "", 2, padded=True),
            )
        )
    return piece.part(low, high) if (low, high) != (0.0, 1.0) else piece


def _notch(before: Piece, after: Piece, radius: float, style: Style, along: Wall, sign: float) -> _Notch | None:
    """Return the relief at the corner between two pieces, or None if it needs none."""
    turn = turn_between(before, after) * sign
    if turn < SMOOTH_TURN:
        return None
    if turn > math.radians(170):
        raise RefusedValueError(
            msg(
                "the corner at ({x0}, {y0}) is too pointed for a relief",
                x0=Quantity(after.x0, "", 2, padded=True),
                y0=Quantity(after.y0, "", 2, padded=True),
            )
        )
    back, ahead = before.at(1.0), after.at(0.0)
    acute = turn > math.pi / 2 + 1e-9
    if style == "dog-bone":
        size = math.hypot(ahead.dx - back.dx, ahead.dy - back.dy)
        dx, dy = (ahead.dx - back.dx) / size, (ahead.dy - back.dy) / size
        x, y = after.x0 + radius * dx, after.y0 + radius * dy
        by_before = _Lead(x - radius * dy * sign, y + radius * dx * sign, dx, dy)
        by_after = _Lead(x + radius * dy * sign, y - radius * dx * sign, dx, dy)
        return _Notch(x, y, by_before if acute else None, by_after if acute else None)
    if (before.length >= after.length) == (along == "longer"):
        nx, ny = -ahead.dy * sign, ahead.dx * sign
        lead = _Lead(after.x0 + 2 * radius * nx, after.y0 + 2 * radius * ny, ahead.dx, ahead.dy)
        return _Notch(after.x0 + radius * nx, after.y0 + radius * ny, lead if acute else None, None)
    nx, ny = -back.dy * sign, back.dx * sign
    lead = _Lead(after.x0 + 2 * radius * nx, after.y0 + 2 * radius * ny, -back.dx, -back.dy)
    return _Notch(after.x0 + radius * nx, after.y0 + radius * ny, None, lead if acute else None)


def _leaves(piece: Piece, notch: _Notch, lead: _Lead | None, radius: float) -> float:
    """Return the share of a wall, from the corner, at which it leaves the relief."""
    start = piece.at(0.0)
    foot = (notch.x - start.x) * start.dx + (notch.y - start.y) * start.dy
    if foot <= 1e-9:
        return 0.0
    if lead:
        share = _lead_share(piece, lead)
    elif piece.is_arc:
        share = _arc_share(piece, notch)
    else:
        # the circle passes the corner, so the other crossing lies twice as far as the foot of the centre
        share = 2 * foot / piece.chord
    if share > 1 + 1e-12:
        raise RefusedValueError(
            msg(
                "the wall at ({x}, {y}) is too short for a relief of {radius} mm radius",
                x=Quantity(start.x, "", 2, padded=True),
                y=Quantity(start.y, "", 2, padded=True),
                radius=Quantity(radius, "", 6),
            )
        )
    return min(share, 1.0)


def _arc_share(piece: Piece, notch: _Notch) -> float:
    """Return where an arc leaves the circle: at the corner mirrored in the line through both centres."""
    cx, cy = piece.centre
    axis = math.atan2(notch.y - cy, notch.x - cx)
    turn = 2 * (axis - math.atan2(piece.y0 - cy, piece.x0 - cx)) * math.copysign(1.0, piece.bulge)
    return turn % (2 * math.pi) / abs(piece.sweep)


def _lead_share(piece: Piece, lead: _Lead) -> float:
    """Return where a wall first crosses the line of a lead; infinite if it never does."""
    if not piece.is_arc:
        start = piece.at(0.0)
        cross = start.dx * lead.dy - start.dy * lead.dx
        along = (lead.x - start.x) * lead.dy - (lead.y - start.y) * lead.dx
        return along / cross / piece.chord if abs(cross) > 1e-12 else math.inf
    cx, cy = piece.centre
    toward = (cx - lead.x) * lead.dx + (cy - lead.y) * lead.dy
    away = (cx - lead.x) * lead.dy - (cy - lead.y) * lead.dx
    if abs(away) > piece.radius:
        return math.inf
    half = math.sqrt(piece.radius**2 - away**2)
    first = math.atan2(piece.y0 - cy, piece.x0 - cx)
    shares = []
    for t in (toward - half, toward + half):
        angle = math.atan2(lead.y + t * lead.dy - cy, lead.x + t * lead.dx - cx)
        shares.append((angle - first) * math.copysign(1.0, piece.bulge) % (2 * math.pi) / abs(piece.sweep))
    return min(shares)


def _relief(before: Piece, after: Piece, notch: _Notch, sign: float) -> list[Vertex]:
    """Return the relief from the end of one wall to the start of the next."""
    arc_start = notch.lead_in[:2] if notch.lead_in else (before.x1, before.y1)
    arc_end = notch.lead_out[:2] if notch.lead_out else (after.x0, after.y0)
    first = math.atan2(arc_start[1] - notch.y, arc_start[0] - notch.x)
    last = math.atan2(arc_end[1] - notch.y, arc_end[0] - notch.x)
    sweep = ((last - first) * sign) % (2 * math.pi)
    vertices = [Vertex(before.x1, before.y1)] if notch.lead_in else []
    vertices.append(Vertex(*arc_start, sign * math.tan(sweep / 4)))
    return [*vertices, Vertex(*arc_end)] if notch.lead_out else vertices
