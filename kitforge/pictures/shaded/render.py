"""Pictures from height maps: light on the map, the map on the paper, every dot in its colour."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kitforge.pictures.shaded.ink import ink_of, marks_of
from kitforge.pictures.shaded.layout import Layout, first_hits, laid, laid_cells, layout_for, points
from kitforge.pictures.shaded.light import lit_rows
from kitforge.pictures.shaded.palette import FULL_LIGHT, INKS, LIGHTS, TONES, Style, table_palette, wood_palette
from kitforge.pictures.shaded.view import PictureView, PixelCanvas, box_of
from kitforge.pictures.shaded.wood import Look, tone
from kitforge.surface.heightmap import Surface

if TYPE_CHECKING:
    from typing import Any


Each = Callable[[Callable[[int], None], Iterable[int]], Iterable[None]]
"""Does something for every number: `map`, or that of an executor's threads, which do several at the same time."""

# Paper is worked out in strips of so many columns: their arrays are quick to have again, those of large paper are not.
_STRIP = 512
# How far beside a dot its ink looks.
_BESIDE = 2
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


def scene_of(surface: Surface, look: Look, view: PictureView, marked: NDArray[np.bool_] | None = None) -> LitScene:
    """Return the scene of a surface on a table. marked: cells to pick out."""
    cell, floor = surface.grid.cell, -surface.thickness
    pad = math.ceil(1.6 * surface.thickness / cell) + 2
    height = np.pad(np.where(surface.remaining() > 0, -surface.top, np.float32(floor)), pad, constant_values=floor)
    cells = np.empty((*height.shape, 4), dtype=np.uint8)
    for rows, light in lit_rows(height, cell, view.turn, grain_along_x=look.along_x):
        cells[rows, :, 0] = np.clip(light.light * (255 / FULL_LIGHT), 0, 255)
        cells[rows, :, 1] = light.upright * 255
        cells[rows, :, 3] = np.clip(light.across * 255, 0, 255)
    cells[..., 2] = 0
    if marked is not None:
        cells[pad:-pad, pad:-pad, 2] = _wider(marked).view(np.uint8) * np.uint8(255)
    x0, y0 = box_of(surface.grid)[:2]
    return LitScene(x0 - pad * cell, y0 - pad * cell, cell, height, cells, floor, look)


def _wider(marked: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return the cells with one more cell around them, so that the walls belong to them up to their upper edge."""
    wide = marked.copy()
    wide[1:] |= marked[:-1]
    wide[:-1] |= marked[1:]
    wide[:, 1:] |= wide[:, :-1].copy()
    wide[:, :-1] |= wide[:, 1:].copy()
    return wide


def dots(scene: LitScene, view: PictureView, canvas: PixelCanvas, style: Style, each: Each = map) -> NDArray[np.uint8]:
    """Return the paper as RGBA dots, shape (rows, columns, 4), row 0 on top. each: does the strips of the paper."""
    paper = np.empty((canvas.rows, canvas.columns), dtype=np.uint32)

    def fill(first: int) -> None:
        last = min(first + _STRIP, canvas.columns)
        start, end = max(0, first - _BESIDE), min(last + _BESIDE, canvas.columns)
        strip = _strip(scene, view, canvas.columns_only(start, end), style, start)
        paper[::-1, first:last] = strip[:, first - start : last - start]

    for _ in each(fill, range(0, canvas.columns, _STRIP)):
        pass
    return paper.view(np.uint8).reshape(*paper.shape, 4)


def _strip(scene: LitScene, view: PictureView, canvas: PixelCanvas, style: Style, first: int) -> NDArray[np.uint32]:
    """Return a strip of the paper from column `first` on as RGBA packed into 32 bits, row 0 lowest."""
    layout = layout_for(view, canvas, scene.x0, scene.y0, scene.cell, scene.floor)
    height = laid(layout, scene.height, scene.floor)
    return _coloured(scene, layout, height, first_hits(layout, height), style, first)


def _coloured(
    scene: LitScene,
    layout: Layout,
    height: NDArray[np.floating[Any]],
    hit: NDArray[np.int32],
    style: Style,
    first: int,
) -> NDArray[np.uint32]:
    """Return the colour of every dot as RGBA packed into 32 bits, row 0 lowest. first: the first column's number."""
    cells = laid_cells(layout, scene.cells, _OPEN_TABLE).ravel()
    across: NDArray[np.int32] = np.arange(layout.columns, dtype=np.int32)
    flat: NDArray[np.int32] = hit * np.int32(layout.columns) + across
    found = cells.take(flat)
    wood = height.ravel().take(flat) > np.float32(scene.floor + 0.02)
    dot = np.flatnonzero(wood)
    seen = points(layout, height, dot, hit.ravel()[dot])
    walls = dot[seen.wall]
    found.ravel()[walls] = _wall_cells(layout, cells, flat.ravel()[walls].astype(np.int32))
    values = found.view(np.uint8).reshape(*hit.shape, 4)
    mark, light = marks_of(values[..., 2], style.hatch, first).astype(np.int32), values[..., 0] >> 1
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
