"""Pictures from height maps: which point of the stock each dot of the paper shows, and in what colour.

The map is laid out on the paper's own columns. Seen from a slant, points nearer to the eye hide those behind: along
each column the highest dot reached so far is a running maximum, and every dot shows the first point that reaches it.
All dots are found at once; colours come from a table of tone x light, so that each dot costs little.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.surface.heightmap import Surface
from kitforge.surface.pictures.light import lit
from kitforge.surface.pictures.palette import FULL_LIGHT, INKS, LIGHTS, TONES, Style, table_palette, wood_palette
from kitforge.surface.pictures.view import Canvas, View, box_of
from kitforge.surface.pictures.wood import Look, tone

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

# Slopes above about 54 degrees are walls; a jump of so many mm away from the eye is an outline.
_STEEP, _JUMP = 150, 1.5
# A bend of so much in uprightness (of 255) within two dots is a crease.
_CREASE = 28
_ALL, _FIRST, _LAST = slice(None), slice(None, -1), slice(1, None)
_UP, _ACROSS = ((_FIRST, _ALL), (_LAST, _ALL)), ((_ALL, _FIRST), (_ALL, _LAST))
_THREE = slice(None, -2), slice(1, -1), slice(2, None)
_UP_THREE = tuple((part, _ALL) for part in _THREE)
_ACROSS_THREE = tuple((_ALL, part) for part in _THREE)


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """A height map made ready: height mm up from the face, and per cell (uint8): light, uprightness, mark, end grain.

    x0, y0: lower left corner mm; floor: height of the table the stock lies on.
    """

    x0: float
    y0: float
    cell: float
    height: NDArray[np.float32]
    cells: NDArray[np.uint8]
    floor: float
    look: Look


def scene_of(surface: Surface, look: Look, view: View, marked: NDArray[np.bool_] | None = None) -> Scene:
    """Return the scene of a surface on a table. marked: cells to pick out."""
    import numpy as np

    pad = math.ceil(1.6 * surface.thickness / surface.grid.cell) + 2
    floor = -surface.thickness
    height = np.pad(np.where(surface.remaining() > 0, -surface.top, np.float32(floor)), pad, constant_values=floor)
    light = lit(height, surface.grid.cell, view.turn, look.along_x)
    cells = np.empty((*height.shape, 4), dtype=np.uint8)
    cells[..., 0] = np.clip(light.light * (255 / FULL_LIGHT), 0, 255)
    cells[..., 1] = light.upright * 255
    cells[..., 2] = 0 if marked is None else np.pad(_wider(marked), pad).astype(np.uint8) * 255
    cells[..., 3] = np.clip(light.across, 0, 1) * 255
    x0, y0 = box_of(surface.grid)[:2]
    return Scene(
        x0 - pad * surface.grid.cell, y0 - pad * surface.grid.cell, surface.grid.cell, height, cells, floor, look
    )


def _wider(marked: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return the cells with one more cell around them, so that the walls belong to them up to their upper edge."""
    wide = marked.copy()
    wide[1:] |= marked[:-1]
    wide[:-1] |= marked[1:]
    wide[:, 1:] |= wide[:, :-1].copy()
    wide[:, :-1] |= wide[:, 1:].copy()
    return wide


def dots(scene: Scene, view: View, canvas: Canvas, style: Style) -> NDArray[np.uint8]:
    """Return the paper as RGBA dots, shape (rows, columns, 4), row 0 on top; bare table is clear but for its shadow."""
    import numpy as np

    layout = _Layout.of(scene, view, canvas)
    height = layout.laid(scene.height, scene.floor)
    hit = _first_hits(height, layout, view, canvas)
    return np.ascontiguousarray(_coloured(scene, layout, view, canvas, hit, height, style)[::-1])


@dataclass(frozen=True, slots=True, eq=False)
class _Layout:
    """The map on the paper's columns: rows run away from the eye, `stride` mm apart, from `near` on.

    matrix: cell coordinates as an affine function of (column, row), as Pillow takes it.
    """

    columns: int
    rows: int
    near: float
    stride: float
    matrix: tuple[float, float, float, float, float, float]

    @staticmethod
    def of(scene: Scene, view: View, canvas: Canvas) -> _Layout:
        stride = 1 / (canvas.scale * view.lift)
        near = canvas.low / view.lift
        far = (canvas.low + canvas.rows / canvas.scale - scene.floor * view.height) / view.lift
        rows = math.ceil((far - near) / stride) + 1
        c, s = math.cos(math.radians(view.turn)), math.sin(math.radians(view.turn))
        du, dv = 1 / canvas.scale / scene.cell, stride / scene.cell
        u0, v0 = canvas.left / scene.cell, near / scene.cell
        x0, y0 = scene.x0 / scene.cell, scene.y0 / scene.cell
        matrix = (c * du, s * dv, c * u0 + s * v0 - x0, -s * du, c * dv, -s * u0 + c * v0 - y0)
        return _Layout(canvas.columns, rows, near, stride, matrix)

    def laid(self, values: NDArray[np.float32], outside: float) -> NDArray[np.float32]:
        import numpy as np
        from PIL import Image

        image = Image.fromarray(values).transform(
            (self.columns, self.rows), Image.Transform.AFFINE, self.matrix, Image.Resampling.BILINEAR, fillcolor=outside
        )
        return np.asarray(image)

    def laid_cells(self, values: NDArray[np.uint8]) -> NDArray[np.uint8]:
        import numpy as np
        from PIL import Image

        open_table = (round(255 / FULL_LIGHT), 255, 0, 0)
        image = Image.fromarray(values, "RGBX").transform(
            (self.columns, self.rows),
            Image.Transform.AFFINE,
            self.matrix,
            Image.Resampling.BILINEAR,
            fillcolor=open_table,
        )
        return np.asarray(image)


