"""Rows of whole numbers for a script: byte for byte below each other, deflated, as text.

Most bytes of maps and ways are zero or like their neighbours: planes of one weight each deflate to a fifth of what
whole numbers one after another do. `kitforge/print/scripts/planes.js` takes them apart again.
"""

from __future__ import annotations

import base64
import zlib
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Rows = NDArray[np.uint16] | NDArray[np.uint32]


def packed(rows: Rows) -> str:
    """Return rows of unsigned numbers as base64 (RFC 4648) of raw deflate (RFC 1951): of each row its lowest bytes
    first, then the next ones."""
    import numpy as np

    size = rows.itemsize
    whole = np.ascontiguousarray(rows.astype(f"<u{size}"))
    planes = whole.view(np.uint8).reshape(len(rows), -1, size).transpose(0, 2, 1).tobytes()
    packer = zlib.compressobj(9, zlib.DEFLATED, -zlib.MAX_WBITS)
    return base64.b64encode(packer.compress(planes) + packer.flush()).decode("ascii")
