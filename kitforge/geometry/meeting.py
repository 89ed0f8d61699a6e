"""Where lines and arcs meet, on whole arrays of pairs at once: crossings and overlaps, in closed form."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import fields
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kitforge.model.path import Path
from kitforge.model.piece import Piece
from kitforge.model.record import record

if TYPE_CHECKING:
    Floats = NDArray[np.float64]
    Numbers = NDArray[np.int64]
    Flags = NDArray[np.bool_]


_NEIGHBOURS = 4
"""Pieces of one path with less than so many tolerances of it between them are neighbours."""


@record
class PieceTable:
    """The pieces of many paths as columns. For lines `radius` is 0 and the centre means nothing.

    path: number of the path; order: place in it; count: how many pieces its path has; ring: whether that is closed;
    before, after: how much of the path comes before the piece, and after it, mm; turn: swept angle, signed, in radians;
    begin: angle of the start seen from the centre.
    """

    x0: Floats
    y0: Floats
    x1: Floats
    y1: Floats
    cx: Floats
    cy: Floats
    radius: Floats
    begin: Floats
    turn: Floats
    length: Floats
    low: Floats
    high: Floats
    path: Numbers
    order: Numbers
    count: Numbers
    ring: Flags
    before: Floats
    after: Floats

    @classmethod
    def of(cls, paths: Sequence[Path], shortest: float = 0.0) -> PieceTable:
        """Return the table of every piece longer than `shortest` mm; shorter ones join their neighbours."""
        # an endless coordinate loop of tiny tuples is what costs here, so the columns are made from one flat array
        rows = [
            (*piece, index, order)
            for index, path in enumerate(paths)
            for order, piece in enumerate(_real(path, shortest))
        ]
        flat = np.array(rows, dtype=np.float64).reshape(-1, 7)
        x0, y0, x1, y1, bulge = (flat[:, k].copy() for k in range(5))
        path, order = flat[:, 5].astype(np.int64), flat[:, 6].astype(np.int64)
        count = np.bincount(path, minlength=len(paths))[path] if len(path) else path
        ring = np.array([p.closed for p in paths], dtype=bool)[path] if len(path) else np.empty(0, dtype=bool)
        round_, (cx, cy, radius, begin, turn, length) = _circles(x0, y0, x1, y1, bulge)
        low, high = _boxes(x0, y0, x1, y1, cx, cy, radius, begin, turn, round_)
        before, after = _along(path, length, len(paths))
        return cls(
            x0, y0, x1, y1, cx, cy, radius, begin, turn, length, low, high, path, order, count, ring, before, after
        )  # fmt: skip

    def select(self, rows: Numbers) -> PieceTable:
        """Return some of the rows as a table."""
        return PieceTable(*(getattr(self, name)[rows] for name in [one.name for one in fields(self)]))


def _along(path: Numbers, length: Floats, count: int) -> tuple[Floats, Floats]:
    """Return how much of its path comes before each piece, and after it. Pieces stand in the order of their paths."""
    total = np.bincount(path, weights=length, minlength=count)
    ends = np.cumsum(length)
    starts = np.concatenate([[0.0], np.cumsum(total)])[:-1]
    if not len(path):
        return length, length
    before = ends - length - starts[path]
    return before, total[path] - before - length


def _real(path: Path, shortest: float) -> Iterator[Piece]:
    """Yield the pieces, those not longer than `shortest` drawn together to lines that are."""
    pieces = path.pieces()
    if not pieces:
        return
    x, y = path.start
    for piece in pieces:
        if piece.chord > shortest:
            yield Piece(x, y, piece.x1, piece.y1, piece.bulge)
        elif math.hypot(piece.x1 - x, piece.y1 - y) > shortest:
            yield Piece(x, y, piece.x1, piece.y1)
        else:
            continue
        x, y = piece.x1, piece.y1


def _circles(x0: Floats, y0: Floats, x1: Floats, y1: Floats, bulge: Floats) -> tuple[Flags, tuple[Floats, ...]]:
    chord = np.hypot(x1 - x0, y1 - y0)
    # flatter than a nanometre is a line: its centre would lie too far off to be of use
    round_ = np.abs(bulge) * chord / 2 > 1e-6
    safe = np.where(round_, bulge, 1.0)
    factor = (1 - safe * safe) / (4 * safe)
    cx = (x0 + x1) / 2 - (y1 - y0) * factor
    cy = (y0 + y1) / 2 + (x1 - x0) * factor
    radius = np.where(round_, chord * (1 + safe * safe) / (4 * np.abs(safe)), 0.0)
    turn = np.where(round_, 4 * np.arctan2(safe, 1.0), 0.0)
    begin = np.arctan2(y0 - cy, x0 - cx)
    length = np.where(round_, radius * np.abs(turn), chord)
    return round_, (cx, cy, radius, begin, turn, length)


def _boxes(
    x0: Floats,
    y0: Floats,
    x1: Floats,
    y1: Floats,
    cx: Floats,
    cy: Floats,
    radius: Floats,
    begin: Floats,
    turn: Floats,
    round_: Flags,
) -> tuple[Floats, Floats]:
    """Return the lower left and upper right corners, shape (n, 2) each, with the extremes of arcs."""
    low = np.column_stack([np.minimum(x0, x1), np.minimum(y0, y1)])
    high = np.column_stack([np.maximum(x0, x1), np.maximum(y0, y1)])
    for quarter, (axis, side) in enumerate(((0, 1), (1, 1), (0, -1), (1, -1))):
        passed = round_ & _within(quarter * np.pi / 2, begin, turn, 0.0)
        extreme = (cx if axis == 0 else cy) + side * radius
        target = high if side > 0 else low
        target[passed, axis] = extreme[passed]
    return low, high


def _within(angle: Floats | float, begin: Floats, turn: Floats, slack: Floats | float) -> Flags:
    """Return whether the direction `angle` lies on the arc, with some slack in radians at both ends."""
    way = np.mod((angle - begin) * np.sign(turn) + slack, 2 * np.pi) - slack
    result: Flags = way <= np.abs(turn) + slack
    return result


def _on_piece(table: PieceTable, x: Floats, y: Floats, tolerance: float) -> Flags:
    """Return whether points known to lie on the carriers (line or circle) lie on the pieces, ends included."""
    dx, dy = table.x1 - table.x0, table.y1 - table.y0
    size = np.hypot(dx, dy)
    along = ((x - table.x0) * dx + (y - table.y0) * dy) / size
    on_line = (along >= -tolerance) & (along <= size + tolerance)
    slack = tolerance / np.maximum(table.radius, tolerance)
    on_arc = _within(np.arctan2(y - table.cy, x - table.cx), table.begin, table.turn, slack)
    return np.where(table.radius > 0, on_arc, on_line)


def crossings_of(table: PieceTable, first: Numbers, second: Numbers, tolerance: float) -> list[tuple[float, float]]:
    """Return where pairs of pieces of one path meet other than in the vertex that neighbours share.

    Pieces with next to nothing between them count as neighbours: on a fine outline they are but parts of one curve.
    """
    if not len(first):
        return []
    a, b = table.select(first), table.select(second)
    points = _meeting_points(a, b)
    ahead = b.before - a.before - a.length
    behind = np.where(a.ring, a.before + b.after, np.inf)
    near = _NEIGHBOURS * tolerance
    found = []
    for x, y in points:
        with np.errstate(invalid="ignore"):
            met = np.isfinite(x) & _on_piece(a, x, y, tolerance) & _on_piece(b, x, y, tolerance)
            shared = ((ahead <= near) & (np.hypot(x - a.x1, y - a.y1) <= 2 * tolerance + ahead)) | (
                (behind <= near) & (np.hypot(x - a.x0, y - a.y0) <= 2 * tolerance + behind)
            )
        keep = met & ~shared
        found += list(zip(x[keep].tolist(), y[keep].tolist(), strict=True))
    return found


def _meeting_points(a: PieceTable, b: PieceTable) -> list[tuple[Floats, Floats]]:
    """Return up to two places, NaN where there are none, in which the carriers of each pair meet."""
    none = np.full(len(a.x0), np.nan)
    results = [(none.copy(), none.copy()), (none.copy(), none.copy())]
    round_a, round_b = a.radius > 0, b.radius > 0
    cases = (
        (~round_a & ~round_b, _line_line, False),
        (~round_a & round_b, _line_circle, False),
        (round_a & ~round_b, _line_circle, True),
        (round_a & round_b, _circle_circle, False),
    )
    for chosen, meet, swap in cases:
        rows = np.flatnonzero(chosen)
        if len(rows):
            one, other = a.select(rows), b.select(rows)
            for target, (x, y) in zip(results, meet(other, one) if swap else meet(one, other), strict=False):
                target[0][rows], target[1][rows] = x, y
    return results


def _line_line(a: PieceTable, b: PieceTable) -> list[tuple[Floats, Floats]]:
    ax, ay, bx, by = a.x1 - a.x0, a.y1 - a.y0, b.x1 - b.x0, b.y1 - b.y0
    cross = ax * by - ay * bx
    parallel = np.abs(cross) <= 1e-9 * np.hypot(ax, ay) * np.hypot(bx, by)
    share = ((b.x0 - a.x0) * by - (b.y0 - a.y0) * bx) / np.where(parallel, 1.0, cross)
    share = np.where(parallel, np.nan, share)
    return [(a.x0 + share * ax, a.y0 + share * ay)]


def _line_circle(line: PieceTable, arc: PieceTable) -> list[tuple[Floats, Floats]]:
    dx, dy = line.x1 - line.x0, line.y1 - line.y0
    size = np.hypot(dx, dy)
    dx, dy = dx / size, dy / size
    foot = (arc.cx - line.x0) * dx + (arc.cy - line.y0) * dy
    away = (arc.cx - line.x0) * dy - (arc.cy - line.y0) * dx
    half = _root(arc.radius**2 - away**2, arc.radius)
    return [(line.x0 + t * dx, line.y0 + t * dy) for t in (foot - half, foot + half)]


def _circle_circle(a: PieceTable, b: PieceTable) -> list[tuple[Floats, Floats]]:
    dx, dy = b.cx - a.cx, b.cy - a.cy
    gap = np.hypot(dx, dy)
    same = gap < 1e-6
    safe = np.where(same, 1.0, gap)
    along = (safe**2 + a.radius**2 - b.radius**2) / (2 * safe)
    half = np.where(same, np.nan, _root(a.radius**2 - along**2, a.radius))
    mx, my = a.cx + along * dx / safe, a.cy + along * dy / safe
    return [(mx - s * half * dy / safe, my + s * half * dx / safe) for s in (1, -1)]


def _root(square: Floats, size: Floats) -> Floats:
    """Return the square root; 0 where touching falls a rounding short of it, NaN where the two do not meet."""
    touching = (square < 0) & (square > -1e-9 * size * size)
    return np.where(square < 0, np.where(touching, 0.0, np.nan), np.sqrt(np.abs(square)))


def overlaps_of(
    table: PieceTable, first: Numbers, second: Numbers, tolerance: float
) -> list[tuple[int, int, float, float, float]]:
    """Return (piece, piece, length in mm, middle x, middle y) for the pairs that lie on one another."""
    if not len(first):
        return []
    a, b = table.select(first), table.select(second)
    round_a, round_b = a.radius > 0, b.radius > 0
    found: list[tuple[int, int, float, float, float]] = []
    for rows, measure in ((~round_a & ~round_b, _line_overlap), (round_a & round_b, _arc_overlap)):
        chosen = np.flatnonzero(rows)
        if not len(chosen):
            continue
        length, x, y = measure(a.select(chosen), b.select(chosen), tolerance)
        for row in np.flatnonzero(length > tolerance).tolist():
            pair = int(first[chosen[row]]), int(second[chosen[row]])
            found.append((*pair, float(length[row]), float(x[row]), float(y[row])))
    return found


def _line_overlap(a: PieceTable, b: PieceTable, tolerance: float) -> tuple[Floats, Floats, Floats]:
    """Return shared length and its middle. The shared stretch has to lie within the tolerance at both of its ends."""
    dx, dy = (a.x1 - a.x0) / a.length, (a.y1 - a.y0) / a.length
    s0 = (b.x0 - a.x0) * dx + (b.y0 - a.y0) * dy
    s1 = (b.x1 - a.x0) * dx + (b.y1 - a.y0) * dy
    n0 = (b.y0 - a.y0) * dx - (b.x0 - a.x0) * dy
    n1 = (b.y1 - a.y0) * dx - (b.x1 - a.x0) * dy
    low, high = np.maximum(np.minimum(s0, s1), 0.0), np.minimum(np.maximum(s0, s1), a.length)
    slope = (n1 - n0) / np.where(np.abs(s1 - s0) < 1e-12, np.inf, s1 - s0)
    apart = np.maximum(np.abs(n0 + slope * (low - s0)), np.abs(n0 + slope * (high - s0)))
    aligned = np.abs(n1 - n0) <= 0.1 * np.abs(s1 - s0)
    length = np.where((apart <= tolerance) & aligned, high - low, 0.0)
    middle = (low + high) / 2
    return length, a.x0 + middle * dx, a.y0 + middle * dy


def _arc_overlap(a: PieceTable, b: PieceTable, tolerance: float) -> tuple[Floats, Floats, Floats]:
    """Return shared length and its middle for arcs of one circle; of two shared stretches the longer one."""
    apart = np.maximum(np.hypot(a.cx - b.cx, a.cy - b.cy), np.abs(a.radius - b.radius))
    start_a, span_a = np.where(a.turn > 0, a.begin, a.begin + a.turn), np.abs(a.turn)
    start_b, span_b = np.where(b.turn > 0, b.begin, b.begin + b.turn), np.abs(b.turn)
    shift = np.mod(start_b - start_a, 2 * np.pi)
    first = np.minimum(span_a, shift + span_b) - shift
    # the second arc may also reach round past the start of the first one
    second = np.minimum(span_a, shift + span_b - 2 * np.pi)
    shared = np.maximum(np.maximum(first, second), 0.0)
    middle = start_a + np.where(first >= second, shift + first / 2, second / 2)
    length = np.where(apart <= tolerance, shared * a.radius, 0.0)
    return length, a.cx + a.radius * np.cos(middle), a.cy + a.radius * np.sin(middle)
