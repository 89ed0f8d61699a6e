"""Pictures from height maps: light on the map, the map on the paper, every dot in its colour."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kitforge.pictures.shaded.ink import ink_of, inkless, marks_of
from kitforge.pictures.shaded.layout import (
    Layout,
    first_hits,
    image_of,
    image_of_cells,
    laid,
    laid_bytes,
    laid_cells,
    layout_for,
    level_piece_of,
    level_points,
    piece_of,
    points,
)
from kitforge.pictures.shaded.light import PHASE, POOL, reach_of_light, slopes, soft_light, spread
from kitforge.pictures.shaded.palette import FULL_LIGHT, INKS, LIGHTS, TONES, Style, table_palette, wood_palette
from kitforge.pictures.shaded.view import PictureView, PixelCanvas, box_of
from kitforge.pictures.shaded.windows import windows_of
from kitforge.pictures.shaded.wood import Look, tone
from kitforge.surface.heightmap import Surface

if TYPE_CHECKING:
    from typing import Any

    from PIL import Image


Each = Callable[[Callable[[int], None], Iterable[int]], Iterable[None]]
"""Does something for every number: `map`, or that of an executor's threads, which do several at the same time."""

# So much of the stock's thickness the map reaches beyond it: further off, shade is too faint to be shown.
_AROUND = 1.1
# Slopes are worked out so many rows at a time, whose arrays stay in the cache.
_ROWS = 32
# A piece of the map that is larger than this share of it is not worth its margin.
_WORTH_IT = 0.7
# How much darker end grain is.
_END_GRAIN = 0.28 / 255
_OPEN_TABLE = (round(255 / FULL_LIGHT), 255, 0, 0)


@dataclass(frozen=True, slots=True, eq=False)
class LitScene:
    """A height map made ready: height mm up from the face, and per cell (bytes): light, uprightness, mark, end grain.

    x0, y0: lower left corner mm; floor: height of the table the stock lies on, mm.
    """

    x0: float
    y0: float
    cell: float
    height: NDArray[np.floating[Any]]
    cells: NDArray[np.uint8]
    floor: float
    look: Look

    @property
    def packed(self) -> NDArray[np.uint32]:
        """The four bytes of every cell as one number."""
        return self.cells.view(np.uint32)[..., 0]


def scene_of(
    surface: Surface,
    look: Look,
    view: PictureView,
    marked: NDArray[np.bool_] | None = None,
    like: LitScene | None = None,
) -> LitScene:
    """Return the scene of a surface on a table. marked: cells to pick out; like: another scene in the same view, whose
    light is taken where nothing near has changed: the scene is the same with it and without."""
    cell, floor = surface.grid.cell, -surface.thickness
    pad = math.ceil(_AROUND * surface.thickness / cell) + 2
    rows, columns = surface.grid.shape
    height = np.full((rows + 2 * pad, columns + 2 * pad), floor, dtype=np.float32)
    np.copyto(height[pad:-pad, pad:-pad], -surface.top, where=surface.remaining() > 0)
    piece = None if like is None or like.look != look or like.cell != cell else _changed_piece(height, cell, like)
    if like is None or piece is None:
        cells = cells_lit(height, cell, view.turn, grain_along_x=look.along_x)
    else:
        cells = like.cells.copy()
        cells[..., 2] = 0
        _light_again(cells, height, cell, view.turn, piece, grain_along_x=look.along_x)
    if marked is not None:
        cells[pad:-pad, pad:-pad, 2] = _wider(marked).view(np.uint8) * np.uint8(255)
    x0, y0 = box_of(surface.grid)[:2]
    return LitScene(x0 - pad * cell, y0 - pad * cell, cell, height, cells, floor, look)


