"""Findings as plain text, one layout for terminals, pipes and files."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from pathlib import Path

from kitforge.model.characters import clean
from kitforge.model.findings import Source, count_by_severity
from kitforge.release.findings.rows import KitResult, WordedFinding

WIDTH = 120
_INDENT = " " * 4


def lines_of(result: KitResult, width: int = WIDTH, *, verbose: bool = False) -> Iterator[str]:
    """Yield the lines that tell a result: every finding with its place, message and advice, then the count."""
    rows = shown(result, verbose=verbose)
    for row in rows:
        yield "".join(head(result.folder, row))
        yield from (block for block, _kind in body(row, width))
    yield summary(result, rows)


def shown(result: KitResult, *, verbose: bool) -> list[WordedFinding]:
    """Return the rows for people: what is true of nearly every kit, or waived, is told with `verbose` alone."""
    return [row for row in result.rows if verbose or not (row.background or row.waived)]


def head(folder: Path, row: WordedFinding) -> tuple[str, str, str, str]:
    """Return the first line of a finding in four pieces: place, colon, severity, code."""
    waived = " (waived)" if row.waived else ""
    size = f" in {clean(row.size)}" if row.size else ""
    return clean(place(folder, row.source)), ": ", row.severity.value, f" [{row.code}]{size}{waived}"


def body(row: WordedFinding, width: int) -> Iterator[tuple[str, str]]:
    """Yield the message, the advice and the reason of a waiver, wrapped, each with its kind."""
    waived = f"Waived: {row.waived}" if row.waived else ""
    for text, kind in ((row.message, "message"), (row.advice, "advice"), (waived, "advice")):
        if text:
            yield _indented(clean(text), width), kind


def summary(result: KitResult, rows: Sequence[WordedFinding]) -> str:
    """Return one line: the kit, how many findings of each severity there are, and how many are not told."""
    counts = count_by_severity(row for row in rows if not row.waived)
    said = [f"{count} {severity}{'s' if count > 1 else ''}" for severity, count in counts.items() if count]
    said += [f"and {result.more} more"] if result.more else []
    waived = sum(bool(row.waived) for row in result.rows)
    said += [f"{waived} waived"] if waived else []
    kit = f"{result.folder} ({result.of})" if result.of else str(result.folder)
    return f"{clean(kit)}: {', '.join(said) or 'nothing to complain about'}"


def place(folder: Path, source: Source) -> str:
    """Return where a finding is, as editors read it: path, line and column."""
    # a folder that is missing is its own place
    path = folder if not source.line and source.file == folder.name else folder / source.file
    return f"{path}:{source.line}:{source.column}" if source.line else str(path)


def _indented(text: str, width: int) -> str:
    return textwrap.fill(text, width, initial_indent=_INDENT, subsequent_indent=_INDENT, break_long_words=False)
