"""What a check says, as plain data for `--format json`. The keys are an interface: they only grow."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import TypedDict

from kitforge.model.findings import OnSheet
from kitforge.release.findings.rows import KitResult, WordedFinding


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
    """One finding; `at` is [x, y] mm in the part's own coordinates, or null; `on_sheet` is null where none is meant.

    `fingerprint` names it while lines and figures change; `waived` is the reason why it is accepted, or null; `size` is
    the one it is about in a kit that has sizes, else null.
    """

    code: str
    severity: str
    message: str
    advice: str
    part: str | None
    operation: str | None
    at: list[float] | None
    on_sheet: SheetReport | None
    source: SourceReport
    fingerprint: str
    waived: str | None
    size: str | None


class KitReport(TypedDict):
    """What a check says about one kit. `kit` is the folder as it was called; `more` findings are only counted."""

    kit: str
    size: str | None
    findings: list[FindingReport]
    counts: dict[str, int]
    more: int


def kit_report(result: KitResult) -> KitReport:
    """Return the findings of one kit, in their order, with how many there are of each severity."""
    return {
        "kit": str(result.folder),
        "size": result.of or None,
        "findings": [_finding_report(row) for row in result.told()],
        "counts": dict(result.counts),
        "more": result.more,
    }


def as_json(results: Sequence[KitResult]) -> str:
    """Return the report of one kit as an object, of several as a list."""
    reports = [kit_report(result) for result in results]
    return json.dumps(reports[0] if len(reports) == 1 else reports, indent=2, ensure_ascii=True)


def _finding_report(row: WordedFinding) -> FindingReport:
    return {
        "code": row.code,
        "severity": row.severity.value,
        "message": row.message,
        "advice": row.advice,
        "part": row.part,
        "operation": row.operation,
        "at": list(row.at) if row.at else None,
        "on_sheet": _sheet_report(row.on_sheet),
        "source": {"file": row.source.file, "line": row.source.line, "column": row.source.column},
        "fingerprint": row.fingerprint,
        "waived": row.waived or None,
        "size": row.size or None,
    }


def _sheet_report(spot: OnSheet | None) -> SheetReport | None:
    if spot is None:
        return None
    return {"stock": spot.stock, "number": spot.number, "face": spot.face, "at": [spot.x, spot.y]}
