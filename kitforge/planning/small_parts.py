"""Parts that a small child could swallow."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge.planning.overall import part_extent

if TYPE_CHECKING:
    from kitforge.model.kit import Kit, Part

SMALL_ACROSS, SMALL_HIGH = 31.7, 57.1
"""The test cylinder for small parts: diameter and greatest depth, mm. 16 CFR 1501.4 (figures recalled)."""


def small_parts(kit: Kit) -> list[Part]:
    """Return the parts that fit the test cylinder for small parts, whichever way they are put in."""
    return [part for part in kit.parts if _fits_cylinder(part)]


def _fits_cylinder(part: Part) -> bool:
    extent = part_extent(part)
    sizes = sorted((extent.along, extent.across, part.thickness))
    across = (sizes[0] ** 2 + sizes[1] ** 2) ** 0.5
    return across <= SMALL_ACROSS and sizes[2] <= SMALL_HIGH
