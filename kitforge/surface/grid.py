"""The grid of a height map: square cells over the part and a margin around it."""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from kitforge.model.kit import OperationKind, Part
from kitforge.model.record import record
from kitforge.model.steps import Step

CELL = 0.25
FINEST_CELL = 0.05
CEILING = 16_000_000
# Small parts get finer cells until about this many of them are used.
_WANTED = 1_000_000
_RIM = 4.0


@record
class Grid:
    """Cells of `cell` mm. x0, y0: the lower left corner of cell (0, 0) in the part's coordinates; row 0 is lowest."""

    x0: float
    y0: float
    cell: float
    rows: int
    columns: int

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns."""
        return self.rows, self.columns

    @property
    def size(self) -> tuple[float, float]:
        """Length along x and width along y, mm."""
        return self.columns * self.cell, self.rows * self.cell

    @property
    def cell_area(self) -> float:
        """Area of one cell, mm²."""
        return self.cell**2

    def x(self) -> NDArray[np.float64]:
        """Return the x of the middle of every column, shape (columns,), mm."""
        return self.x0 + (np.arange(self.columns, dtype=np.float64) + 0.5) * self.cell

    def y(self) -> NDArray[np.float64]:
        """Return the y of the middle of every row, shape (rows,), mm."""
        return self.y0 + (np.arange(self.rows, dtype=np.float64) + 0.5) * self.cell

    def point(self, row: int, column: int) -> tuple[float, float]:
        """Return the middle of a cell, mm."""
        return self.x0 + (column + 0.5) * self.cell, self.y0 + (row + 0.5) * self.cell

    def index(self, x: float, y: float) -> tuple[int, int]:
        """Return (row, column) of the cell that holds a point. Raises ValueError for a point off the grid."""
        row, column = math.floor((y - self.y0) / self.cell), math.floor((x - self.x0) / self.cell)
        if not (0 <= row < self.rows and 0 <= column < self.columns):
            raise ValueError(f"the point ({x:g}, {y:g}) mm lies outside the height map")
        return row, column


def grid_for(
    part: Part,
    steps: Iterable[Step],
    cell: float | None = None,
    ceiling: int = CEILING,
    window: tuple[float, float, float, float] | None = None,
) -> Grid:
    """Return the grid for a part: its box, room around it for the cuts that free it, and at most `ceiling` cells.

    cell: wanted cell in mm; None takes 0.25 mm, or finer cells down to 0.05 mm for small parts. A cell that would
    need more than `ceiling` cells is made larger. window: left, bottom, right, top of the only piece that is
    wanted, mm. Raises ValueError for a cell that is not above 0 mm and for a window beside the part.
    """
    if cell is not None and not cell > 0:
        raise ValueError(f"the cell must be above 0 mm, not {cell:g} mm")
    left, bottom, right, top = _extent(part, steps, window)
    width, height = right - left, top - bottom
    wanted = cell or min(CELL, max(FINEST_CELL, math.sqrt(width * height / _WANTED)))
    size = max(wanted, math.sqrt(width * height / ceiling))
    rows, columns = math.ceil(height / size - 1e-9), math.ceil(width / size - 1e-9)
    while rows * columns > ceiling:
        size *= 1.001
        rows, columns = math.ceil(height / size), math.ceil(width / size)
    return Grid((left + right - columns * size) / 2, (bottom + top - rows * size) / 2, size, rows, columns)


def _extent(
    part: Part, steps: Iterable[Step], window: tuple[float, float, float, float] | None
) -> tuple[float, float, float, float]:
    box, rim = part.outline.bounds, _rim(steps)
    whole = box.left - rim, box.bottom - rim, box.right + rim, box.top + rim
    if window is None:
        return whole
    left, bottom = max(whole[0], window[0]), max(whole[1], window[1])
    right, top = min(whole[2], window[2]), min(whole[3], window[3])
    if left >= right or bottom >= top:
        raise ValueError("the window lies beside the part")
    return left, bottom, right, top


def _rim(steps: Iterable[Step]) -> float:
    around = (s.cutter.diameter + s.leave_walls for s in steps if s.operation.does is OperationKind.PROFILE)
    return max(around, default=0.0) + _RIM
