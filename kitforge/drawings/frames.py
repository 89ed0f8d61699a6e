"""Frames: rectangles that stand for a page, its border or a title block, and are not cut."""

from __future__ import annotations

import re

from kitforge.model.drawing import Drawing
from kitforge.model.path import Path
from kitforge.model.piece import Bounds

SHEETS = (
    (105.0, 148.0),
    (148.0, 210.0),
    (210.0, 297.0),
    (297.0, 420.0),
    (420.0, 594.0),
    (594.0, 841.0),
    (841.0, 1189.0),
    (215.9, 279.4),
    (215.9, 355.6),
    (279.4, 431.8),
    (431.8, 558.8),
    (558.8, 863.6),
    (863.6, 1117.6),
)
"""Sheets of paper in mm: A6 to A0 (ISO 216), and US letter, legal, B, C, D, E (ANSI/ASME Y14.1; legal from memory)."""

_NAMES = re.compile(
    r"(?i)(?:^|[^a-z])(?:frame|border|title ?block|title|page|paper|sheet|stock|material|blank|format|margin|"
    r"rahmen|blatt|schriftfeld|rohteil)(?:$|[^a-z])"
)
_SAME = 0.06
"""How far a size may lie from that of a sheet, mm: rounded to a tenth of a mm. Taste."""


def names_frame(layer: str) -> bool:
    """Return whether a layer's name seems to say that a page, a frame or the stock is drawn on it."""
    return _NAMES.search(layer) is not None


def is_rectangle(path: Path) -> bool:
    """Return whether a closed path is a rectangle along the axes."""
    if not path.closed or path.has_arcs:
        return False
    box = path.bounds
    area = box.width * box.height
    return area > 0 and abs(abs(path.area) - area) <= 1e-6 * area


def is_sheet(box: Bounds, page: tuple[float, float] | None = None) -> bool:
    """Return whether a box has the size of a sheet of paper, or of the drawing's own page, either way round."""
    sizes = SHEETS if page is None else (*SHEETS, page)
    return any(
        abs(box.width - wide) <= _SAME and abs(box.height - tall) <= _SAME
        for one, other in sizes
        for wide, tall in ((one, other), (other, one))
    )


def is_frame(path: Path, layer: str, drawing: Drawing) -> bool:
    """Return whether a closed path is a rectangle that its size or its layer's name calls a page or a frame."""
    return is_rectangle(path) and (names_frame(layer) or is_sheet(path.bounds, drawing.page))
