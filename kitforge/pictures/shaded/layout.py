"""The height map laid out on the columns of the paper, and which point of it every dot shows.

Seen from a slant, points nearer to the eye hide those behind. Along each column the highest dot reached so far is a
running maximum, and every dot shows the first point that reaches it; so all dots are found at once.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kitforge.pictures.shaded.view import PictureView, PixelCanvas

if TYPE_CHECKING:
    from typing import Any

    from PIL import Image

# A climb of so many dots from one row to the next is a wall.
_WALL = 1.5


@dataclass(frozen=True, slots=True)
class Layout:
    """Rows run away from the eye, `stride` mm apart, from `near` mm on; a column for each column of the paper.

    matrix: cell coordinates of the map as an affine function of (column, row), as Pillow takes it; deep: dots on the
    paper from the face down to the table. Of a piece, `canvas` is its paper; first, low: the number of its first row,
    and of the lowest row of its paper, in the whole.
    """

    view: PictureView
    canvas: PixelCanvas
    rows: int
    near: float
    stride: float
    matrix: tuple[float, float, float, float, float, float]
    deep: int
    first: int = 0
    low: int = 0

    @property
    def columns(self) -> int:
        """Columns of the paper."""
        return self.canvas.columns

    @property
    def rise(self) -> float:
        """Dots on the paper for each mm of height."""
        return self.view.height * self.canvas.scale


def layout_for(view: PictureView, canvas: PixelCanvas, x0: float, y0: float, cell: float, floor: float) -> Layout:
    """Return the layout of a map with its lower left corner at (x0, y0) mm, down to a table at height `floor` mm."""
    stride = 1 / (canvas.scale * view.lift)
    near = canvas.low / view.lift
    far = (canvas.low + canvas.rows / canvas.scale - floor * view.height) / view.lift
    c, s = math.cos(math.radians(view.turn)), math.sin(math.radians(view.turn))
    du, dv = 1 / canvas.scale / cell, stride / cell
    u, v = canvas.left / cell, near / cell
    a, b, d, e = (_exact(one) for one in (c * du, s * dv, -s * du, c * dv))
    matrix = (a, b, _exact(c * u + s * v - x0 / cell), d, e, _exact(-s * u + c * v - y0 / cell))
    deep = math.ceil(-floor * view.height * canvas.scale)
    return Layout(view, canvas, math.ceil((far - near) / stride) + 1, near, stride, matrix, deep)


def _exact(value: float) -> float:
    """Return a number with few enough bits that places which are reckoned from it are exact: a piece has those of the
    whole."""
    return round(value * 2**32) / 2**32


def piece_of(layout: Layout, columns: tuple[int, int], rows: tuple[int, int]) -> Layout:
    """Return the piece of a layout that shows some columns and rows of the paper, from the first up to the last.

    Nothing lies above the face: a row of the layout reaches the dots up to its own, and none that is `deep` further on.
    """
    return _piece(layout, columns, rows, (max(0, rows[0] - 3), min(layout.rows, rows[1] + layout.deep + 3)))


def level_piece_of(layout: Layout, columns: tuple[int, int], rows: tuple[int, int]) -> Layout:
    """Return the same of a piece that shows nothing but the face: its rows are those of the paper."""
    return _piece(layout, columns, rows, rows)


def _piece(layout: Layout, columns: tuple[int, int], rows: tuple[int, int], own: tuple[int, int]) -> Layout:
    (left, right), (low, high), (first, last) = columns, rows, own
    canvas = layout.canvas.columns_only(left, right).rows_only(high - low)
    a, b, c, d, e, f = layout.matrix
    matrix = (a, b, c + a * left + b * first, d, e, f + d * left + e * first)
    return replace(layout, canvas=canvas, rows=last - first, matrix=matrix, first=first, low=low)


def image_of(heights: NDArray[np.floating[Any]]) -> Image.Image:
    """Return heights as a picture, which is what is laid out."""
    from PIL import Image

    return Image.fromarray(heights)


def image_of_cells(cells: NDArray[np.uint8]) -> Image.Image:
    """Return four values of a byte for each cell as a picture."""
    from PIL import Image

    rows, columns = cells.shape[:2]
    return Image.frombuffer("RGBX", (columns, rows), np.ascontiguousarray(cells), "raw", "RGBX", 0, 1)


def laid(layout: Layout, heights: Image.Image, outside: float) -> NDArray[np.floating[Any]]:
    """Return heights on the layout, shape (layout.rows, columns); `outside` beyond the map."""
    return _moved(layout, heights, outside)


def laid_cells(layout: Layout, cells: Image.Image, outside: tuple[int, int, int, int]) -> NDArray[np.uint32]:
    """Return four values of a byte for each point of the layout, packed into 32 bits."""
    packed: NDArray[np.uint32] = _moved(layout, cells, outside).view(np.uint32)[..., 0]
    return packed


def _moved(layout: Layout, image: Image.Image, outside: float | tuple[int, ...]) -> NDArray[Any]:
    from PIL import Image as Pillow

    moved = image.transform(
        (layout.columns, layout.rows),
        Pillow.Transform.AFFINE,
        layout.matrix,
        Pillow.Resampling.BILINEAR,
        fillcolor=outside,
    )
    return np.asarray(moved)


def laid_bytes(layout: Layout, values: Image.Image) -> NDArray[np.uint8]:
    """Return one value of a byte for each point of the layout; 0 beyond the map."""
    return _moved(layout, values, 0)


def first_hits(layout: Layout, height: NDArray[np.floating[Any]]) -> NDArray[np.int32]:
    """Return for each dot the row of the layout that reaches it first, shape (rows, columns) of the paper."""
    up = height * np.float32(layout.rise)
    up += (np.arange(layout.first, layout.first + layout.rows, dtype=np.float32) + np.float32(1.001))[:, None]
    np.maximum.accumulate(up, axis=0, out=up)
    low, rows = layout.low, layout.canvas.rows
    top = np.clip(up, low, low + rows, out=up).astype(np.int32)
    top -= low
    hit = np.zeros((rows + 1, layout.columns), dtype=np.int32)
    # A row shows what comes above those before it; of rows that reach no higher the last one stays, which does.
    above = top[:-1].astype(np.intp) * layout.columns + np.arange(layout.columns)
    hit.ravel()[above.ravel()] = np.arange(1, len(top), dtype=np.int32).repeat(layout.columns)
    np.maximum.accumulate(hit, axis=0, out=hit)
    return hit[:rows]


@dataclass(frozen=True, slots=True, eq=False)
class Points:
    """What some dots show: x, y, z in mm, and whether it is a wall."""

    x: NDArray[np.floating[Any]]
    y: NDArray[np.floating[Any]]
    z: NDArray[np.floating[Any]]
    wall: NDArray[np.bool_]


def points(layout: Layout, height: NDArray[np.floating[Any]], dot: NDArray[np.intp], hit: NDArray[np.int32]) -> Points:
    """Return what the dots with these flat numbers show: between the row that reaches the dot and the one before."""
    row, column = (part.astype(np.int32) for part in np.divmod(dot.astype(np.uint32), np.uint32(layout.columns)))
    flat = hit * np.int32(layout.columns) + column
    rise = np.float32(layout.rise)
    before = height.ravel()[np.maximum(flat - np.int32(layout.columns), 0)]
    climb = height.ravel()[flat] - before
    share = (row - hit + np.int32(layout.low - layout.first + 1)).astype(np.float32) - before * rise
    share /= np.maximum(climb * rise + 1, np.float32(1e-3))
    np.clip(share, 0, 1, out=share)
    x, y = _places(layout, column, hit + np.int32(layout.first) + share)
    return Points(x, y, before + share * climb, climb * rise > np.float32(_WALL))


def level_points(layout: Layout) -> tuple[NDArray[np.floating[Any]], NDArray[np.floating[Any]]]:
    """Return x and y in mm of what every dot of a level piece shows, shape (rows, columns): each row reaches its own.

    They have the bits that `points` gives.
    """
    column = np.arange(layout.columns, dtype=np.int32)[None, :]
    row = np.arange(layout.first, layout.first + layout.rows, dtype=np.int32)[:, None]
    return _places(layout, column, row + np.float32(1))


def _places(
    layout: Layout, column: NDArray[np.int32], row: NDArray[np.floating[Any]]
) -> tuple[NDArray[np.floating[Any]], NDArray[np.floating[Any]]]:
    """Return x and y of places on the layout, mm. row: counted from the first one's lower edge."""
    u = np.float32(layout.canvas.left) + (column + np.float32(0.5)) * np.float32(1 / layout.canvas.scale)
    v = np.float32(layout.near) + (row - np.float32(0.5)) * np.float32(layout.stride)
    u, v = u.astype(np.float32), v.astype(np.float32)
    c, s = np.float32(math.cos(math.radians(layout.view.turn))), np.float32(math.sin(math.radians(layout.view.turn)))
    return c * u + s * v, c * v - s * u
