"""Checks outlines, shapes and features of every part, and how the parts lie on their stock.

| code | what it finds |
|---|---|
| `outline-open` | the outline does not close; size and place of the gap |
| `outline-crossing` | the outline meets or crosses itself |
| `outline-overlap` | pieces of the outline lie on one another, wholly or in part |
| `outline-no-area` | the outline encloses nothing |
| `piece-zero`, `piece-tiny` | pieces without length, or shorter than 0.02 mm |
| `area-open` | an open shape where an area is cleared or followed |
| `shape-crossing` | such a shape crosses itself |
| `shape-repeated`, `point-repeated` | the same shape or point twice in an operation |
| `shapes-overlap`, `line-overlap` | shapes or lines of an operation overlap in part |
| `part-too-large`, `part-off-stock` | a part larger than the stock, or not wholly on it |
| `parts-too-close` | parts overlap, or one is cut into by the cut of the other |
| `sheets-short` | more pieces of stock needed than listed |
| `glued-up`, `flattening-cutter` | stock wider than any board; a cutter to be bought to flatten it |
| `feature-outside`, `feature-open` | a cut beside the part or over its edge; an open pocket or groove |
| `holes-overlap`, `hole-near-edge` | holes that run into one another or nearly out of the part |
| `thin-wall`, `floor-thin` | walls and floors too thin for the material |
| `cut-too-deep`, `drill-breaks-through` | nothing left under a cut; the drill's point comes out |
"""

from __future__ import annotations

from collections.abc import Iterator

from kitforge import hookimpl
from kitforge.model.findings import Finding
from kitforge.model.kit import Kit, Part
from kitforge.model.plan import Plan
from kitforge_outline.kinds import KINDS

__all__ = ["KINDS", "kitforge_check"]


@hookimpl
def kitforge_check(kit: Kit, plan: Plan) -> Iterator[Finding]:
    """Yield what is wrong with outlines, shapes, features and layout."""
    from kitforge_outline.boards import check_boards
    from kitforge_outline.sheets import check_sheets
    from kitforge_outline.words import limited

    for part in kit.parts:
        yield from limited(_of_part(part, plan))
    yield from check_sheets(kit, plan)
    yield from check_boards(plan)


def _of_part(part: Part, plan: Plan) -> Iterator[Finding]:
    from kitforge_outline.features import features_of
    from kitforge_outline.loops import check_outline
    from kitforge_outline.shapes import check_shapes
    from kitforge_outline.walls import check_edges, check_floors, check_holes, check_walls

    yield from check_outline(part)
    yield from check_shapes(part)
    features = features_of(part, plan)
    yield from check_edges(part, features)
    yield from check_walls(part, features)
    yield from check_holes(part, features)
    yield from check_floors(part)
