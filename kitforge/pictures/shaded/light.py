"""How light falls on a height map: a lamp from the upper left, its shadow, and the sky that hollows see less of."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    Values = NDArray[np.floating[Any]]

# Towards the lamp, on the paper: left, a little to the front, high.
LAMP = (-0.46, -0.42, 0.78)
SKY, SUN = 0.52, 0.62
_DIRECTIONS = 8
_DISTANCES = (0.75, 1.5, 3.0, 6.0, 12.0, 20.0)
# Looking at cells one by one takes so many times as long as at all of them.
_FEW = 4
# Shadows are soft: they are worked out on cells this many times as large.
POOL = 2
# The sky's light changes more slowly still.
_SKY_POOL = 2
PHASE = POOL * _SKY_POOL
"""A piece of a map that begins at a multiple of so many cells has the light of the whole."""
# Blurs are sums of whole numbers, so that a piece of a map has the bits of the whole: so many for full light.
_LEVELS = 4096


@dataclass(frozen=True, slots=True, eq=False)
class Lit:
    """light: brightness of each cell, 1 for a flat open face; upright: upward part of the normal, 1 flat, 0 a wall;
    across: end grain, 0 to 1."""

    light: NDArray[np.floating[Any]]
    upright: NDArray[np.floating[Any]]
    across: NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True, eq=False)
class SoftLight:
    """How much of the sun and of the sky cells see that are POOL times as large; lamp: towards the sun, unit length."""

    sun: NDArray[np.floating[Any]]
    sky: NDArray[np.floating[Any]]
    lamp: tuple[float, float, float]

    @property
    def level(self) -> NDArray[np.floating[Any]]:
        """The light on level ground, 1 in the open."""
        return (self.sky * np.float32(SKY) + self.sun * np.float32(SUN * self.lamp[2])) * np.float32(1 / self.full)

    @property
    def full(self) -> float:
        """The light on open level ground."""
        return SKY + SUN * self.lamp[2]

    def on(self, cells: NDArray[np.intp], columns: int, gx: Values, gy: Values, *, grain_along_x: bool) -> Lit:
        """Return the light on sloping cells of a map that is `columns` wide, by their flat numbers and slopes."""
        row, column = np.divmod(cells, columns)
        at = row // POOL * self.sun.shape[1] + column // POOL
        upright = 1 / np.sqrt(gx * gx + gy * gy + 1)
        facing = np.maximum(np.float32(self.lamp[2]) - gx * np.float32(self.lamp[0]) - gy * np.float32(self.lamp[1]), 0)
        light = self.sky.ravel()[at] * np.float32(SKY / self.full) * (np.float32(0.70) + np.float32(0.30) * upright)
        light += self.sun.ravel()[at] * np.float32(SUN / self.full) * facing * upright
        end = (gx if grain_along_x else gy) * upright
        return Lit(light, upright, end * end)


def soft_light(height: NDArray[np.floating[Any]], cell: float, turn: float, span: float | None = None) -> SoftLight:
    """Return the light that falls on a height map (mm, up), seen after a turn of `turn` degrees.

    span: from the lowest to the highest of the whole map, mm, of which this may be a piece.
    """
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    lamp = (c * LAMP[0] + s * LAMP[1], -s * LAMP[0] + c * LAMP[1], LAMP[2])
    coarse = pooled(height, POOL)
    sun = smoothed(sunlit(coarse, cell * POOL, lamp, span), _sun_blur(cell))
    broad = POOL * _SKY_POOL
    sky = smoothed(open_sky(pooled(coarse, _SKY_POOL), cell * broad), _sky_blur(cell))
    return SoftLight(sun, spread(sky, _SKY_POOL, sun.shape), lamp)


def _sun_blur(cell: float) -> int:
    return round(0.7 / (cell * POOL))


def _sky_blur(cell: float) -> int:
    return round(1.2 / (cell * POOL * _SKY_POOL))


def reach_of_light(cell: float, span: float) -> int:
    """Return how many cells away from where a height changes the light of cells may change, a multiple of `PHASE`.

    span: from the lowest to the highest of the map, mm.
    """
    shadow = 2.0
    while shadow < 2 * span * math.hypot(*LAMP[:2]) / LAMP[2] / (cell * POOL):
        shadow *= 2
    sun = POOL * (shadow + 2 * _sun_blur(cell) + 16)
    sky = POOL * _SKY_POOL * (max(_DISTANCES) / (cell * POOL * _SKY_POOL) + 2 * _sky_blur(cell) + 4)
    return math.ceil(max(sun, sky) / PHASE) * PHASE


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
    height: NDArray[np.floating[Any]], cell: float, lamp: tuple[float, float, float], span: float | None = None
) -> NDArray[np.floating[Any]]:
    """Return 1 where the lamp is seen, 0 in full shadow, soft between: shadows of doubling reach, laid together.

    span: from the lowest to the highest of the whole map, mm, of which this may be a piece.
    """
    flat = math.hypot(lamp[0], lamp[1])
    fall = lamp[2] / flat
    span = float(height.max() - height.min()) if span is None else span
    reach = span / fall / cell
    ux, uy = lamp[0] / flat, lamp[1] / flat
    step = 1.0
    edge = _moved(height, ux, uy) - np.float32(fall * cell)
    while step < reach:
        edge = np.maximum(edge, _moved(edge, ux * step, uy * step) - np.float32(fall * cell * step))
        step *= 2
    soft = np.float32(max(3 * cell, 0.10 * span))
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
    """Return how much of the sky each cell sees, 0 to 1, from the steepest rise in eight directions.

    Where most cells are the highest and see all of it, only the others are looked at.
    """
    low = np.flatnonzero(height < height.max())
    if len(low) * _FEW < height.size:
        return _open_sky_of(height, cell, low)
    return _seen_above(height, cell, lambda dx, dy: _moved(height, dx, dy))


def _open_sky_of(height: NDArray[np.floating[Any]], cell: float, low: NDArray[np.intp]) -> NDArray[np.floating[Any]]:
    """Return the same, worked out for some cells alone, by their flat numbers: the others see all of the sky."""
    pad = math.ceil(max(_DISTANCES) / cell) + 1
    wide = np.pad(height, pad, constant_values=height.min())
    row, column = np.divmod(low, height.shape[1])
    at, own = (row + pad) * wide.shape[1] + column + pad, height.ravel().take(low)
    found = np.ones_like(height)
    found.ravel()[low] = _seen_above(
        own, cell, lambda dx, dy: wide.ravel().take(at + round(dy) * wide.shape[1] + round(dx))
    )
    return found


def _seen_above(
    own: NDArray[np.floating[Any]], cell: float, ahead: Callable[[float, float], NDArray[np.floating[Any]]]
) -> NDArray[np.floating[Any]]:
    """Return how much of the sky is seen from heights. ahead: the heights so many cells along x and y from them."""
    total = np.zeros_like(own)
    for index in range(_DIRECTIONS):
        angle = (index + 0.35) * 2 * math.pi / _DIRECTIONS
        rise = np.zeros_like(own)
        for far in _DISTANCES:
            step = far / cell
            if step > 0.7:
                there = ahead(math.cos(angle) * step, math.sin(angle) * step)
                np.maximum(rise, (there - own) / np.float32(far), out=rise)
        total += 1 / (1 + rise * rise)
    return total / _DIRECTIONS


def smoothed(values: NDArray[np.floating[Any]], radius: int) -> NDArray[np.floating[Any]]:
    """Return values from 0 to 1 blurred twice over a square, which hides the eight directions."""
    if radius < 1:
        return values
    whole = np.rint(values * np.float32(_LEVELS)).astype(np.int32)
    for axis in (0, 1, 0, 1):
        whole = _summed(whole, radius, axis)
    found: NDArray[np.floating[Any]] = whole.astype(np.float32)
    found *= np.float32(1 / (_LEVELS * (2 * radius + 1) ** 4))
    return found


def _summed(whole: NDArray[np.int32], radius: int, axis: int) -> NDArray[np.int32]:
    """Return the sums of the numbers within `radius` along an axis; beyond the edge it is mirrored."""
    room = [(0, 0), (0, 0)]
    room[axis] = radius, radius
    wide = np.pad(whole, room, mode="symmetric")
    count = whole.shape[axis]
    parts = (wide[k : k + count] if axis == 0 else wide[:, k : k + count] for k in range(2 * radius + 1))
    total = next(parts).copy()
    for part in parts:
        total += part
    return total


def pooled(values: NDArray[np.floating[Any]], pool: int) -> NDArray[np.floating[Any]]:
    """Return the highest of each pool x pool cells; the last rows and columns are repeated to fill up."""
    rows, columns = values.shape
    padded = np.pad(values, ((0, -rows % pool), (0, -columns % pool)), mode="edge")
    out = padded[::pool, ::pool].copy()
    for a in range(pool):
        for b in range(pool):
            np.maximum(out, padded[a::pool, b::pool], out=out)
    return out


def spread(values: NDArray[Any], pool: int, shape: tuple[int, ...]) -> NDArray[Any]:
    """Return values, float32 or bytes, of cells `pool` times as large on the cells of a map of this shape."""
    from PIL import Image

    size = (values.shape[1] * pool, values.shape[0] * pool)
    image = Image.fromarray(values).resize(size, Image.Resampling.BILINEAR)
    return np.asarray(image)[: shape[0], : shape[1]]
