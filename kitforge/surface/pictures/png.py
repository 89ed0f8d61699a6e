"""Dots to PNG: fewer, smoother dots by averaging, the same bytes for the same dots."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


def png(dots: NDArray[np.uint8], finer: int, *, clear: bool) -> bytes:
    """Return RGBA dots, shape (rows, columns, 4), as PNG of 1/finer the size; without clear, as plain RGB."""
    from PIL import Image

    image = Image.fromarray(dots, "RGBA")
    size = (dots.shape[1] // finer, dots.shape[0] // finer)
    if clear:
        image = image.convert("RGBa").resize(size, Image.Resampling.BOX).convert("RGBA")
    else:
        image = image.convert("RGB").reduce(finer)
    out = io.BytesIO()
    image.save(out, "PNG", compress_level=6)
    return out.getvalue()
