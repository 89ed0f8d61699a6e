"""Where on the paper the picked-out cuts of a scene lie, and which of them are small."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from shapely import convex_hull, get_coordinates, multipoints

from kitforge.pictures.shaded.windows import blocks_of

if TYPE_CHECKING:
    from typing import Any

    from kitforge.pictures.shaded.render import LitScene
    from kitforge.pictures.shaded.view import PictureView, PixelCanvas

Box = tuple[slice, slice]

# Smaller across than the one, or narrower than the other, as shares of the wood's width on paper, a cut is small.
_SMALL, _NARROW = 0.09, 0.03
# Cells of more dots than this are seen as squares unless they are smoothed.
_SMOOTH = 1.25
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
    places: of their pieces, x and y in dots from the upper left, shape (2, count), each `rim` dots wide; around: the
    outline of the wood, and size: columns and rows of the paper, dots.
    """

    width: float
    whole: CutSpot
    spots: tuple[CutSpot, ...]
    layers: tuple[CutLayer, ...]
    places: NDArray[np.floating[Any]]
    rim: float
    around: tuple[tuple[float, float], ...]
    size: tuple[int, int]

    def marked(self, by: int) -> NDArray[np.bool_]:
        """Return which squares of `by` x `by` dots hold some of a cut, shape (rows, columns), row 0 on top."""
        columns, rows = self.size
        out = np.zeros((-(-rows // by), -(-columns // by)), dtype=bool)
        for across in (-0.5, 0.0, 0.5):
            for up in (-0.5, 0.0, 0.5):
                x, y = np.floor(self.places + self.rim * np.array([[across], [up]])).astype(np.intp)
                inside = (x >= 0) & (x < columns) & (y >= 0) & (y < rows)
                out[y[inside] // by, x[inside] // by] = True
        return out

    def wood(self, by: int) -> NDArray[np.bool_]:
        """Return which of every `by`-th dot across and up the stock's block takes, shape (rows, columns), row 0 on
        top."""
        from PIL import Image, ImageDraw

        image = Image.new("1", self.size)
        ImageDraw.Draw(image).polygon(self.around, fill=1)
        return np.asarray(image)[::by, ::by]


def cuts_on(scene: LitScene, view: PictureView, canvas: PixelCanvas) -> Cuts | None:
    """Return the picked-out cuts of a scene as they lie on a canvas, None if there are none."""
    from scipy.ndimage import find_objects, label

    width = _width_of(scene, view) * canvas.scale
    by = max(1, math.ceil(_PIECE * width / canvas.scale / scene.cell))
    pieces = blocks_of(scene.cells[..., 2] > 127, by)
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
    size = canvas.columns, canvas.rows
    return Cuts(width, _spot(together, rim), tuple(spots), layers, together, rim, _wood(scene, view, canvas), size)


def covered(layers: Iterable[CutLayer], scene: LitScene, view: PictureView, canvas: PixelCanvas) -> NDArray[np.bool_]:
    """Return the dots of a canvas that cuts take up where they begin, shape (rows, columns), row 0 on top."""
    from PIL import Image

    out = np.zeros((canvas.rows, canvas.columns), dtype=bool)
    # Cells that are smaller than dots need not be smoothed.
    way = Image.Resampling.NEAREST if scene.cell * canvas.scale < _SMOOTH else Image.Resampling.BILINEAR
    for layer in layers:
        rows, columns = (slice(int(at[0]), int(at[-1]) + 1) for at in (_some(layer.pieces, 1), _some(layer.pieces, 0)))
        own = layer.pieces[rows, columns].repeat(layer.by, axis=0).repeat(layer.by, axis=1)
        low, left = rows.start * layer.by, columns.start * layer.by
        marked = scene.cells[low : low + own.shape[0], left : left + own.shape[1], 2] > 127
        image = Image.fromarray((marked & own[: marked.shape[0], : marked.shape[1]]).view(np.uint8) * np.uint8(255))
        a, b, c, d, e, f = _cells_below(scene, view, canvas, layer.level)
        c, f = c - left, f - low
        x, y = _dots_of((a, b, c, d, e, f), image.size, canvas)
        matrix = (a, b, c + a * x.start + b * y.start, d, e, f + d * x.start + e * y.start)
        size = len(x), len(y)
        laid = np.asarray(image.transform(size, Image.Transform.AFFINE, matrix, way)) > 127
        out[y.start : y.stop, x.start : x.stop] |= laid
    return out


def _some(mask: NDArray[np.bool_], axis: int) -> NDArray[np.intp]:
    """Return the rows, or the columns, of a mask that hold anything; axis: along which they run."""
    return np.flatnonzero(mask.any(axis=axis))


def _dots_of(
    matrix: tuple[float, float, float, float, float, float], size: tuple[int, int], canvas: PixelCanvas
) -> tuple[range, range]:
    """Return the columns and rows of a canvas that may show something of a picture of `size`."""
    a, b, c, d, e, f = matrix
    over = a * e - b * d
    corners = [(i - c, j - f) for i in (-1, size[0] + 1) for j in (-1, size[1] + 1)]
    x = [(e * i - b * j) / over for i, j in corners]
    y = [(a * j - d * i) / over for i, j in corners]
    return _within(x, canvas.columns), _within(y, canvas.rows)


def _within(at: list[float], count: int) -> range:
    first = min(max(0, math.floor(min(at))), count)
    return range(first, max(first, min(count, math.ceil(max(at)) + 1)))


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


def _wood(scene: LitScene, view: PictureView, canvas: PixelCanvas) -> tuple[tuple[float, float], ...]:
    """Return the outline of the stock's block on the paper, dots from the upper left."""
    around = get_coordinates(convex_hull(multipoints(_corners(scene, view)))).tolist()
    return tuple(((u - canvas.left) * canvas.scale, canvas.rows - (v - canvas.low) * canvas.scale) for u, v in around)
