"""Whether a line is drawn along another one."""

from __future__ import annotations

from kitforge.model.path import Path

SAME_PLACE = 0.05
"""Lines this near to each other, mm, are taken for one; common practice, no source."""


def same_line(path: Path, outline: Path) -> bool:
    """Return whether a closed path follows a part's outline: the same box, area and length, within a hair."""
    if not (path.closed and outline.closed):
        return False
    if path is outline or path == outline:
        return True
    boxes = zip(path.bounds, outline.bounds, strict=True)
    same_box = all(abs(a - b) <= SAME_PLACE for a, b in boxes)
    slack = SAME_PLACE * outline.length
    return same_box and abs(abs(path.area) - abs(outline.area)) <= slack and abs(path.length - outline.length) <= slack
