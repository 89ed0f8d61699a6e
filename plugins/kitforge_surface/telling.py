"""How a finding about a step is put together."""

from __future__ import annotations

from kitforge.findings import Finding, Kind, Severity
from kitforge.plan import Step
from kitforge.surface.checks import Place


def found(
    kind: Kind, step: Step, text: str, advice: str, place: Place | None = None, severity: Severity | None = None
) -> Finding:
    """Return a finding about a step, with its place in the part's coordinates."""
    return kind.found(
        text,
        advice,
        source=step.operation.source,
        part=step.part.key,
        operation=step.operation.name,
        at=None if place is None else place.at,
        severity=severity,
    )


def near(place: Place) -> str:
    """Return the place in words, e.g. 'near (12.5, 3) mm'."""
    x, y = (f"{value + 0.0:.4g}" if abs(value) >= 0.05 else "0" for value in place.at)
    return f"near ({x}, {y}) mm"
