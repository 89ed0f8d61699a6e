"""The kinds of findings about outlines, shapes, features and the layout on the stock."""

from __future__ import annotations

from kitforge.model.findings import FindingType, Severity

_GAP = ("drawing-gap",)
_CROSSING = ("drawing-crossing",)
_DOUBLE = ("drawing-duplicate", "drawing-overlap")
_TINY = ("drawing-tiny",)

OUTLINE_OPEN = FindingType("outline-open", Severity.ERROR, "The outline of a part does not close.", _GAP)
OUTLINE_CROSSING = FindingType(
    "outline-crossing", Severity.ERROR, "The outline of a part meets or crosses itself.", _CROSSING
)
OUTLINE_OVERLAP = FindingType(
    "outline-overlap", Severity.ERROR, "Pieces of an outline lie on one another, wholly or in part.", _DOUBLE
)
OUTLINE_NO_AREA = FindingType("outline-no-area", Severity.ERROR, "The outline of a part encloses nothing.")
PIECE_ZERO = FindingType("piece-zero", Severity.WARNING, "A path has pieces without any length.", _TINY)
PIECE_TINY = FindingType(
    "piece-tiny", Severity.NOTE, "A path has pieces far shorter than any machine can follow.", _TINY
)

AREA_OPEN = FindingType(
    "area-open", Severity.ERROR, "An operation that clears or goes round an area has an open shape.", _GAP
)
SHAPE_CROSSING = FindingType(
    "shape-crossing",
    Severity.ERROR,
    "A shape that must enclose an area meets or crosses itself.",
    (*_CROSSING, *_DOUBLE),
)
SHAPE_REPEATED = FindingType("shape-repeated", Severity.WARNING, "An operation has the same shape twice.", _DOUBLE)
SHAPES_OVERLAP = FindingType("shapes-overlap", Severity.WARNING, "Two shapes of an operation overlap in part.")
LINE_OVERLAP = FindingType(
    "line-overlap", Severity.WARNING, "A line that is cut lies on another one, wholly or in part.", _DOUBLE
)
POINT_REPEATED = FindingType("point-repeated", Severity.WARNING, "An operation has the same point twice.", _DOUBLE)

PART_TOO_LARGE = FindingType("part-too-large", Severity.ERROR, "A part is larger than its stock.")
PART_OFF_STOCK = FindingType("part-off-stock", Severity.ERROR, "A part does not lie wholly on its stock.")
PARTS_TOO_CLOSE = FindingType(
    "parts-too-close", Severity.ERROR, "Two parts overlap, or the cut of one goes into the other."
)
SHEETS_SHORT = FindingType("sheets-short", Severity.ERROR, "The parts need more pieces of stock than the kit lists.")

GLUED_UP = FindingType(
    "glued-up", Severity.NOTE, "A piece of stock is wider than boards of its wood, so it is glued up."
)
FLATTENING_CUTTER = FindingType(
    "flattening-cutter", Severity.NOTE, "The router flattens a piece of stock, and the kit has no cutter wide enough."
)

FEATURE_OUTSIDE = FindingType(
    "feature-outside", Severity.ERROR, "A cut lies beside the part, or a hole runs over its edge."
)
FEATURE_OPEN = FindingType(
    "feature-open", Severity.NOTE, "A pocket, dish or groove runs out over the edge of the part."
)
HOLES_OVERLAP = FindingType("holes-overlap", Severity.WARNING, "Two holes run into one another.")
HOLE_NEAR_EDGE = FindingType(
    "hole-near-edge", Severity.WARNING, "A drilled hole is so near the edge that the wood may break."
)
THIN_WALL = FindingType("thin-wall", Severity.WARNING, "The wood left between two cuts, or to the edge, is thin.")
FLOOR_THIN = FindingType("floor-thin", Severity.WARNING, "The wood left under a cut is thin.")
CUT_TOO_DEEP = FindingType(
    "cut-too-deep", Severity.ERROR, "A cut that should stop in the wood is as deep as the stock."
)
DRILL_BREAKS_THROUGH = FindingType("drill-breaks-through", Severity.ERROR, "The point of a drill comes out underneath.")

KINDS = tuple(value for value in list(globals().values()) if isinstance(value, FindingType))
