"""Kinds of findings about drawings: one for each kind of problem that a reader can meet, with what to do about it."""

from __future__ import annotations

from kitforge.model.drawing import ProblemKind
from kitforge.model.findings import FindingType, Severity
from kitforge.model.messages import NO_ADVICE, Message, msg

UNIT_GUESS = FindingType(
    "drawing-unit-guess", Severity.WARNING, "A drawing does not say its unit, so that it was guessed."
)
UNIT_DOUBTFUL = FindingType(
    "drawing-unit-doubtful", Severity.WARNING, "The unit that a drawing states makes it an unlikely size."
)
GAP = FindingType("drawing-gap", Severity.WARNING, "Two ends of lines nearly meet, but do not.")
GAP_CLOSED = FindingType(
    "drawing-gap-closed", Severity.NOTE, "A gap was closed with a line, because the kit asks for it."
)
JUNCTION = FindingType("drawing-junction", Severity.NOTE, "More than two ends of lines meet in one point.")
DUPLICATE = FindingType("drawing-duplicate", Severity.WARNING, "The same line, arc or point is drawn twice.")
OVERLAP = FindingType("drawing-overlap", Severity.WARNING, "Two lines lie on one another in part.")
NO_AREA = FindingType("drawing-no-area", Severity.NOTE, "A closed line runs there and back; it was read as the line.")
NO_LENGTH = FindingType("drawing-no-length", Severity.NOTE, "Something drawn has no length and was left out.")
TINY = FindingType("drawing-tiny", Severity.NOTE, "A drawn line is shorter than any machine can follow.")
STRAY_POINT = FindingType("drawing-stray-point", Severity.WARNING, "A lone point lies among lines, perhaps by mistake.")
CROSSING = FindingType("drawing-crossing", Severity.WARNING, "A closed line crosses or touches itself.")
NOT_FLAT = FindingType("drawing-not-flat", Severity.WARNING, "Something is drawn out of the plane.")
SKIPPED = FindingType("drawing-skipped", Severity.NOTE, "A drawing holds things that are no lines and were left out.")
TEXT = FindingType(
    "drawing-text", Severity.WARNING, "A drawing holds text, which is not cut until it is turned into lines."
)
HIDDEN = FindingType(
    "drawing-hidden", Severity.NOTE, "Something in a drawing is hidden, has no paint, or is not plotted."
)
WIDE_LINE = FindingType("drawing-wide-line", Severity.WARNING, "A line is drawn as a band; only its middle was read.")
ROUNDED = FindingType(
    "drawing-rounded", Severity.NOTE, "Polygons of many short sides were read as the circles they stand for."
)
UNRESOLVED = FindingType("drawing-unresolved", Severity.WARNING, "A drawing refers to something that was not found.")
UNCHECKED = FindingType("drawing-unchecked", Severity.WARNING, "A drawing is too crowded to be searched for flaws.")
CLIPPED = FindingType(
    "drawing-clipped", Severity.WARNING, "Something is shown cut off by a clip or mask, but was read whole."
)
LAYERS_UNUSED = FindingType(
    "drawing-layers-unused", Severity.NOTE, "A drawing has layers that no part of the kit uses."
)
LEFT_OUT = FindingType("drawing-left-out", Severity.WARNING, "A line of a drawing is used by no part of the kit.")
OUTLINE_INSIDE = FindingType(
    "drawing-outline-inside",
    Severity.ERROR,
    "The outline of a part lies inside lines that do not close: it may be an opening in the part.",
)
NESTED = FindingType(
    "drawing-nested", Severity.WARNING, "Closed lines lie in closed lines: which is the part is not certain."
)
FRAME = FindingType("drawing-frame", Severity.WARNING, "A rectangle around everything was taken for a frame or a page.")
NEARLY_ALIKE = FindingType(
    "drawing-nearly-alike", Severity.WARNING, "Two parts with one outline differ in what is inside."
)
COPIES = FindingType(
    "drawing-copies", Severity.WARNING, "A drawing shows a part more or less often than the kit makes it."
)
OUTSIDE = FindingType(
    "drawing-outside", Severity.WARNING, "Something that was taken for work on a part reaches beyond it."
)
CHANGED = FindingType(
    "drawing-changed", Severity.ERROR, "A drawing gives another count or size than the kit says it should."
)

OF_PROBLEM: dict[ProblemKind, tuple[FindingType, Message]] = {
    ProblemKind.UNIT_MISSING: (
        UNIT_GUESS,
        msg("Write `units` beside `drawing`, or export the drawing with its unit set."),
    ),
    ProblemKind.UNIT_DOUBTFUL: (UNIT_DOUBTFUL, msg("Write `units` beside `drawing`: the unit it was really drawn in.")),
    ProblemKind.GAP: (GAP, msg("Draw the ends together.")),
    ProblemKind.GAP_CLOSED: (GAP_CLOSED, NO_ADVICE),
    ProblemKind.JUNCTION: (JUNCTION, msg("Look at the part's picture; where that is not meant, draw the lines apart.")),
    ProblemKind.DUPLICATE: (
        DUPLICATE,
        msg("Delete one of them."),
    ),
    ProblemKind.OVERLAP: (OVERLAP, msg("Shorten or join them, or that length is cut twice.")),
    ProblemKind.ZERO_LENGTH: (NO_LENGTH, msg("Delete it, or draw what was meant.")),
    ProblemKind.NO_AREA: (NO_AREA, msg("Nothing to do, if a line is meant; otherwise draw the area.")),
    ProblemKind.TINY: (TINY, msg("Delete it and join its neighbours.")),
    ProblemKind.STRAY_POINT: (STRAY_POINT, msg("Delete it, or keep points for drilling on a layer of their own.")),
    ProblemKind.SELF_CROSSING: (CROSSING, msg("Draw it so that it goes round once.")),
    ProblemKind.NOT_FLAT: (NOT_FLAT, msg("Draw it flat, in the top view.")),
    ProblemKind.SKIPPED: (SKIPPED, msg("Turn what is to be cut into lines.")),
    ProblemKind.TEXT: (TEXT, msg("Convert it to paths if it is to be cut; otherwise delete it.")),
    ProblemKind.HIDDEN: (HIDDEN, msg("Show it if it is to be cut.")),
    ProblemKind.UNPAINTED: (HIDDEN, msg("Give it a stroke or a fill if it is to be cut.")),
    ProblemKind.NOT_PLOTTED: (HIDDEN, msg("Put it on a layer that is plotted if it is to be cut.")),
    ProblemKind.PAPER: (HIDDEN, msg("Draw it in the model space if it is to be cut.")),
    ProblemKind.WIDE_LINE: (WIDE_LINE, msg("Draw its edges as a closed line, if that is what is to be cut.")),
    ProblemKind.ROUNDED: (ROUNDED, msg("Nothing to do, if that is meant.")),
    ProblemKind.UNRESOLVED: (UNRESOLVED, msg("Export the drawing with everything in it.")),
    ProblemKind.UNCHECKED: (UNCHECKED, msg("Simplify the drawing, or spread it over several layers.")),
    ProblemKind.CLIPPED: (CLIPPED, msg("Cut the lines off in the drawing itself.")),
}
"""The kind of finding and the usual advice for each kind of problem."""
