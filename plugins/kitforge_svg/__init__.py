"""Reads SVG drawings and writes one SVG file per part in true size, a titled group per operation."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from kitforge import hookimpl
from kitforge.model.messages import msg
from kitforge.model.pack import PackFile

if TYPE_CHECKING:
    from kitforge.model.drawing import Drawing
    from kitforge.model.kit import Kit
    from kitforge.model.plan import Plan


LARGEST = 16_000_000
"""Largest SVG file in bytes; a path of 100 000 lines is some 2 to 4 MB."""

MOST_TEXT = 8_000_000
"""Most characters of path data and point lists, those shown by `use` counted out."""

MOST_ELEMENTS = 100_000
"""Most elements, those shown by `use` counted out."""

MOST_PIECES = 100_000
"""Most lines and arcs."""

MOST_FITTED = 60_000
"""Most arcs that stand for ellipses and Bezier curves, at some 0.1 ms each."""


@hookimpl
def kitforge_read_drawing(name: str, data: bytes, unit: str | None, join: float) -> Drawing | None:
    """Read files that end in .svg."""
    if not name.lower().endswith(".svg"):
        return None
    from kitforge.drawings.limits import ReadingLimits
    from kitforge.drawings.svg_read import read_svg

    limits = ReadingLimits(LARGEST, MOST_ELEMENTS, MOST_PIECES, MOST_FITTED, text=MOST_TEXT)
    return read_svg(data, unit, join=join, limits=limits)


@hookimpl
def kitforge_render(kit: Kit, plan: Plan) -> Iterable[PackFile]:
    """Write drawings/<part>.svg for every part, and every sheet that holds more than one."""
    from kitforge.drawings.write import svg_bytes
    from kitforge.planning.layers import drawings_by_folder

    return [
        PackFile(
            f"{folder}/{drawing.name}.svg",
            svg_bytes(drawing.layers, title=str(drawing.title), notes=drawing.notes),
            msg("{drawing}: drawing in true size, millimetres, one group per operation", drawing=drawing.title),
        )
        for folder, drawing in drawings_by_folder(plan, kit.parts)
    ]
