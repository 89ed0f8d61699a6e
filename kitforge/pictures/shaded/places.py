"""Where on the paper the picked-out cuts of a scene lie, and which of them are small."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from shapely import convex_hull, get_coordinates, multipoints

if TYPE_CHECKING:
    from typing import Any

    from kitforge.pictures.shaded.render import LitScene
    from kitforge.pictures.shaded.view import PictureView, PixelCanvas

Box = tuple[slice, slice]

# Smaller across than the one, or narrower than the other, as shares of the wood's width on paper, a cut is small.
_SMALL, _NARROW = 0.09, 0.03
# The map is looked at in pieces of this share of the wood's width.
_PIECE = 0.0025


@dataclass(frozen=True, slots=True)
class CutSpot:
    """A cut's middle on the paper, dots from the upper left, and how far it reaches across, dots."""

    x: float
    y: float
    across: float


@dataclass(frozen=True, slots=True, eq=False)
class CutLayer:
    """Cuts that begin at one height, mm: which pieces of `by` x `by` cells of the map they touch, and their size."""

    level: float
    small: bool
    pieces: NDArray[np.bool_]
    by: int


@dataclass(frozen=True, slots=True, eq=False)
class Cuts:
    """The picked-out cuts on paper.

    width: of the wood, dots; whole, spots: all cuts together, and each by itself; layers: where on the map they are;
    marked, wood: dots of all cuts and of the wood, shape (rows, columns), row 0 on top.
    """

    width: float
    whole: CutSpot
    spots: tuple[CutSpot, ...]
    layers: tuple[CutLayer, ...]
    marked: NDArray[np.bool_]
    wood: NDArray[np.bool_]


def cuts_on(scene: LitScene, view: PictureView, canvas: PixelCanvas) -> Cuts | None:
    """Return the picked-out cuts of a scene as they lie on a canvas, None if there are none."""
    from scipy.ndimage import find_objects, label

    width = _width_of(scene, view) * canvas.scale
    by = max(1, math.ceil(_PIECE * width / canvas.scale / scene.cell))
    pieces = pooled(scene.cells[..., 2] > 127, by)
    named, count = label(pieces, np.ones((3, 3)))
    if not count:
        return None
    narrow = _narrow(pieces, named, count)
    rim = by * scene.cell * canvas.scale
    spots, places, kinds = [], [], [(0.0, False)]
    for number, box in enumerate(find_objects(named), 1):
        level = _level_around(scene, box, by)
        at = np.stack(np.nonzero(named[box] == number)) + np.array([[box[0].start], [box[1].start]])
        places.append(_on_paper(scene, view, canvas, at, level, by * scene.cell))
        spots.append(_spot(places[-1], rim))
        kinds.append((level, bool(spots[-1].across < _SMALL * width or narrow[number - 1])))
    together = np.concatenate(places, axis=1)
    layers = tuple(
        CutLayer(*kind, np.array([n > 0 and other == kind for n, other in enumerate(kinds)])[named], by)
        for kind in sorted(set(kinds[1:]))
    )
    marked = _squares(together, rim, canvas)
    return Cuts(width, _spot(together, rim), tuple(spots), layers, marked, _wood(scene, view, canvas))


def covered(layers: Iterable[CutLayer], scene: LitScene, view: PictureView, canvas: PixelCanvas) -> NDArray[np.bool_]:
    """Return the dots of a canvas that cuts take up where they begin, shape (rows, columns), row 0 on top."""
    from PIL import Image

    out = np.zeros((canvas.rows, canvas.columns), dtype=bool)
    marked = scene.cells[..., 2] > 127
    for layer in layers:
        own = layer.pieces.repeat(layer.by, axis=0).repeat(layer.by, axis=1)[: marked.shape[0], : marked.shape[1]]
        image = Image.fromarray((marked & own).view(np.uint8) * np.uint8(255))
        matrix = _cells_below(scene, view, canvas, layer.level)
        size = canvas.columns, canvas.rows
        out |= np.asarray(image.transform(size, Image.Transform.AFFINE, matrix, Image.Resampling.BILINEAR)) > 127
    return out


def _cells_below(
    scene: LitScene, view: PictureView, canvas: PixelCanvas, level: float
) -> tuple[float, float, float, float, float, float]:
    """Return the cell of the map at a height of `level` mm under each dot, affine in (x, y) from the upper left."""
    c, s = math.cos(math.radians(view.turn)), math.sin(math.radians(view.turn))
    u, du = canvas.left, 1 / canvas.scale
    v, dv = (canvas.low + canvas.rows / canvas.scale - level * view.height) / view.lift, -du / view.lift
    x0, y0, cell = scene.x0, scene.y0, scene.cell
    return (
        c * du / cell,
        s * dv / cell,
        (c * u + s * v - x0) / cell,
        -s * du / cell,
        c * dv / cell,
        (c * v - s * u - y0) / cell,
    )


