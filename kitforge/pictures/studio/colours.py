"""Colours in linear light, the curve of a print, and the ground under the object."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from typing import Any

    Values = NDArray[np.floating[Any]]

_LEVELS, _MOST = 4096, 1.6
# Light is shown as it is up to here; above, it nears white without reaching it.
_STRAIGHT = 0.72
_TONES = 512
_PIECE = 1 << 16
# Dark lines of wood turn redder, not grey: what is left of red, green and blue at tone 1 + _PLAIN.
_DARK, _PLAIN = (0.34, 0.22, 0.13), 0.13


def linear(colour: str) -> tuple[float, float, float]:
    """Return '#rrggbb' in linear light (IEC 61966-2-1, the sRGB curve)."""
    red, green, blue = (_straight(int(colour[at : at + 2], 16) / 255) for at in (1, 3, 5))
    return red, green, blue


def _straight(value: float) -> float:
    return value / 12.92 if value <= 0.04045 else float(((value + 0.055) / 1.055) ** 2.4)


def _curved(value: float) -> float:
    return 12.92 * value if value <= 0.0031308 else float(1.055 * value ** (1 / 2.4) - 0.055)


@lru_cache(maxsize=1)
def _print_curve() -> NDArray[np.uint8]:
    """Return the byte for each level of linear light up to 1.6."""
    found = []
    for level in range(_LEVELS):
        light = level * _MOST / (_LEVELS - 1)
        if light > _STRAIGHT:
            rest = 1 - _STRAIGHT
            light = _STRAIGHT + rest * (1 - math.exp(-(light - _STRAIGHT) / rest))
        found.append(round(255 * _curved(light)))
    return np.array(found, dtype=np.uint8)


def printed(light: Values) -> NDArray[np.uint8]:
    """Return linear light as bytes of sRGB, with a soft shoulder in the brightest parts."""
    flat, curve = light.ravel(), _print_curve()
    found = np.empty(flat.shape, dtype=np.uint8)
    for first in range(0, len(flat), _PIECE):  # whose arrays stay in the cache
        level = flat[first : first + _PIECE] * np.float32((_LEVELS - 1) / _MOST)
        level += np.float32(0.5)
        curve.take(level.astype(np.intp), mode="clip", out=found[first : first + _PIECE])
    return found.reshape(light.shape)


@lru_cache(maxsize=16)
def _wood_table(colour: str) -> Values:
    plain, rows = linear(colour), []
    for k in range(_TONES):
        tone = k * 1.4 / (_TONES - 1) - 0.2 - _PLAIN
        rows.append([p * math.exp(math.log(dark) * tone) for p, dark in zip(plain, _DARK, strict=True)])
    return np.array(rows, dtype=np.float32)


def wood_colour(colour: str, tone: Values) -> Values:
    """Return linear colours (n, 3) of wood at tones."""
    index = ((tone + np.float32(0.2)) * np.float32((_TONES - 1) / 1.4)).astype(np.intp)
    found: Values = _wood_table(colour).take(index, axis=0, mode="clip")
    return found
