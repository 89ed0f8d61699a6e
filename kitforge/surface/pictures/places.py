"""Where on the paper the picked-out cuts of a scene lie, and which of them are small."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import Any

    import numpy as np
    from numpy.typing import NDArray

    from kitforge.surface.pictures.render import Scene
    from kitforge.surface.pictures.view import Canvas, View

# Smaller across than the one, or narrower than the other, as shares of the wood's width on paper, a cut is small.
_SMALL, _NARROW = 0.06, 0.016
# The map is looked at in pieces of this share of the wood's width.
_PIECE = 0.0025


@dataclass(frozen=True, slots=True)
class Spot:
    """A cut's middle on the paper, dots from the upper left, and how far it reaches across, dots."""

    x: float
    y: float
    across: float


@dataclass(frozen=True, slots=True, eq=False)
class Cuts:
    """The picked-out cuts on paper. width: of the wood, dots; whole, spots: all cuts together, and each by itself;
    small, marked, wood: dots of the small cuts, of all cuts and of the wood, shape (rows, columns), row 0 on top."""

    width: float
    whole: Spot
    spots: tuple[Spot, ...]
    small: NDArray[np.bool_]
    marked: NDArray[np.bool_]
    wood: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class _Pieces:
    """The map in coarse pieces: size mm, which are picked out, how high the wood stands around each, mm."""

    size: float
    marked: NDArray[np.bool_]
    height: NDArray[np.floating[Any]]


def cuts_on(scene: Scene, view: View, canvas: Canvas) -> Cuts | None:
    """Return the picked-out cuts of a scene as they lie on a canvas, None if there are none."""
    import numpy as np
    from scipy.ndimage import binary_erosion, label, maximum

    width = _width_of(scene, view) * canvas.scale
    pieces = _pieces(scene, _PIECE * width / canvas.scale)
    if not pieces.marked.any():
        return None
    named, count = label(pieces.marked, np.ones((3, 3)))
    numbers = np.arange(1, count + 1)
    narrow = max(1, round(_NARROW / _PIECE / 2))
    deep = binary_erosion(pieces.marked, np.ones((3, 3)), iterations=narrow)
    thick = maximum(deep, named, numbers) > 0
    row, column = np.nonzero(pieces.marked)
    x, y = _on_paper(scene, view, canvas, pieces, row, column)
    which = named[row, column]
    rim = pieces.size * canvas.scale
    spots = [_spot(x[which == number], y[which == number], rim) for number in numbers]
    small = np.array([s.across < _SMALL * width or not t for s, t in zip(spots, thick, strict=True)])
    keep = small[which - 1]
    return Cuts(
        width,
        _spot(x, y, rim),
        tuple(spots),
        _dots(canvas, x[keep], y[keep], rim),
        _dots(canvas, x, y, rim),
        _wood(scene, view, canvas),
    )


def _pieces(scene: Scene, size: float) -> _Pieces:
    """Return the map in square pieces of at least `size` mm."""
    import numpy as np
    from scipy.ndimage import maximum_filter

    by = max(1, math.ceil(size / scene.cell))
    rows, columns = scene.height.shape
    pad = (0, -rows % by), (0, -columns % by)
    marked = np.pad(scene.cells[..., 2] > 127, pad)
    height = np.pad(scene.height, pad, constant_values=scene.floor)
    shape = marked.shape[0] // by, by, marked.shape[1] // by, by
    return _Pieces(
        by * scene.cell,
        marked.reshape(shape).any(axis=(1, 3)),
        maximum_filter(height.reshape(shape).max(axis=(1, 3)), 3),
    )


def _on_paper(
    scene: Scene, view: View, canvas: Canvas, pieces: _Pieces, row: NDArray[np.intp], column: NDArray[np.intp]
) -> tuple[NDArray[np.floating[Any]], NDArray[np.floating[Any]]]:
    """Return where pieces lie on the paper, at the level of the wood around them, dots from the upper left."""
    u, v = view.turned(scene.x0 + (column + 0.5) * pieces.size, scene.y0 + (row + 0.5) * pieces.size)
    up = v * view.lift + pieces.height[row, column] * view.height
    return (u - canvas.left) * canvas.scale, canvas.rows - (up - canvas.low) * canvas.scale


def _spot(x: NDArray[np.floating[Any]], y: NDArray[np.floating[Any]], rim: float) -> Spot:
    left, right, top, bottom = float(x.min()), float(x.max()), float(y.min()), float(y.max())
    return Spot((left + right) / 2, (top + bottom) / 2, math.hypot(right - left, bottom - top) + rim)


def _dots(
    canvas: Canvas, x: NDArray[np.floating[Any]], y: NDArray[np.floating[Any]], rim: float
) -> NDArray[np.bool_]:
    """Return the dots within half of `rim` of places, in squares."""
    import numpy as np
    from scipy.ndimage import maximum_filter

    out = np.zeros((canvas.rows, canvas.columns), dtype=bool)
    inside = (x >= 0) & (x < canvas.columns) & (y >= 0) & (y < canvas.rows)
    out[y[inside].astype(np.intp), x[inside].astype(np.intp)] = True
    wide: NDArray[np.bool_] = maximum_filter(out, math.ceil(rim))
    return wide


def _corners(scene: Scene, view: View) -> list[tuple[float, float]]:
    """Return the corners of the stock's block as seen: to the right and up, mm."""
    import numpy as np

    wood = scene.height > scene.floor + 0.02
    rows, columns = np.flatnonzero(wood.any(axis=1)), np.flatnonzero(wood.any(axis=0))
    xs = (scene.x0 + scene.cell * float(columns[0]), scene.x0 + scene.cell * float(columns[-1] + 1))
    ys = (scene.y0 + scene.cell * float(rows[0]), scene.y0 + scene.cell * float(rows[-1] + 1))
    flat = [view.turned(x, y) for x in xs for y in ys]
    return [(u, v * view.lift + z * view.height) for u, v in flat for z in (0.0, scene.floor)]


def _width_of(scene: Scene, view: View) -> float:
    """Return how wide the stock is seen, mm; of stock that is seen higher than wide, four thirds of its height."""
    corners = _corners(scene, view)
    across = max(u for u, _ in corners) - min(u for u, _ in corners)
    return max(across, 4 / 3 * (max(v for _, v in corners) - min(v for _, v in corners)))


def _wood(scene: Scene, view: View, canvas: Canvas) -> NDArray[np.bool_]:
    """Return the dots of the stock's block, shape (rows, columns)."""
    import numpy as np
    from PIL import Image, ImageDraw
    from scipy.spatial import ConvexHull

    corners = np.array(_corners(scene, view))
    around = corners[ConvexHull(corners).vertices]
    points = [((u - canvas.left) * canvas.scale, canvas.rows - (v - canvas.low) * canvas.scale) for u, v in around]
    image = Image.new("1", (canvas.columns, canvas.rows))
    ImageDraw.Draw(image).polygon(points, fill=1)
    return np.asarray(image)
