"""Reads DXF drawings and writes one DXF file per part: R2000, millimetres, true arcs, a layer per operation."""

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


LARGEST = 24_000_000
"""Largest DXF file in bytes; 100 000 loose lines are some 17 MB."""

LARGEST_BINARY = 8_000_000
"""Largest binary DXF file in bytes; 100 000 loose lines are some 7 MB."""

MOST_TAGS = 1_300_000
"""Most codes with values in an ASCII file; a loose line has twelve, and a million take some 4 s to read."""

MOST_ENTITIES = 80_000
"""Most entities, blocks counted out."""

MOST_PIECES = 100_000
"""Most lines and arcs."""

MOST_FITTED = 60_000
"""Most arcs that stand for ellipses and splines, at some 0.1 ms each."""


@hookimpl
def kitforge_read_drawing(name: str, data: bytes, unit: str | None, join: float) -> Drawing | None:
    """Read files that end in .dxf."""
    if not name.lower().endswith(".dxf"):
        return None
    from kitforge.drawings.dxf_read import read_dxf
    from kitforge.drawings.dxf_tags import BINARY_SIGNATURE
    from kitforge.drawings.limits import ReadingLimits

    size = LARGEST_BINARY if data.startswith(BINARY_SIGNATURE) else LARGEST
    limits = ReadingLimits(size, MOST_ENTITIES, MOST_PIECES, MOST_FITTED, MOST_TAGS)
    return read_dxf(data, unit, join=join, limits=limits)


@hookimpl
def kitforge_render(kit: Kit, plan: Plan) -> Iterable[PackFile]:
    """Write drawings/<part>.dxf for every part, and every sheet that holds more than one."""
    from kitforge.drawings.write import dxf_bytes
    from kitforge.planning.layers import drawings_by_folder

    return [
        PackFile(
            f"{folder}/{drawing.name}.dxf",
            dxf_bytes(drawing.layers, notes=drawing.notes),
            msg("{drawing}: drawing for cutting, millimetres, one layer per operation", drawing=drawing.title),
        )
        for folder, drawing in drawings_by_folder(plan, kit.parts)
    ]
