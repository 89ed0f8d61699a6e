"""Findings as workflow commands: lines on standard output that a build server turns into annotations.

Form and escapes after the public description of workflow commands: `%`, CR and LF in the text, in properties also `:`
and `,`. From memory, not checked: a server shows ten of each level for a step; so the worst come first.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from kitforge.model.characters import clean
from kitforge.model.findings import Severity
from kitforge.release.findings.places import path_in
from kitforge.release.findings.rows import KitResult, WordedFinding

_LEVELS = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.NOTE: "notice"}


def as_annotations(results: Sequence[KitResult], root: Path) -> str:
    """Return one line for each finding that is not waived, worst first over all kits."""
    found = [(result, row) for result in results for row in result.told(background=False) if not row.waived]
    found.sort(key=lambda one: one[1].severity.rank)  # stable: otherwise in the order of the kits
    lines = [_line(result, row, root) for result, row in found]
    more = sum(result.more for result in results)
    if more:
        lines.append(f"::notice title=kitforge::and {more} more findings")
    return "\n".join(lines)


def _line(result: KitResult, row: WordedFinding, root: Path) -> str:
    about = {"file": path_in(root, result, row)}
    if row.source.line:
        about |= {"line": str(row.source.line), "col": str(max(1, row.source.column))}
    about["title"] = f"kitforge {row.code}"
    properties = ",".join(f"{key}={_property(value)}" for key, value in about.items())
    return f"::{_LEVELS[row.severity]} {properties}::{_text(f'{row.said} {row.advice}'.strip())}"


def _text(text: str) -> str:
    cleaned = clean(text, keep="\n\r")
    return cleaned.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    return _text(text).replace(":", "%3A").replace(",", "%2C")