def _changed_piece(height: NDArray[np.floating[Any]], cell: float, like: LitScene) -> LitPiece | None:
    """Return the piece of a map in which light may have changed, None where it is better worked out anew."""
    if height.shape != like.height.shape:
        return None
    span = float(height.max() - height.min())
    if span != float(like.height.max() - like.height.min()):
        return None
    changed, reach = height != like.height, reach_of_light(cell, span)
    rows, columns = (np.flatnonzero(changed.any(axis=axis)) for axis in (1, 0))
    if not len(rows):
        return LitPiece((0, 0), (0, 0), reach, span)
    piece = LitPiece((int(rows[0]), int(rows[-1]) + 1), (int(columns[0]), int(columns[-1]) + 1), reach, span)
    taken = [part.stop - part.start for part in piece.around(2, height.shape)]
    return piece if taken[0] * taken[1] < _WORTH_IT * height.size else None


def _light_again(
    cells: NDArray[np.uint8],
    height: NDArray[np.floating[Any]],
    cell: float,
    turn: float,
    piece: LitPiece,
    *,
    grain_along_x: bool,
) -> None:
    """Work out the light on a piece of a map anew, from the heights further around it."""
    inner, outer = (piece.around(times, height.shape) for times in (1, 2))
    if inner[0].stop <= inner[0].start or piece.rows[0] == piece.rows[1]:
        return
    found = cells_lit(height[outer], cell, turn, grain_along_x=grain_along_x, span=piece.span)
    own = tuple(slice(a.start - b.start, a.stop - b.start) for a, b in zip(inner, outer, strict=True))
    cells[inner] = found[own]


