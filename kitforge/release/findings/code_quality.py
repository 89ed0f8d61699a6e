"""Findings as a code quality report: a JSON list of issues with description, check name, fingerprint, severity, place.

Written after the public description of the report that merge requests read (fields of an issue; no published schema).
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from kitforge.model.findings import Severity
from kitforge.release.findings.places import path_in
from kitforge.release.findings.rows import KitResult

_SEVERITIES = {Severity.ERROR: "critical", Severity.WARNING: "major", Severity.NOTE: "info"}


def as_code_quality(results: Sequence[KitResult], root: Path) -> str:
    """Return the issues of all kits; waived findings are none. What keeps a kit from being read is a blocker."""
    seen: Counter[str] = Counter()
    issues: list[dict[str, Any]] = []
    for result in results:
        for row in (one for one in result.told(background=False) if not one.waived):
            seen[row.fingerprint] += 1
            again = f":{seen[row.fingerprint]}" if seen[row.fingerprint] > 1 else ""
            blocks = not result.readable and row.severity is Severity.ERROR
            issues.append(
                {
                    "description": f"{row.said} {row.advice}".strip(),
                    "check_name": f"kitforge/{row.code}",
                    "fingerprint": f"{row.fingerprint}{again}",
                    "severity": "blocker" if blocks else _SEVERITIES[row.severity],
                    "location": {"path": path_in(root, result, row), "lines": {"begin": max(1, row.source.line)}},
                }
            )
    return json.dumps(issues, indent=1, ensure_ascii=True)
