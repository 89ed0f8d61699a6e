"""The area of a part, sound even where its outline is not."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge.model.kit import Part
from kitforge.planning.areas import filled

if TYPE_CHECKING:
    from shapely import MultiPolygon


def area_of(part: Part) -> MultiPolygon:
    """Return the area of a part; empty for an outline that is open or has fewer than three sides."""
    sides = part.outline.closed and len(part.outline.flatten()) > 3
    return filled([part.outline]) if sides else filled(())
