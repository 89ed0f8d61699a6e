"""Which lines of a drawing are used: told by the middles of their pieces, which stay in place when ends are joined."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from kitforge.geometry.meeting import PieceTable
from kitforge.model.drawing import Point
from kitforge.model.path import Path

NEAR = 0.02
"""How far apart the middles of one and the same piece may lie, mm: ends move by up to 0.01 mm when they are joined."""


def uncovered(paths: Sequence[Path], taken: Sequence[Path]) -> list[tuple[Point, bool] | None]:
    """Return for each path None if all of its pieces are among those of `taken`.

    Otherwise the middle of its first piece that is not, in mm, and whether none of its pieces is.
    """
    from scipy.spatial import cKDTree

    table = PieceTable.of(paths)
    middles = _middles(table)
    free = np.ones(len(middles), dtype=bool)
    used = _middles(PieceTable.of(taken))
    if len(used) and len(middles):
        distances, _ = cKDTree(used).query(middles, distance_upper_bound=NEAR)
        free = ~np.isfinite(distances)
    found: list[tuple[Point, bool] | None] = [None] * len(paths)
    counts = np.bincount(table.path, minlength=len(paths))
    frees = np.bincount(table.path[free], minlength=len(paths))
    rows = np.flatnonzero(free)[::-1]
    for row in rows.tolist():
        index = int(table.path[row])
        found[index] = ((float(middles[row, 0]), float(middles[row, 1])), bool(frees[index] == counts[index]))
    return found


def without_copies(paths: Sequence[Path]) -> list[Path]:
    """Return the closed path of the largest area first, then the others that do not lie on it from end to end."""
    largest = max((path for path in paths if path.closed), key=lambda path: abs(path.area), default=None)
    if largest is None or len(paths) < 2:
        return list(paths)
    return [largest, *(path for path in paths if path is not largest and not _lies_on(path, largest))]


def _lies_on(path: Path, other: Path) -> bool:
    from kitforge.geometry.region import line_of

    box, around = path.bounds, other.bounds
    if box.left < around.left - NEAR or box.right > around.right + NEAR:
        return False
    return bool(line_of(other).buffer(NEAR).covers(line_of(path)))


def _middles(table: PieceTable) -> NDArray[np.float64]:
    """Return the middle of each piece along its length, shape (n, 2)."""
    half = table.begin + table.turn / 2
    round_ = table.radius > 0
    x = np.where(round_, table.cx + table.radius * np.cos(half), (table.x0 + table.x1) / 2)
    y = np.where(round_, table.cy + table.radius * np.sin(half), (table.y0 + table.y1) / 2)
    return np.column_stack([x, y])
