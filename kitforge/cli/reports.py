"""What a check says, as plain data for `--format json`. The keys are an interface: they only grow."""

from __future__ import annotations

import json
import pathlib
from collections.abc import Iterable, Sequence
from typing import TypedDict

from kitforge.model.findings import Finding, OnSheet, count_by_severity


class SourceReport(TypedDict):
    """A place: file relative to the kit's folder; line and column from 1, 0 for the whole file."""

    file: str
    line: int
    column: int


class SheetReport(TypedDict):
    """A place on a piece of stock: key of the stock, number of the piece from 1, face that is up, [x, y] in mm."""

    stock: str
    number: int
    face: str
    at: list[float]


class FindingReport(TypedDict):
    """One finding; `at` is [x, y] mm in the part's own coordinates, or null; `on_sheet` is null where none is meant."""

    code: str
    severity: str
    message: str
    advice: str
    part: str | None
    operation: str | None
    at: list[float] | None
    on_sheet: SheetReport | None
    source: SourceReport


class KitReport(TypedDict):
    """What a check says about one kit. `kit` is the folder as it was called."""

    kit: str
    findings: list[FindingReport]
    counts: dict[str, int]


def kit_report(folder: pathlib.Path, findings: Iterable[Finding]) -> KitReport:
    """Return the findings of one kit, in their order, with how many there are of each severity."""
    listed = list(findings)
    return {
        "kit": str(folder),
        "findings": [_finding_report(finding) for finding in listed],
        "counts": count_by_severity(listed),
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
        "on_sheet": _sheet_report(finding.on_sheet),
        "source": {"file": finding.source.file, "line": finding.source.line, "column": finding.source.column},
    }


def _sheet_report(spot: OnSheet | None) -> SheetReport | None:
    if spot is None:
        return None
    return {"stock": spot.stock, "number": spot.number, "face": spot.face, "at": [spot.x, spot.y]}
