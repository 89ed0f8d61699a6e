"""The kinds of findings about waivers."""

from __future__ import annotations

from kitforge.model.findings import FindingType, Severity

WAIVERS_UNREADABLE = FindingType(
    "waivers-unreadable", Severity.ERROR, "waivers.toml cannot be read or is not as it must be."
)
WAIVER_EXPIRED = FindingType("waiver-expired", Severity.WARNING, "A waiver is past its end date and counts no more.")
WAIVER_UNUSED = FindingType("waiver-unused", Severity.WARNING, "A waiver fits no finding of the kit.")
WAIVER_OF_ERROR = FindingType(
    "waiver-of-error", Severity.WARNING, "A waiver fits an error, and errors cannot be waived."
)
