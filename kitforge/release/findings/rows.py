"""What a check or a build says of a kit as plain values: findings in words, with fingerprints, and what was written."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import field, replace
from pathlib import Path

from kitforge.model.findings import KIT_FILE, Finding, FindingType, OnSheet, Severity, Source, count_by_severity
from kitforge.model.record import record

MOST_FINDINGS = 1000
"""Findings of one kit that are told; the mildest beyond are only counted. Nobody reads more."""

NOT_BUILT = FindingType("not-built", Severity.ERROR, "The kit could not be checked or built; the message says why.")


@record
class WordedFinding:
    """A finding in words. about: what its code means; fingerprint: stays when lines and figures move; waived: the
    reason why it is accepted, '' where it is not, and the last day of that; size: key of the size that it is
    about, '' in a kit of one size."""

    code: str
    severity: Severity
    message: str
    advice: str
    source: Source
    part: str | None = None
    operation: str | None = None
    at: tuple[float, float] | None = None
    on_sheet: OnSheet | None = None
    background: bool = False
    about: str = ""
    fingerprint: str = ""
    waived: str = ""
    waived_until: str = ""
    size: str = ""

    @property
    def said(self) -> str:
        """The message, with the size that it is about where the kit has sizes."""
        return f"[{self.size}] {self.message}" if self.size else self.message


def _forbidden(strict: bool) -> tuple[Severity, ...]:
    return (Severity.ERROR, Severity.WARNING) if strict else (Severity.ERROR,)


@record
class KitResult:
    """What became of one kit.

    rows: its findings, worst first; counts: all that are not waived, by severity, also the `more` that are not among
    the rows; mistake: what kept it from being checked or built, where that is no finding; archive: the zip that was
    written, or was there already (`unchanged`), with its sum, its size in bytes and how many files it holds. of: the
    size of a kit that has several, '' for all of them together.
    """

    folder: Path
    rows: tuple[WordedFinding, ...] = ()
    counts: Mapping[str, int] = field(default_factory=dict)
    more: int = 0
    readable: bool = True
    mistake: str = ""
    archive: Path | None = None
    sha256: str = ""
    size: int = 0
    files: int = 0
    unchanged: bool = False
    seconds: float = 0.0
    of: str = ""

    def fails(self, *, strict: bool = False) -> bool:
        """Return whether a finding that is not waived forbids a release."""
        return any(self.counts.get(severity.value, 0) for severity in _forbidden(strict))

    def forbidding(self, *, strict: bool = False) -> KitResult:
        """Return the result with those findings alone that forbid a release."""
        forbidden = _forbidden(strict)
        return replace(self, rows=tuple(row for row in self.rows if row.severity in forbidden and not row.waived))

    def told(self, *, background: bool = True) -> tuple[WordedFinding, ...]:
        """Return the rows, with the mistake as one of them, for programs that read nothing else.

        background: also what is true of nearly every kit.
        """
        rows = self.rows if background else tuple(row for row in self.rows if not row.background)
        if not self.mistake:
            return rows
        source = Source(KIT_FILE)
        print_of = fingerprint(NOT_BUILT.code, self.folder.resolve().name, source, None, None, "", self.of)
        kind = NOT_BUILT
        row = WordedFinding(
            kind.code,
            kind.severity,
            self.mistake,
            "",
            source,
            about=kind.about,
            fingerprint=f"{print_of}:1",
            size=self.of,
        )
        return (row, *rows)


def rows_of(findings: Iterable[Finding], kit: str, texts: Mapping[str, str], size: str = "") -> list[WordedFinding]:
    """Return findings, already in words, as rows with fingerprints.

    kit: the name of the kit's folder; texts: the text files that findings point into, by their names in it; size: which
    one they are about. Equal fingerprints are numbered, for some readers show only the first of equals.
    """
    lines = {name: text.splitlines() for name, text in texts.items()}
    seen: Counter[str] = Counter()
    rows = []
    for one in findings:
        print_of = fingerprint(one.code, kit, one.source, one.part, one.operation, _line(lines, one.source), size)
        seen[print_of] += 1
        rows.append(_row(one, f"{print_of}:{seen[print_of]}", size))
    return rows


def fingerprint(
    code: str, kit: str, source: Source, part: str | None, operation: str | None, line: str, size: str = ""
) -> str:
    """Return what names a finding while the kit changes around it: no line number and no figure of the message
    (SARIF 2.1.0, appendix B, on fingerprints), but the text of the line, blanks squeezed."""
    words = (code, kit, source.file, part or "", operation or "", " ".join(line.split()), *([size] if size else []))
    return hashlib.sha256("\0".join(words).encode("utf-8", "backslashreplace")).hexdigest()[:32]


def result_of(
    folder: Path, rows: Iterable[WordedFinding], *, readable: bool = True, most: int = MOST_FINDINGS
) -> KitResult:
    """Return what a check says, worst first, with at most `most` rows."""
    ranked = sorted(rows, key=lambda row: row.severity.rank)  # stable: otherwise in their order
    counts = count_by_severity(row for row in ranked if not row.waived)
    return KitResult(folder, tuple(ranked[:most]), counts, max(0, len(ranked) - most), readable)


def with_mistake(result: KitResult, mistake: str) -> KitResult:
    """Return the result of a kit that something kept from being checked or built."""
    return replace(result, mistake=mistake, readable=False)


def _row(one: Finding, print_of: str, size: str) -> WordedFinding:
    return WordedFinding(
        one.code,
        one.severity,
        str(one.message),
        str(one.advice),
        one.source,
        one.part,
        one.operation,
        one.at,
        one.on_sheet,
        background=one.kind is not None and one.kind.background,
        about=one.kind.about if one.kind else "",
        fingerprint=print_of,
        size=size,
    )


def _line(lines: Mapping[str, list[str]], source: Source) -> str:
    found = lines.get(source.file, [])
    return found[source.line - 1] if 0 < source.line <= len(found) else ""
