"""Dots to PNG: fewer, smoother dots by averaging, the same bytes for the same dots."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from PIL.Image import Image as Picture

# Where the ring of a round picture begins, as a share of its radius.
_RING = 0.985


def png(dots: NDArray[np.uint8], finer: int, *, clear: bool) -> bytes:
    """Return RGBA dots, shape (rows, columns, 4), as PNG of 1/finer the size; without clear, as plain RGB."""
    return _encoded(smoothed(dots, finer, clear=clear))


def smoothed(dots: NDArray[np.uint8], finer: int, *, clear: bool) -> Picture:
    """Return RGBA dots, shape (rows, columns, 4), as a picture of 1/finer the size; without clear, as plain RGB."""
    from PIL import Image

    image = Image.fromarray(dots)
    if clear:
        return image.convert("RGBa").reduce(finer).convert("RGBA")
    plain = image.convert("RGB")
    return plain if finer == 1 else plain.reduce(finer)


def round_png(dots: NDArray[np.uint8], finer: int) -> bytes:
    """Return square RGBA dots as a round PNG of 1/finer the size, with a dark ring and nothing around it."""
    from PIL import Image

    half = dots.shape[0] / 2
    across = (np.arange(dots.shape[0]) + 0.5 - half) ** 2
    radius = np.sqrt(across + across[:, None]) / half
    dots = dots.copy()
    dots[radius > _RING, :3] = (40, 36, 32)
    dots[radius > 1, 3] = 0
    image = Image.fromarray(dots).convert("RGBa").reduce(finer).convert("RGBA")
    return _encoded(image)


def _encoded(image: Picture) -> bytes:
    out = io.BytesIO()
    image.save(out, "PNG", compress_level=4)
    return out.getvalue()
