"""What is left of a sheet after a layout: the rectangles that are worth keeping."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.geometry.crowded import covering
from kitforge.model.layout import Placement
from kitforge.model.path import Path
from kitforge.model.piece import Bounds
from kitforge.planning.areas import filled

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

LEAST_SIDE = 100.0
"""Narrower pieces are not counted as worth keeping, mm: common practice, no source."""
_CELL, _MOST_CELLS, _MOST = 5.0, 250_000, 4


def rectangles_left(
    outline: BaseGeometry, lying: Sequence[tuple[Placement, Path]], kerf: float, least: float = LEAST_SIDE
) -> list[Bounds]:
    """Return up to four rectangles of a piece that no cut touches, the largest first, none over another.

    kerf: how far a cut reaches beyond a part, mm. Sides are whole cells of 5 mm (more on a very large piece), so that a
    rectangle may be a little larger than told, and never smaller.
    """
    from shapely import union_all

    taken = union_all([covering(place.shape(filled([path])), kerf) for place, path in lying])
    free = outline.difference(taken)
    left, bottom, right, top = outline.bounds
    cell = max(_CELL, ((right - left) * (top - bottom) / _MOST_CELLS) ** 0.5)
    cells = _cells_inside(free, left, bottom, (right - left, top - bottom), cell)
    found = []
    for _piece in range(_MOST):
        x, y, wide, high = _largest(cells, least / cell)
        if not wide:
            break
        cells[y : y + high, x : x + wide] = False
        found.append(Bounds(left + x * cell, bottom + y * cell, left + (x + wide) * cell, bottom + (y + high) * cell))
    return found


def _cells_inside(
    free: BaseGeometry, left: float, bottom: float, size: tuple[float, float], cell: float
) -> NDArray[np.bool_]:
    """Return which cells of a grid lie wholly in an area, by rows from below."""
    import numpy as np
    from shapely import box, covers, prepare

    xs, ys = (np.arange(int(side / cell + 1e-9)) * cell for side in size)
    x, y = np.meshgrid(left + xs, bottom + ys)
    prepare(free)
    inside: NDArray[np.bool_] = covers(free, box(x, y, x + cell, y + cell))
    return inside


def _largest(cells: NDArray[np.bool_], least: float) -> tuple[int, int, int, int]:
    """Return the largest full rectangle of a grid (x, y, wide, high), sides of at least `least`; zeros for none.

    Row by row the heights of full columns make a histogram, whose largest rectangle a stack finds in one pass.
    """
    import numpy as np

    best, heights = (0, 0, 0, 0), np.zeros(cells.shape[1], dtype=int)
    for y, row in enumerate(cells):
        heights = np.where(row, heights + 1, 0)
        stack: list[tuple[int, int]] = []
        for x, height in enumerate([*heights.tolist(), 0]):
            start = x
            while stack and stack[-1][1] >= height:
                start, tall = stack.pop()
                wide = x - start
                if wide * tall > best[2] * best[3] and min(wide, tall) >= least - 1e-9:
                    best = (start, y - tall + 1, wide, tall)
            stack.append((start, height))
    return best
