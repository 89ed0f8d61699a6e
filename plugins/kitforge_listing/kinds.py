"""The kinds of findings about covers."""

from __future__ import annotations

from kitforge.model.findings import FindingType, Severity

COVER_LOOSE = FindingType("cover-loose", Severity.NOTE, "The cover shows loose parts instead of the finished piece.")
COVER_LYING = FindingType("cover-lying", Severity.NOTE, "The cover shows a piece lying that hangs on a wall in use.")

KINDS = tuple(value for value in list(globals().values()) if isinstance(value, FindingType))
