"""Reads SVG drawings and writes one SVG file per part in true size, a titled group per operation."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from kitforge import hookimpl
from kitforge.pack.records import PackFile

if TYPE_CHECKING:
    from kitforge.geometry.drawing import Drawing
    from kitforge.kit import Kit
    from kitforge.plan import Plan


MOST_ELEMENTS = 100_000
"""Most elements, those shown by `use` counted out."""

MOST_PIECES = 60_000
"""Most lines and arcs; an ellipse or a Bezier curve becomes many, at some 0.1 ms each."""


@hookimpl
def kitforge_read_drawing(name: str, data: bytes, unit: str | None, join: float) -> Drawing | None:
    """Read files that end in .svg."""
    if not name.lower().endswith(".svg"):
        return None
    from kitforge.geometry.limits import Limits
    from kitforge.geometry.svg_read import read_svg

    return read_svg(data, unit, join=join, limits=Limits(entities=MOST_ELEMENTS, pieces=MOST_PIECES))


@hookimpl
def kitforge_render(kit: Kit, plan: Plan) -> Iterable[PackFile]:
    """Write drawings/<part>.svg for every part, and every sheet that holds more than one."""
    from kitforge.geometry.write import svg_bytes
    from kitforge.pack.layers import pack_drawings

    about = "drawing in true size, millimetres, one group per operation"
    return [
        PackFile(
            f"drawings/{drawing.name}.svg", svg_bytes(drawing.layers, title=drawing.title), f"{drawing.title}: {about}"
        )
        for drawing in pack_drawings(plan, kit.parts)
    ]
