"""How light falls on a height map: a lamp from the upper left, its shadow, and the sky that hollows see less of."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from typing import Any


# Towards the lamp, on the paper: left, a little to the front, high.
LAMP = (-0.46, -0.42, 0.78)
SKY, SUN = 0.52, 0.62
_DIRECTIONS = 8
# Shadows are soft: they are worked out on cells this many times as large.
_POOL = 2
# The sky's light changes more slowly still.
_SKY_POOL = 2
_ROWS = 32


@dataclass(frozen=True, slots=True, eq=False)
class Lit:
    """light: brightness of each cell, 1 for a flat open face; upright: upward part of the normal, 1 flat, 0 a wall."""

    light: NDArray[np.floating[Any]]
    upright: NDArray[np.floating[Any]]
    across: NDArray[np.floating[Any]]


def lit_rows(
    height: NDArray[np.floating[Any]], cell: float, turn: float, *, grain_along_x: bool
) -> Iterator[tuple[slice, Lit]]:
    """Yield the light on a height map (mm, up), seen after a turn of `turn` degrees, some rows at a time.

    The map is larger than any cache: all that is worked out of some rows stays in it. across: end grain, 0 to 1.
    """
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    lamp = (c * LAMP[0] + s * LAMP[1], -s * LAMP[0] + c * LAMP[1], LAMP[2])
    coarse = pooled(height, _POOL)
    sun = smoothed(sunlit(coarse, cell * _POOL, lamp), round(0.7 / (cell * _POOL)))
    broad = _POOL * _SKY_POOL
    sky = smoothed(open_sky(pooled(coarse, _SKY_POOL), cell * broad), round(1.2 / (cell * broad)))
    full = SKY + SUN * lamp[2]
    sun = spread(sun * np.float32(SUN / full), _POOL, height.shape)
    sky = spread(sky * np.float32(SKY / full), broad, height.shape)
    for first in range(0, len(height), _ROWS):
        rows = slice(first, min(first + _ROWS, len(height)))
        gx, gy = _slopes_of(height, rows, cell)
        upright = _upright(gx, gy)
        facing = _facing(gx, gy, upright, lamp)
        facing *= sun[rows]
        light = upright * np.float32(0.30)
        light += np.float32(0.70)
        light *= sky[rows]
        light += facing
        end = gx if grain_along_x else gy
        end *= upright
        end *= end
        yield rows, Lit(light, upright, end)


def _slopes_of(
    height: NDArray[np.floating[Any]], rows: slice, cell: float
) -> tuple[NDArray[np.floating[Any]], NDArray[np.floating[Any]]]:
    """Return the slopes of some rows of a map, as of the whole of it."""
    first, last = max(0, rows.start - 1), min(len(height), rows.stop + 1)
    gx, gy = slopes(height[first:last], cell)
    own = slice(rows.start - first, rows.stop - first)
    return gx[own], gy[own]


def _upright(gx: NDArray[np.floating[Any]], gy: NDArray[np.floating[Any]]) -> NDArray[np.floating[Any]]:
    """Return the upward part of the unit normal of slopes, done in place."""
    upright = gx * gx
    upright += gy * gy
    upright += 1
    np.sqrt(upright, out=upright)
    np.reciprocal(upright, out=upright)
    return upright


def _facing(
    gx: NDArray[np.floating[Any]],
    gy: NDArray[np.floating[Any]],
    upright: NDArray[np.floating[Any]],
    lamp: tuple[float, float, float],
) -> NDArray[np.floating[Any]]:
    """Return the cosine between the normal and the way to the lamp, 0 where the lamp is behind."""
    facing = gx * np.float32(-lamp[0])
    facing -= gy * np.float32(lamp[1])
    facing += np.float32(lamp[2])
    facing *= upright
    np.maximum(facing, 0, out=facing)
    return facing


def slopes(
    height: NDArray[np.floating[Any]], cell: float
) -> tuple[NDArray[np.floating[Any]], NDArray[np.floating[Any]]]:
    """Return the slopes along x and y of a map of heights, 0 at its rim."""
    gx, gy = np.zeros_like(height), np.zeros_like(height)
    per = np.float32(0.5 / cell)
    np.subtract(height[:, 2:], height[:, :-2], out=gx[:, 1:-1])
    np.subtract(height[2:], height[:-2], out=gy[1:-1])
    gx *= per
    gy *= per
    return gx, gy


def sunlit(
    height: NDArray[np.floating[Any]], cell: float, lamp: tuple[float, float, float]
) -> NDArray[np.floating[Any]]:
    """Return 1 where the lamp is seen, 0 in full shadow, soft between: shadows of doubling reach, laid together."""
    flat = math.hypot(lamp[0], lamp[1])
    fall = lamp[2] / flat
    reach = float(height.max() - height.min()) / fall / cell
    ux, uy = lamp[0] / flat, lamp[1] / flat
    edge = height - np.float32(fall * cell)
    step = 1.0
    edge = _moved(height, ux, uy) - np.float32(fall * cell)
    while step < reach:
        edge = np.maximum(edge, _moved(edge, ux * step, uy * step) - np.float32(fall * cell * step))
        step *= 2
    soft = np.float32(max(3 * cell, 0.10 * float(height.max() - height.min())))
    return np.clip(1 - (edge - height) / soft, 0, 1)


def _moved(values: NDArray[np.floating[Any]], dx: float, dy: float) -> NDArray[np.floating[Any]]:
    """Return the values found (dx, dy) cells further on; the edge is repeated."""
    x, y = round(dx), round(dy)
    rows, columns = values.shape
    if abs(x) >= columns or abs(y) >= rows:
        return np.full_like(values, values.min())
    out = np.full_like(values, values.min())
    out[max(0, -y) : rows - max(0, y), max(0, -x) : columns - max(0, x)] = values[
        max(0, y) : rows + min(0, y), max(0, x) : columns + min(0, x)
    ]
    return out


def open_sky(height: NDArray[np.floating[Any]], cell: float) -> NDArray[np.floating[Any]]:
    """Return how much of the sky each cell sees, 0 to 1, from the steepest rise in eight directions."""
    total = np.zeros_like(height)
    for index in range(_DIRECTIONS):
        angle = (index + 0.35) * 2 * math.pi / _DIRECTIONS
        rise = np.zeros_like(height)
        for far in (0.75, 1.5, 3.0, 6.0, 12.0, 20.0):
            step = far / cell
            if step > 0.7:
                ahead = _moved(height, math.cos(angle) * step, math.sin(angle) * step)
                np.maximum(rise, (ahead - height) / np.float32(far), out=rise)
        total += 1 / (1 + rise * rise)
    return total / _DIRECTIONS


def smoothed(values: NDArray[np.floating[Any]], radius: int) -> NDArray[np.floating[Any]]:
    """Return the values blurred twice over a square, which hides the eight directions."""
    from scipy.ndimage import uniform_filter

    if radius < 1:
        return values
    twice: NDArray[np.floating[Any]] = uniform_filter(uniform_filter(values, 2 * radius + 1), 2 * radius + 1)
    return twice


def pooled(values: NDArray[np.floating[Any]], pool: int) -> NDArray[np.floating[Any]]:
    """Return the highest of each pool x pool cells; the last rows and columns are repeated to fill up."""
    rows, columns = values.shape
    padded = np.pad(values, ((0, -rows % pool), (0, -columns % pool)), mode="edge")
    out = padded[::pool, ::pool].copy()
    for a in range(pool):
        for b in range(pool):
            np.maximum(out, padded[a::pool, b::pool], out=out)
    return out


def spread(values: NDArray[np.floating[Any]], pool: int, shape: tuple[int, ...]) -> NDArray[np.floating[Any]]:
    """Return values of cells `pool` times as large on the cells of a map of this shape."""
    from PIL import Image

    size = (values.shape[1] * pool, values.shape[0] * pool)
    image = Image.fromarray(values).resize(size, Image.Resampling.BILINEAR)
    return np.asarray(image)[: shape[0], : shape[1]]
