"""How a finding about a step is put together."""

from __future__ import annotations

from kitforge.model.findings import Finding, FindingType, Severity
from kitforge.model.messages import Message, msg, point_mm
from kitforge.model.steps import Step
from kitforge.surface.checks import MeasuredPlace


def found(
    kind: FindingType,
    step: Step,
    text: Message,
    advice: Message,
    place: MeasuredPlace | None = None,
    severity: Severity | None = None,
) -> Finding:
    """Return a finding about a step, with its place in the part's coordinates."""
    return kind.new(
        text,
        advice,
        source=step.operation.source,
        part=step.part.key,
        operation=step.operation.name,
        at=None if place is None else place.at,
        severity=severity,
    )


def near(place: MeasuredPlace) -> Message:
    """Return the place in words, e.g. 'near (12.5, 3) mm'."""
    return msg("near {at}", at=point_mm(place.at, 1))
