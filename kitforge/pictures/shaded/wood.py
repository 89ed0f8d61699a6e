"""The look of wood, as a solid: what colour the wood has at any point (x, y, z) of the board.

Growth rings are cylinders about a line below the board along the grain, so that the face shows lines, the ends show
arcs and a hollow shows closed curves, as in wood. Plywood is layers, each with its own direction. Everything is
computed from the coordinates: the same board looks the same in every picture.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kitforge.model.kit import Grain, Stock
from kitforge.model.workshop import MaterialKind

if TYPE_CHECKING:
    from typing import Any


_TILE = 512
_PLY = 1.4
_TURN = 1 << 16
"""Steps of a turn for which the sine is kept."""


@dataclass(frozen=True, slots=True)
class Look:
    """colour: '#rrggbb'; family: how the wood is built up; along_x: the grain runs along x; thickness mm.

    over: the stock lies turned over about y, so that the same wood is met from below.
    """

    colour: str
    family: MaterialKind
    along_x: bool
    thickness: float
    over: bool = False


def look_of(stock: Stock, *, over: bool = False) -> Look:
    """Return the look of a piece of stock."""
    return Look(stock.material.colour, stock.material.kind, stock.grain is not Grain.WIDTH, stock.actual, over)


@lru_cache(maxsize=1)
def _noise() -> NDArray[np.floating[Any]]:
    """Return smooth noise, -1 to 1, that repeats after 512 in both directions; 8 values to a wave."""
    from scipy.ndimage import zoom

    # The old generator is frozen by NumPy's policy, so that pictures stay the same.
    coarse = np.random.RandomState(20).uniform(-1, 1, (_TILE // 8, _TILE // 8))
    around = np.pad(coarse, 4, mode="wrap")
    fine = zoom(around, 8, order=3, mode="grid-wrap", grid_mode=True)[32:-32, 32:-32]
    return np.ascontiguousarray(fine / np.abs(fine).max(), dtype=np.float32)


@lru_cache(maxsize=1)
def _sines() -> NDArray[np.floating[Any]]:
    """Return the sines of a turn in `_TURN` steps."""
    return np.array([math.sin(2 * math.pi * step / _TURN) for step in range(_TURN)], dtype=np.float32)


def sine(angle: NDArray[np.floating[Any]]) -> NDArray[np.floating[Any]]:
    """Return the sine of angles, radians, to 0.0001: far less than a shade.

    Looked up, because NumPy's own differs in its last bits from one processor to another (NumPy issue 23523).
    """
    step = (angle * np.float32(_TURN / (2 * math.pi))).astype(np.int32) & (_TURN - 1)
    found: NDArray[np.floating[Any]] = _sines().take(step)
    return found


def noise_at(a: NDArray[np.floating[Any]], b: NDArray[np.floating[Any]]) -> NDArray[np.floating[Any]]:
    """Return noise at (a, b); one wave is about 1 long."""
    i = (a * 8).astype(np.int32) & (_TILE - 1)
    j = (b * 8).astype(np.int32) & (_TILE - 1)
    found: NDArray[np.floating[Any]] = _noise().ravel().take((i << 9) | j)
    return found


def tone(
    look: Look, x: NDArray[np.floating[Any]], y: NDArray[np.floating[Any]], z: NDArray[np.floating[Any]], dot: float
) -> NDArray[np.floating[Any]]:
    """Return how dark the wood is at points (mm, z up from the face): 0 the plain colour, 1 the darkest line.

    dot: size of a dot mm; fibres are drawn no finer than the dots can show.
    """
    fine = max(0.6, 5 * dot)
    if look.over:
        x, z = -x, -look.thickness - z
    if look.family is MaterialKind.PLYWOOD:
        return _plywood(look, x, y, z, fine)
    g, w = (x, y) if look.along_x else (y, x)
    if look.family in (MaterialKind.HARDWOOD, MaterialKind.SOFTWOOD):
        return _solid(g, w, z, fine, strong=look.family is MaterialKind.SOFTWOOD)
    if look.family is MaterialKind.STRAND_BOARD:
        return _flakes(g, w, z)
    return 0.16 + 0.10 * noise_at(x / 1.1 + z, y / 1.1 + z) + 0.08 * noise_at(x / 0.35, y / 0.35 + z / 0.35)


def _solid(
    g: NDArray[np.floating[Any]],
    w: NDArray[np.floating[Any]],
    z: NDArray[np.floating[Any]],
    fine: float,
    *,
    strong: bool,
) -> NDArray[np.floating[Any]]:
    slow = sine(g * np.float32(0.019) + w * np.float32(0.011))
    side = w - np.float32(70) + 5 * slow + 1.6 * sine(g * np.float32(0.061) + w * np.float32(0.045) + slow)
    below = z + np.float32(58)
    ring = np.sqrt(side * side + below * below) * np.float32(1 / 4.6)
    ring += np.float32(0.35) * sine(ring * np.float32(1.7) + slow)
    part = ring - np.floor(ring)
    late = part * part * part * (1 - np.clip((part - 0.92) * 12.5, 0, 1))
    fibre = noise_at(g / 17, (w + z * np.float32(1.3)) * np.float32(1 / fine))
    fibre += 0.6 * noise_at(g / 6 + 31, (w + z) * np.float32(1.9 / fine))
    dark: NDArray[np.floating[Any]] = (0.55 if strong else 0.30) * late + 0.085 * fibre + 0.05 * slow + np.float32(0.10)
    return dark


def _plywood(
    look: Look, x: NDArray[np.floating[Any]], y: NDArray[np.floating[Any]], z: NDArray[np.floating[Any]], fine: float
) -> NDArray[np.floating[Any]]:
    """Plies of about 1.4 mm, an odd number, crosswise in turn, with a dark glue line between."""
    count = max(3, 2 * round((look.thickness / _PLY - 1) / 2) + 1)
    ply = np.clip(-z, 0, np.float32(look.thickness - 1e-3)) * np.float32(count / look.thickness)
    layer = ply.astype(np.int32)
    part = ply - layer
    odd = layer & 1
    along = odd == (0 if look.along_x else 1)
    g, w = np.where(along, x, y), np.where(along, y, x)
    shift = layer.astype(np.float32) * np.float32(13.7)
    veneer = sine(w / 4 + shift + 2.2 * sine(g / 70 + w / 50)) * 0.07 + noise_at(g / 14, w / fine + shift) * 0.09
    line = np.clip(1 - np.minimum(part, 1 - part) * np.float32(look.thickness / count / 0.14), 0, 1)
    line *= (ply > 0.5) & (ply < count - 0.5)
    dark: NDArray[np.floating[Any]] = veneer + np.float32(0.20) + odd * np.float32(0.30) + 0.75 * line
    return dark


def _flakes(
    g: NDArray[np.floating[Any]], w: NDArray[np.floating[Any]], z: NDArray[np.floating[Any]]
) -> NDArray[np.floating[Any]]:
    turn = np.sign(noise_at(g / 24, w / 16))
    return 0.25 + 0.3 * noise_at((g + turn * w) / 30 + z, (w - turn * g) / 5) + 0.12 * noise_at(g / 2, w / 0.6 + z)
