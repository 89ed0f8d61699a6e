"""The kinds of findings about the finished piece."""

from __future__ import annotations

from kitforge.model.findings import FindingType, Severity

PARTS_COLLIDE = FindingType("parts-collide", Severity.ERROR, "Two parts want the same room in the finished piece.")
STANDS_ALONE = FindingType("part-stands-alone", Severity.WARNING, "A part touches no other one in the finished piece.")
UNPROVED = FindingType("together-unproved", Severity.NOTE, "The piece has too many parts and cuts to try every pair.")

KINDS = tuple(value for value in list(globals().values()) if isinstance(value, FindingType))
