"""Small pictures of the sizes that a kit is offered in, all at one scale."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge.language import say
from kitforge.print.figures import Measure
from kitforge.print.raster import for_print
from kitforge_booklet.records import SizeFigure

if TYPE_CHECKING:
    from kitforge.model.kit import Kit
    from kitforge.print.figures import Units

_WIDTH, _HEIGHT = 120.0, 13.0
"""What the pictures of all sizes may take up together across, and each of them up, mm."""


def size_figures(kit: Kit, units: Units) -> tuple[SizeFigure, ...]:
    """Return the sizes with their pictures: as large as all may be together, and none higher than there is room."""
    pictures = kit.family.pictures
    if not pictures:
        return ()
    scale = min(_WIDTH / sum(one.width for one in pictures), _HEIGHT / max(one.height for one in pictures))
    return tuple(
        SizeFigure(
            size.key,
            size.title,
            for_print(one.png, say("The piece in the size “{title}”.", title=size.title), one.width * scale, _HEIGHT),
            units.size(*one.overall, places=1) if one.overall else Measure("", ""),
            this=size.key == kit.family.chosen,
        )
        for size, one in zip(kit.family.sizes, pictures, strict=True)
    )