def _first_hits(height: NDArray[np.float32], layout: _Layout, view: View, canvas: Canvas) -> NDArray[np.int32]:
    """Return for each dot the row of the layout that it shows, shape (canvas.rows, canvas.columns)."""
    import numpy as np

    up = height * np.float32(view.height * canvas.scale)
    up += (np.arange(layout.rows, dtype=np.float32) + np.float32(1.001))[:, None]
    np.maximum.accumulate(up, axis=0, out=up)
    top = np.clip(up, 0, canvas.rows).astype(np.int32)
    hit = np.zeros((canvas.rows + 1, canvas.columns), dtype=np.int32)
    row, column = np.nonzero(top[1:] > top[:-1])
    hit[top[row, column], column] = row + 1
    np.maximum.accumulate(hit, axis=0, out=hit)
    return hit[: canvas.rows]


def _coloured(
    scene: Scene,
    layout: _Layout,
    view: View,
    canvas: Canvas,
    hit: NDArray[np.int32],
    laid: NDArray[np.float32],
    style: Style,
) -> NDArray[np.uint8]:
    """Return the dots in colour, row 0 lowest, as RGBA packed into 32 bits."""
    import numpy as np

    flat = hit * np.int32(layout.columns) + np.arange(layout.columns, dtype=np.int32)
    height = laid.ravel()[flat]
    packed = layout.laid_cells(scene.cells).view(np.uint32).ravel()[flat]
    found = packed.view(np.uint8).reshape(*hit.shape, 4)
    wood = height > np.float32(scene.floor + 0.02)
    mark = _mark(found[..., 2], style.hatch)
    ink = ink_of(hit, found[..., 1], wood, layout.stride)
    light = (found[..., 0] >> 1).astype(np.int32)
    out = table_palette(style)[mark * LIGHTS + light]
    row, column = np.nonzero(wood)
    point = _points(layout, view, canvas, laid, (row, column), hit[row, column])
    grain = tone(scene.look, *point, 1 / canvas.scale) + found[row, column, 3] * np.float32(0.28 / 255)
    shade = np.clip(grain * (TONES - 1), 0, TONES - 1).astype(np.int32)
    entry = ((mark[row, column] * INKS + ink[row, column]) * TONES + shade) * LIGHTS + light[row, column]
    out[row, column] = wood_palette(scene.look.colour, style)[entry]
    return out.view(np.uint8).reshape(*hit.shape, 4)


def _points(
    layout: _Layout,
    view: View,
    canvas: Canvas,
    laid: NDArray[np.float32],
    dot: tuple[NDArray[np.intp], NDArray[np.intp]],
    hit: NDArray[np.int32],
) -> tuple[NDArray[np.float32], NDArray[np.float32], NDArray[np.float32]]:
    """Return x, y, z of what some dots show, mm: between the row that reaches the dot and the one before it."""
    import numpy as np

    row, column = dot
    rise = np.float32(view.height * canvas.scale)
    flat = hit * np.int32(layout.columns) + column.astype(np.int32)
    here = laid.ravel()[flat]
    before = laid.ravel()[np.maximum(flat - np.int32(layout.columns), 0)]
    climb = here - before
    share = (row - hit + 1).astype(np.float32) - before * rise
    share /= np.maximum(1 + climb * rise, np.float32(1e-3))
    np.clip(share, 0, 1, out=share)
    across = np.float32(canvas.left) + (column.astype(np.float32) + np.float32(0.5)) * np.float32(1 / canvas.scale)
    away = np.float32(layout.near) + (hit.astype(np.float32) + share - np.float32(0.5)) * np.float32(layout.stride)
    c, s = np.float32(math.cos(math.radians(view.turn))), np.float32(math.sin(math.radians(view.turn)))
    return c * across + s * away, c * away - s * across, before + share * climb


def _mark(mark: NDArray[np.uint8], period: int) -> NDArray[np.int32]:
    """Return 0 for plain dots, 1 for picked-out ones, 2 for those on a hatching line that runs up to the right."""
    import numpy as np

    if not mark.any():
        return np.zeros(mark.shape, dtype=np.int32)
    rows, columns = mark.shape
    line = (np.arange(columns) - np.arange(rows)[:, None]) % period < period * 0.24
    return np.where(mark > 127, np.where(line, 2, 1), 0).astype(np.int32)


def ink_of(
    hit: NDArray[np.int32], upright: NDArray[np.uint8], wood: NDArray[np.bool_], stride: float
) -> NDArray[np.uint8]:
    """Return 3 on outlines, where what lies behind is further off, 2 where a wall begins or ends, 1 on creases."""
    import numpy as np

    ink = np.zeros(hit.shape, dtype=np.uint8)
    steep = upright < _STEEP
    jump = round(_JUMP / stride)
    for low, high in (_UP, _ACROSS):
        bend = (steep[low] ^ steep[high]).view(np.uint8) << 1
        far = hit[high] - hit[low]
        edge = wood[low] ^ wood[high]
        np.maximum(ink[low], np.maximum(bend, ((far > jump) | edge).view(np.uint8) * np.uint8(3)), out=ink[low])
        np.maximum(ink[high], np.maximum(bend, ((far < -jump) | edge).view(np.uint8) * np.uint8(3)), out=ink[high])
    for first, middle, last in (_UP_THREE, _ACROSS_THREE):
        turn = np.maximum(upright[first], upright[last]) - np.minimum(upright[first], upright[last])
        np.maximum(ink[middle], (turn > _CREASE).view(np.uint8), out=ink[middle])
    return ink
