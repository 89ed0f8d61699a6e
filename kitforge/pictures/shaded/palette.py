"""Colours by table: for every tone of the wood and every brightness the finished colour, with ink and marks."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from typing import Any


TONES, LIGHTS, INKS, MARKS = 64, 128, 4, 3
FULL_LIGHT = 1.25
# Vermillion of the palette for colour-blind readers (Okabe and Ito 2008, "Color Universal Design").
MARK_COLOUR = "#d55e00"
_DARK_LINE = (0.60, 0.47, 0.36)
_COOL, _WARM = (0.93, 0.97, 1.06), (1.03, 1.0, 0.955)
_INK_LEFT = (1.0, 0.72, 0.42, 0.28)
# The tone that gets the wood's own colour, the mean of the pattern.
_OWN = 0.17
# How much of the wood's own colour a mark's ground and its hatching hide, and how pale the ground is.
_FAINT = 0.09
"""Shade on the table that is left out."""
_TINT, _PALE = (0.0, 0.84, 0.97), 0.84
# How much of the wood, and of the table, a mark without hatching hides: its light and grain stay to be seen.
_EVEN, _EVEN_TABLE = 0.60, 0.60
# What is left of ink and of shadow where something is picked out: grooves are little else, and must stay bright.
_MARK_INK_LEFT, _MARK_SHADOW = (1.0, 0.86, 0.72, 0.42), 0.3


@dataclass(frozen=True, slots=True)
class Style:
    """clear: the table is transparent but for the shadow, else white; hatch: dots between hatching lines, 0
    where marks are an even tint."""

    clear: bool = False
    hatch: int = 14
    mark: str = MARK_COLOUR


def rgb(colour: str) -> NDArray[np.floating[Any]]:
    """Return '#rrggbb' as three numbers from 0 to 1."""
    return np.array([int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)])


@lru_cache(maxsize=8)
def wood_palette(colour: str, style: Style) -> NDArray[np.uint32]:
    """Return RGBA by ((mark * INKS + ink) * TONES + tone) * LIGHTS + light."""
    plain = rgb(colour)
    share = np.linspace(0, 1, TONES)[:, None]
    dark = 1 - np.array(_DARK_LINE)
    tones = plain * (1 - share * dark) / (1 - _OWN * dark)
    hatched = style.hatch > 0
    tint = np.array(_TINT if hatched else (0.0, _EVEN, _EVEN))[:, None, None, None, None]
    ground = (1 - _PALE) * rgb(style.mark) + _PALE if hatched else rgb(style.mark)
    paint = np.stack([ground, ground, rgb(style.mark)])[:, None, None, None, :]
    marked = (1 - tint) * tones[None, None, :, None, :] + tint * paint
    ink = np.array([_INK_LEFT, _MARK_INK_LEFT, _MARK_INK_LEFT])[:, :, None, None, None]
    bright = 1 - _MARK_SHADOW + _MARK_SHADOW * _lights()
    lights = np.stack([_lights(), bright, bright])[:, None, None, :, :]
    return _packed(np.clip(marked * ink, 0, 1) * lights, np.ones(1))


@lru_cache(maxsize=8)
def table_palette(style: Style) -> NDArray[np.uint32]:
    """Return RGBA of the table by mark * LIGHTS + light: white or clear, darker in the shadow."""
    light = np.clip(np.linspace(0, FULL_LIGHT, LIGHTS), 0, 1)[None, :, None]
    # The faintest shade shows the few directions in which the sky is looked for, as rings and rectangles around pieces.
    shade = np.clip((1 - light - _FAINT) / (1 - _FAINT), 0, 1)
    dark = shade * np.array((0.62, 0.25, 0.25))[:, None, None]
    tint = np.array((0.0, 1 - _PALE, 0.85) if style.hatch else (0.0, _EVEN_TABLE, _EVEN_TABLE))[:, None, None]
    white = (1 - dark) * ((1 - tint) + tint * rgb(style.mark))
    if not style.clear:
        return _packed(white, np.ones(1))
    shadow = np.where(tint > 0, white, np.array([0.10, 0.08, 0.06]))
    return _packed(shadow, np.where(tint > 0, 1.0, dark)[..., 0])


def _lights() -> NDArray[np.floating[Any]]:
    """Return what light does to a colour, shape (LIGHTS, 3): shadows are a little cooler, light a little warmer."""
    light = np.linspace(0, FULL_LIGHT, LIGHTS)
    warm = np.clip(light, 0, 1)[:, None]
    bent = np.array([one**0.92 for one in light.tolist()])[:, None]  # a power of NumPy's depends on the processor
    tinted: NDArray[np.floating[Any]] = bent * ((1 - warm) * np.array(_COOL) + warm * np.array(_WARM))
    return tinted


def _packed(colour: NDArray[np.floating[Any]], alpha: NDArray[np.floating[Any]]) -> NDArray[np.uint32]:
    out = np.empty((*colour.shape[:-1], 4), dtype=np.uint8)
    out[..., :3] = np.clip(colour * 255 + 0.5, 0, 255)
    out[..., 3] = np.clip(alpha * 255 + 0.5, 0, 255)
    packed = out.reshape(-1, 4).view(np.uint32).ravel()
    packed.setflags(write=False)
    return packed
