"""The kinds of findings about the order of steps."""

from __future__ import annotations

from kitforge.model.findings import Kind, Severity

FREEING_NOT_LAST = Kind("freeing-not-last", Severity.ERROR, "A part is cut further after it was cut free.")
HOLE_AFTER_FREEING = Kind("hole-after-freeing", Severity.ERROR, "A hole goes through a part after it was cut free.")
FREED_BEFORE_OTHER_FACE = Kind(
    "freed-before-other-face", Severity.ERROR, "A part is cut free before its other face has been cut."
)
FREEING_EARLY = Kind("freeing-early", Severity.WARNING, "A part is cut free while others on the stock still get cut.")
FINISHING_FIRST = Kind("finishing-first", Severity.ERROR, "An operation is finished before it is roughed.")
FACING_LATE = Kind("facing-late", Severity.ERROR, "The face is cut flat after other cuts were measured from it.")
DEEP_FIRST = Kind("deep-first", Severity.WARNING, "A deep cut comes before the shallow one around it.")
CUTTER_CHANGES = Kind("cutter-changes", Severity.NOTE, "The cutter is changed more often than it has to be.")

KINDS = tuple(value for value in list(globals().values()) if isinstance(value, Kind))
