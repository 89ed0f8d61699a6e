"""The kinds of findings about cutters: room, depth, shank, kind, plunging, machine class."""

from __future__ import annotations

from kitforge.model.findings import FindingType, Severity

CUTTER_TOO_WIDE = FindingType("cutter-too-wide", Severity.ERROR, "A cutter is wider than the place it has to cut.")
# What is inside a line that crosses itself or another one is not certain: its corners say nothing yet.
_UNSOUND = ("outline-crossing", "outline-overlap", "shape-crossing", "shape-repeated", "shapes-overlap")
CORNER_LEFT = FindingType(
    "corner-left",
    Severity.WARNING,
    "Inside corners are tighter than the cutter, so wood stays in them.",
    after=_UNSOUND,
)
REGION_LEFT = FindingType(
    "region-left", Severity.WARNING, "The cutter cannot reach a narrow region of a shape.", after=_UNSOUND
)
RELIEF_UNFIT = FindingType("relief-unfit", Severity.WARNING, "The corner relief that was asked for has no room.")
GROOVE_TOO_WIDE = FindingType(
    "groove-too-wide", Severity.ERROR, "A V-groove or chamfer is wider than the bit that cuts it."
)
STROKE_TOO_THIN = FindingType(
    "stroke-too-thin", Severity.WARNING, "Strokes of an engraving are thinner than the tip of the bit."
)
STROKE_TOO_WIDE = FindingType(
    "stroke-too-wide", Severity.WARNING, "Strokes of an engraving are wider than the bit fills at its depth."
)

CUTTER_TOO_SHORT = FindingType("cutter-too-short", Severity.ERROR, "The cutter does not reach the depth of the cut.")
SHANK_NO_COLLET = FindingType(
    "shank-no-collet", Severity.ERROR, "No machine class of the kit has a collet for a shank."
)

CUTTER_WRONG_KIND = FindingType(
    "cutter-wrong-kind", Severity.ERROR, "A kind of cutter that cannot do the work asked of it."
)
CUTTER_ODD_KIND = FindingType(
    "cutter-odd-kind", Severity.WARNING, "A kind of cutter that leaves another shape than expected."
)
HOLE_SIZE = FindingType("hole-size", Severity.ERROR, "A drilled circle is not as wide as the cutter that drills it.")
NO_CENTRE_CUT = FindingType("no-centre-cut", Severity.ERROR, "A cutter that cannot plunge has to plunge.")
NO_ROOM_TO_RAMP = FindingType(
    "no-room-to-ramp", Severity.ERROR, "A cutter that cannot plunge has no room to ramp down."
)
CHIPS_PACKED = FindingType("chips-packed", Severity.NOTE, "A down-cut cutter presses the chips into a deep slot.")
FIRST_PASS_SHALLOW = FindingType(
    "first-pass-shallow", Severity.NOTE, "A compression cutter starts with a pass that only its up-cut tip cuts."
)

CLASS_UNFIT = FindingType("class-unfit", Severity.NOTE, "The kit does not fit a machine class.")

KINDS = tuple(value for value in list(globals().values()) if isinstance(value, FindingType))