@dataclass(frozen=True, slots=True)
class LitPiece:
    """Rows and columns of a map whose heights have changed, from the first up to the last; reach: how many cells around
    them the light may have changed as well; span: from the lowest to the highest of the map, mm."""

    rows: tuple[int, int]
    columns: tuple[int, int]
    reach: int
    span: float

    def around(self, times: int, shape: tuple[int, ...]) -> tuple[slice, slice]:
        """Return the rows and columns that lie so many times the reach around it; they begin where light does."""
        found = [
            slice(max(0, first // PHASE * PHASE - times * self.reach), min(count, last + times * self.reach))
            for (first, last), count in zip((self.rows, self.columns), shape, strict=True)
        ]
        return found[0], found[1]


def cells_lit(
    height: NDArray[np.floating[Any]],
    cell: float,
    turn: float,
    *,
    grain_along_x: bool,
    span: float | None = None,
) -> NDArray[np.uint8]:
    """Return four bytes for each cell of a height map: light, uprightness, 0, end grain. span: as for `soft_light`.

    Most cells are level: their light is spread from the coarse cells it is worked out on, as bytes; only sloping cells
    are worked out one by one.
    """
    soft = soft_light(height, cell, turn, span)
    packed = spread(_in_bytes(soft.level), POOL, height.shape).astype(np.uint32)
    packed |= np.uint32(255 << 8)
    cells = packed.view(np.uint8).reshape(*height.shape, 4)
    flat = cells.reshape(-1, 4)
    for first in range(0, len(height), _ROWS):
        last = min(first + _ROWS, len(height))
        low, high = max(0, first - 1), min(len(height), last + 1)
        gx, gy = (part[first - low : last - low].ravel() for part in slopes(height[low:high], cell))
        some = np.flatnonzero((gx != 0) | (gy != 0))
        own = some + first * height.shape[1]
        lit = soft.on(own, height.shape[1], gx[some], gy[some], grain_along_x=grain_along_x)
        flat[own, 0] = _in_bytes(lit.light)
        flat[own, 1] = lit.upright * 255
        flat[own, 3] = np.clip(lit.across * 255, 0, 255)
    return cells


def _in_bytes(light: NDArray[np.floating[Any]]) -> NDArray[np.uint8]:
    """Return light in bytes, 255 for the most that there is."""
    found: NDArray[np.uint8] = np.clip(light * np.float32(255 / FULL_LIGHT) + np.float32(0.5), 0, 255).astype(np.uint8)
    return found


def _wider(marked: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return the cells with one more cell around them, so that the walls belong to them up to their upper edge."""
    wide = marked.copy()
    wide[1:] |= marked[:-1]
    wide[:-1] |= marked[1:]
    wide[:, 1:] |= wide[:, :-1].copy()
    wide[:, :-1] |= wide[:, 1:].copy()
    return wide


@dataclass(frozen=True, slots=True, eq=False)
class Painting:
    """A finished paper, RGBA packed into 32 bits, row 0 lowest, and what it shows."""

    scene: LitScene
    canvas: PixelCanvas
    view: PictureView
    style: Style
    paper: NDArray[np.uint32]

    @property
    def dots(self) -> NDArray[np.uint8]:
        """The paper as RGBA dots, shape (rows, columns, 4), row 0 on top."""
        return np.ascontiguousarray(self.paper[::-1]).view(np.uint8).reshape(*self.paper.shape, 4)


def dots(scene: LitScene, view: PictureView, canvas: PixelCanvas, style: Style, each: Each = map) -> NDArray[np.uint8]:
    """Return the paper as RGBA dots, shape (rows, columns, 4), row 0 on top. each: does the windows of the paper."""
    return painted(scene, view, canvas, style, each).dots


def painted(
    scene: LitScene,
    view: PictureView,
    canvas: PixelCanvas,
    style: Style,
    each: Each = map,
    like: Painting | None = None,
) -> Painting:
    """Return the paper of a scene. like: a finished one; where it shows the same, its dots are taken, for every dot
    depends on the cells around the one that it shows alone: the paper is the same with it and without."""
    layout = layout_for(view, canvas, scene.x0, scene.y0, scene.cell, scene.floor)
    # Where a row is not far from the next, a level face has no ink.
    level = scene.height == 0 if inkless(layout.stride) else None
    differs = None if like is None else _differing(scene, view, canvas, style, like)
    if like is None or differs is None:
        paper = np.full((canvas.rows, canvas.columns), table_palette(style)[_OPEN_TABLE[0] >> 1], dtype=np.uint32)
        windows = windows_of(layout, _beside_table(scene, style), level)
    else:
        paper, windows = like.paper.copy(), windows_of(layout, differs, level)
    images = image_of(scene.height), image_of_cells(scene.cells)
    faces = tuple(image_of(np.ascontiguousarray(scene.cells[..., k])) for k in (0, 2) if any(w.level for w in windows))

    def fill(number: int) -> None:
        own = windows[number]
        wide = own.wider(layout)
        (left, right), (low, high), first = own.columns, own.rows, wide.columns[0]
        if own.level:
            # As wide as any other: where a piece begins decides how places are rounded.
            found = _level_window(scene, faces, level_piece_of(layout, wide.columns, own.rows), style, first)
            lowest = low
        else:
            found = _window(scene, images, piece_of(layout, wide.columns, wide.rows), style, first)
            lowest = wide.rows[0]
        paper[low:high, left:right] = found[low - lowest : high - lowest, left - first : right - first]

    for _ in each(fill, range(len(windows))):
        pass
    return Painting(scene, canvas, view, style, paper)


def _beside_table(scene: LitScene, style: Style) -> NDArray[np.bool_]:
    """Return which cells look otherwise than the open table."""
    table = table_palette(style)
    shaded = table[:LIGHTS] != table[_OPEN_TABLE[0] >> 1]
    found: NDArray[np.bool_] = shaded.take(scene.cells[..., 0] >> 1)
    found |= scene.height > scene.floor
    found |= scene.cells[..., 2] > 0
    return found


def _differing(
    scene: LitScene, view: PictureView, canvas: PixelCanvas, style: Style, like: Painting
) -> NDArray[np.bool_] | None:
    """Return which cells look otherwise than those of a finished paper, None if it shows something else."""
    other = like.scene
    same = (view, canvas, style, scene.look) == (like.view, like.canvas, like.style, other.look)
    place = (scene.x0, scene.y0, scene.cell, scene.floor, scene.height.shape)
    if not same or place != (other.x0, other.y0, other.cell, other.floor, other.height.shape):
        return None
    found: NDArray[np.bool_] = scene.packed != other.packed
    found |= scene.height != other.height
    return found


def _window(
    scene: LitScene, images: tuple[Image.Image, Image.Image], layout: Layout, style: Style, first: int
) -> NDArray[np.uint32]:
    """Return a piece of the paper from column `first` on as RGBA packed into 32 bits, row 0 lowest."""
    height = laid(layout, images[0], scene.floor)
    cells = laid_cells(layout, images[1], _OPEN_TABLE).ravel()
    return _coloured(scene, layout, height, cells, first_hits(layout, height), style, first)


def _level_window(
    scene: LitScene, faces: tuple[Image.Image, ...], layout: Layout, style: Style, first: int
) -> NDArray[np.uint32]:
    """Return the same of a piece that shows nothing but the uncut face: nothing hides, nothing is ink.

    faces: the light and the marks of the map.
    """
    light, mark = (laid_bytes(layout, one) for one in faces)
    grain = tone(scene.look, *level_points(layout), np.zeros((1, 1), dtype=np.float32), 1 / layout.canvas.scale)
    entry = np.clip(grain * np.float32(TONES - 1), 0, TONES - 1).astype(np.int32)
    entry += marks_of(mark, style.hatch, first - layout.low).astype(np.int32) * np.int32(INKS * TONES)
    entry *= np.int32(LIGHTS)
    entry += light >> 1
    found: NDArray[np.uint32] = wood_palette(scene.look.colour, style).take(entry)
    return found


def _coloured(
    scene: LitScene,
    layout: Layout,
    height: NDArray[np.floating[Any]],
    cells: NDArray[np.uint32],
    hit: NDArray[np.int32],
    style: Style,
    first: int,
) -> NDArray[np.uint32]:
    """Return the colour of every dot as RGBA packed into 32 bits, row 0 lowest. first: the first column's number."""
    across: NDArray[np.int32] = np.arange(layout.columns, dtype=np.int32)
    flat: NDArray[np.int32] = hit * np.int32(layout.columns) + across
    found = cells.take(flat)
    wood = height.ravel().take(flat) > np.float32(scene.floor + 0.02)
    dot = np.flatnonzero(wood)
    seen = points(layout, height, dot, hit.ravel()[dot])
    walls = dot[seen.wall]
    found.ravel()[walls] = _wall_cells(layout, cells, flat.ravel()[walls].astype(np.int32))
    values = found.view(np.uint8).reshape(*hit.shape, 4)
    mark, light = marks_of(values[..., 2], style.hatch, first - layout.low).astype(np.int32), values[..., 0] >> 1
    out: NDArray[np.uint32] = table_palette(style).take(mark * LIGHTS + light)
    ink = ink_of(hit, values[..., 1], wood, layout.stride).ravel()[dot]
    grain = tone(scene.look, seen.x, seen.y, seen.z, 1 / layout.canvas.scale)
    grain += values[..., 3].ravel()[dot] * np.float32(_END_GRAIN)
    shade = np.clip(grain * np.float32(TONES - 1), 0, TONES - 1).astype(np.int32)
    entry = ((mark.ravel()[dot] * INKS + ink) * TONES + shade) * LIGHTS + light.ravel()[dot]
    out.ravel()[dot] = wood_palette(scene.look.colour, style).take(entry)
    return out


def _wall_cells(layout: Layout, cells: NDArray[np.uint32], flat: NDArray[np.int32]) -> NDArray[np.uint32]:
    """Return the cells of dots on walls from the steepest of the rows around: the last one is half the face above."""
    last = np.int32(len(cells) - 1)
    around = [cells[np.clip(flat + np.int32(step * layout.columns), 0, last)] for step in (-1, 0, 1)]
    best: NDArray[np.uint32] = around[1]
    for other in (around[0], around[2]):
        best = np.where((other >> 8) & 255 < (best >> 8) & 255, other, best)
    return best
