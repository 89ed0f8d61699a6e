"""Findings as SARIF 2.1.0 (OASIS Standard, Static Analysis Results Interchange Format)."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any
from urllib.parse import quote

from kitforge import __version__
from kitforge.model.findings import Severity
from kitforge.release.findings.places import path_in
from kitforge.release.findings.rows import KitResult, WordedFinding

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
FINGERPRINT = "kitforgeFinding/v1"
_LEVELS = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.NOTE: "note"}


def as_sarif(results: Sequence[KitResult], root: Path) -> str:
    """Return one run with all findings of all kits; paths are relative to `root`."""
    found = [(result, row) for result in results for row in result.told()]
    rules = {row.code: row for _result, row in reversed(found)}
    places = {code: number for number, code in enumerate(sorted(rules))}
    run = {
        "tool": {
            "driver": {
                "name": "kitforge",
                "semanticVersion": __version__,
                "rules": [_rule(rules[code]) for code in sorted(rules)],
            }
        },
        "automationDetails": {"id": "kitforge/"},
        "columnKind": "unicodeCodePoints",
        "results": [_result(result, row, root, places[row.code]) for result, row in found],
    }
    return json.dumps({"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}, indent=1, ensure_ascii=True)


def _rule(row: WordedFinding) -> dict[str, Any]:
    return {
        "id": row.code,
        "shortDescription": {"text": row.about or row.code},
        "defaultConfiguration": {"level": _LEVELS[row.severity]},
    }


def _result(result: KitResult, row: WordedFinding, root: Path, rule: int) -> dict[str, Any]:
    place: dict[str, Any] = {"artifactLocation": {"uri": quote(path_in(root, result, row))}}
    if row.source.line:
        place["region"] = {"startLine": row.source.line, "startColumn": max(1, row.source.column)}
    location: dict[str, Any] = {"physicalLocation": place}
    if logical := list(_logical(row)):
        location["logicalLocations"] = logical
    told: dict[str, Any] = {
        "ruleId": row.code,
        "ruleIndex": rule,
        "level": _LEVELS[row.severity],
        "message": {"text": f"{row.said} {row.advice}".strip() or row.code},
        "locations": [location],
        "partialFingerprints": {FINGERPRINT: row.fingerprint},
    }
    if row.waived:
        told["suppressions"] = [{"kind": "external", "status": "accepted", "justification": row.waived}]
    return told


def _logical(row: WordedFinding) -> Iterator[dict[str, str]]:
    names = [name for name in (row.part, row.operation) if name]
    if names:
        yield {"name": names[-1], "fullyQualifiedName": "/".join(names), "kind": "member"}
