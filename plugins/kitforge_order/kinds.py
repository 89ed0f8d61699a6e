"""The kinds of findings about the order of steps."""

from __future__ import annotations

from kitforge.model.findings import FindingType, Severity

FREEING_NOT_LAST = FindingType("freeing-not-last", Severity.ERROR, "A part is cut further after it was cut free.")
HOLE_AFTER_FREEING = FindingType(
    "hole-after-freeing", Severity.ERROR, "A hole goes through a part after it was cut free."
)
FREED_BEFORE_OTHER_FACE = FindingType(
    "freed-before-other-face", Severity.ERROR, "A part is cut free before its other face has been cut."
)
FREEING_EARLY = FindingType(
    "freeing-early", Severity.WARNING, "A part is cut free while others on the stock still get cut."
)
FINISHING_FIRST = FindingType("finishing-first", Severity.ERROR, "An operation is finished before it is roughed.")
FACING_LATE = FindingType("facing-late", Severity.ERROR, "The face is cut flat after other cuts were measured from it.")
DEEP_FIRST = FindingType("deep-first", Severity.WARNING, "A deep cut comes before the shallow one around it.")
CUTTER_CHANGES = FindingType("cutter-changes", Severity.NOTE, "The cutter is changed more often than it has to be.")

KINDS = tuple(value for value in list(globals().values()) if isinstance(value, FindingType))
