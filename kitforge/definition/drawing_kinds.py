"""Kinds of findings about drawings: one for each kind of problem that a reader can meet, with what to do about it."""

from __future__ import annotations

from kitforge.findings import Kind, Severity
from kitforge.geometry.drawing import ProblemKind

UNIT_GUESS = Kind("drawing-unit-guess", Severity.WARNING, "A drawing does not say its unit, so that it was guessed.")
UNIT_DOUBTFUL = Kind(
    "drawing-unit-doubtful", Severity.WARNING, "The unit that a drawing states makes it an unlikely size."
)
GAP = Kind("drawing-gap", Severity.WARNING, "Two ends of lines nearly meet, but do not.")
GAP_CLOSED = Kind("drawing-gap-closed", Severity.NOTE, "A gap was closed with a line, because the kit asks for it.")
JUNCTION = Kind("drawing-junction", Severity.NOTE, "More than two ends of lines meet in one point.")
DUPLICATE = Kind("drawing-duplicate", Severity.WARNING, "The same line, arc or point is drawn twice.")
OVERLAP = Kind("drawing-overlap", Severity.WARNING, "Two lines lie on one another in part.")
NO_LENGTH = Kind("drawing-no-length", Severity.NOTE, "Something drawn has no length and was left out.")
TINY = Kind("drawing-tiny", Severity.NOTE, "A drawn line is shorter than any machine can follow.")
STRAY_POINT = Kind("drawing-stray-point", Severity.WARNING, "A lone point lies among lines, perhaps by mistake.")
CROSSING = Kind("drawing-crossing", Severity.WARNING, "A closed line crosses or touches itself.")
NOT_FLAT = Kind("drawing-not-flat", Severity.WARNING, "Something is drawn out of the plane.")
SKIPPED = Kind("drawing-skipped", Severity.NOTE, "A drawing holds things that are no lines and were left out.")
TEXT = Kind("drawing-text", Severity.WARNING, "A drawing holds text, which is not cut until it is turned into lines.")
HIDDEN = Kind("drawing-hidden", Severity.NOTE, "Something in a drawing is hidden and was left out.")
UNRESOLVED = Kind("drawing-unresolved", Severity.WARNING, "A drawing refers to something that was not found.")
UNCHECKED = Kind("drawing-unchecked", Severity.WARNING, "A drawing is too crowded to be searched for flaws.")
CLIPPED = Kind("drawing-clipped", Severity.WARNING, "Something is shown cut off by a clip or mask, but was read whole.")
LAYERS_UNUSED = Kind("drawing-layers-unused", Severity.NOTE, "A drawing has layers that no part of the kit uses.")

OF_PROBLEM: dict[ProblemKind, tuple[Kind, str]] = {
    ProblemKind.UNIT_MISSING: (UNIT_GUESS, "Write `units` beside `drawing`, or export the drawing with its unit set."),
    ProblemKind.UNIT_DOUBTFUL: (UNIT_DOUBTFUL, "Write `units` beside `drawing`: the unit it was really drawn in."),
    ProblemKind.GAP: (GAP, "Draw the ends together."),
    ProblemKind.GAP_CLOSED: (GAP_CLOSED, ""),
    ProblemKind.JUNCTION: (JUNCTION, "Look at the part's picture; where that is not meant, draw the lines apart."),
    ProblemKind.DUPLICATE: (DUPLICATE, "Delete one of them, or it is cut twice."),
    ProblemKind.OVERLAP: (OVERLAP, "Shorten or join them, or that length is cut twice."),
    ProblemKind.ZERO_LENGTH: (NO_LENGTH, "Delete it, or draw what was meant."),
    ProblemKind.TINY: (TINY, "Delete it and join its neighbours."),
    ProblemKind.STRAY_POINT: (STRAY_POINT, "Delete it, or keep points for drilling on a layer of their own."),
    ProblemKind.SELF_CROSSING: (CROSSING, "Draw it so that it goes round once."),
    ProblemKind.NOT_FLAT: (NOT_FLAT, "Draw it flat, in the top view."),
    ProblemKind.SKIPPED: (SKIPPED, "Turn what is to be cut into lines."),
    ProblemKind.HIDDEN: (HIDDEN, "Show it if it is to be cut."),
    ProblemKind.UNRESOLVED: (UNRESOLVED, "Export the drawing with everything in it."),
    ProblemKind.UNCHECKED: (UNCHECKED, "Simplify the drawing, or spread it over several layers."),
    ProblemKind.CLIPPED: (CLIPPED, "Cut the lines off in the drawing itself."),
}
"""The kind of finding and the usual advice for each kind of problem."""

TEXTS = ("TEXT", "MTEXT", "ATTRIB", "ATTDEF", "RTEXT", "ARCALIGNEDTEXT", "text", "foreignObject")
"""Entities of DXF and elements of SVG that hold text."""
