"""Drawings of offcuts with the parts on them: as those of sheets, with the true edge and the bad spots."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from kitforge.geometry.transform import mirrored
from kitforge.model.kit import Face, Kit
from kitforge.model.offcuts import Offcut
from kitforge.model.plan import Plan, Sheet
from kitforge.planning.layers import STOCK, PartDrawing, sheet_drawing
from kitforge.planning.nesting.offcuts import OnOffcuts

_BAD = "KEEP-OUT"


def offcut_drawings(kit: Kit, plan: Plan, found: Sequence[OnOffcuts]) -> Iterator[PartDrawing]:
    """Yield a drawing for each face of each offcut that is used; the lower left corner of the box around it is zero."""
    for one in found:
        for offcut, row in one.used:
            box = offcut.outline.bounds
            sheet = Sheet(replace(one.stock, title=offcut.title, length=box.right, width=box.top), 1, row)
            for face in Face:
                if face is Face.TOP or any(step.face is face and sheet.runs(step) for step in plan.steps):
                    yield _with_edge(sheet_drawing(plan, sheet, kit.parts, face), offcut, face)


def _with_edge(drawing: PartDrawing, offcut: Offcut, face: Face) -> PartDrawing:
    middle = offcut.outline.bounds.right / 2
    lines = [path if face is Face.TOP else mirrored(path, 90.0, middle, 0.0) for path in (offcut.outline, *offcut.bad)]
    edge, *bad = lines
    layers = {name: [edge] if name.upper() == STOCK.upper() else paths for name, paths in drawing.layers.items()}
    if bad:
        layers[_BAD] = bad
    suffix = "" if face is Face.TOP else "-bottom"
    return replace(drawing, name=f"offcut-{offcut.key.replace('_', '-')}{suffix}", layers=layers)