def pooled(mask: NDArray[np.bool_], by: int) -> NDArray[np.bool_]:
    """Return whether any element of each by x by square is set; the last squares may lie over the edge."""
    padded = np.pad(mask, ((0, -mask.shape[0] % by), (0, -mask.shape[1] % by)))
    return np.asarray(padded.reshape(padded.shape[0] // by, by, -1, by).any(axis=(1, 3)), dtype=bool)


def _squares(places: NDArray[np.floating[Any]], rim: float, canvas: PixelCanvas) -> NDArray[np.bool_]:
    """Return the dots that squares of `rim` dots cover; places: (2, count) of x and y."""
    from scipy.ndimage import maximum_filter

    out = np.zeros((canvas.rows, canvas.columns), dtype=bool)
    x, y = np.floor(places).astype(np.intp)
    inside = (x >= 0) & (x < canvas.columns) & (y >= 0) & (y < canvas.rows)
    out[y[inside], x[inside]] = True
    wide: NDArray[np.bool_] = maximum_filter(out, max(1, math.ceil(rim)))
    return wide


def _narrow(pieces: NDArray[np.bool_], named: NDArray[np.int32], count: int) -> NDArray[np.bool_]:
    """Return for each named group of pieces whether it is narrow everywhere."""
    from scipy.ndimage import binary_erosion, maximum

    left = binary_erosion(pieces, np.ones((3, 3)), iterations=max(1, round(_NARROW / _PIECE / 2)))
    return ~np.asarray(maximum(left, named, range(1, count + 1)), dtype=bool)


def _level_around(scene: LitScene, box: Box, by: int) -> float:
    """Return how high the wood stands around a cut, mm: what was cut is seen at the level of its upper edge."""
    rows, columns = (slice(max(0, part.start * by - 2), part.stop * by + 2) for part in box)
    return float(scene.height[rows, columns].max())


def _on_paper(
    scene: LitScene, view: PictureView, canvas: PixelCanvas, at: NDArray[np.intp], level: float, size: float
) -> NDArray[np.floating[Any]]:
    """Return where squares of `size` mm of the map lie on the paper at `level` mm: x, y in dots from the upper left."""
    c, s = math.cos(math.radians(view.turn)), math.sin(math.radians(view.turn))
    x, y = scene.x0 + (at[1] + 0.5) * size, scene.y0 + (at[0] + 0.5) * size
    up = (s * x + c * y) * view.lift + level * view.height
    return np.stack(((c * x - s * y - canvas.left) * canvas.scale, canvas.rows - (up - canvas.low) * canvas.scale))


def _spot(places: NDArray[np.floating[Any]], rim: float) -> CutSpot:
    left, top = (float(value) for value in places.min(axis=1))
    right, bottom = (float(value) for value in places.max(axis=1))
    return CutSpot((left + right) / 2, (top + bottom) / 2, math.hypot(right - left, bottom - top) + rim)


def _corners(scene: LitScene, view: PictureView) -> list[tuple[float, float]]:
    """Return the corners of the stock's block as seen: to the right and up, mm."""
    wood = scene.height > scene.floor + 0.02
    rows, columns = np.flatnonzero(wood.any(axis=1)), np.flatnonzero(wood.any(axis=0))
    xs = (scene.x0 + scene.cell * float(columns[0]), scene.x0 + scene.cell * float(columns[-1] + 1))
    ys = (scene.y0 + scene.cell * float(rows[0]), scene.y0 + scene.cell * float(rows[-1] + 1))
    flat = [view.turned(x, y) for x in xs for y in ys]
    return [(u, v * view.lift + z * view.height) for u, v in flat for z in (0.0, scene.floor)]


def _width_of(scene: LitScene, view: PictureView) -> float:
    """Return how wide the stock is seen, mm; of stock that is seen higher than wide, four thirds of its height."""
    corners = _corners(scene, view)
    across = max(u for u, _ in corners) - min(u for u, _ in corners)
    return max(across, 4 / 3 * (max(v for _, v in corners) - min(v for _, v in corners)))


def _wood(scene: LitScene, view: PictureView, canvas: PixelCanvas) -> NDArray[np.bool_]:
    """Return the dots of the stock's block, shape (rows, columns)."""
    from PIL import Image, ImageDraw

    around = get_coordinates(convex_hull(multipoints(_corners(scene, view)))).tolist()
    points = [((u - canvas.left) * canvas.scale, canvas.rows - (v - canvas.low) * canvas.scale) for u, v in around]
    image = Image.new("1", (canvas.columns, canvas.rows))
    ImageDraw.Draw(image).polygon(points, fill=1)
    return np.asarray(image)
