"""What a check says, as plain data for `--format json`. The keys are an interface: they only grow."""

from __future__ import annotations

import json
import pathlib
from collections.abc import Iterable, Sequence
from typing import TypedDict

from kitforge.model.findings import Finding, count_by_severity, sort_findings


class SourceReport(TypedDict):
    """A place: file relative to the kit's folder; line and column from 1, 0 for the whole file."""

    file: str
    line: int
    column: int


class FindingReport(TypedDict):
    """One finding; `at` is [x, y] mm in the part's own coordinates, or null."""

    code: str
    severity: str
    message: str
    advice: str
    part: str | None
    operation: str | None
    at: list[float] | None
    source: SourceReport


class KitReport(TypedDict):
    """What a check says about one kit. `kit` is the folder as it was called."""

    kit: str
    findings: list[FindingReport]
    counts: dict[str, int]


def kit_report(folder: pathlib.Path, findings: Iterable[Finding]) -> KitReport:
    """Return the findings of one kit, worst first, with how many there are of each severity."""
    in_order = sort_findings(findings)
    return {
        "kit": str(folder),
        "findings": [_finding_report(finding) for finding in in_order],
        "counts": count_by_severity(in_order),
    }


def as_json(reports: Sequence[KitReport]) -> str:
    """Return the report of one kit as an object, of several as a list."""
    return json.dumps(reports[0] if len(reports) == 1 else reports, indent=2, ensure_ascii=True)


def _finding_report(finding: Finding) -> FindingReport:
    return {
        "code": finding.code,
        "severity": finding.severity.value,
        "message": str(finding.message),
        "advice": str(finding.advice),
        "part": finding.part,
        "operation": finding.operation,
        "at": list(finding.at) if finding.at else None,
        "source": {"file": finding.source.file, "line": finding.source.line, "column": finding.source.column},
    }
