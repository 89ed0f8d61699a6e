"""Printing: coloured and fitted on a terminal, plain and of one width everywhere else."""

from __future__ import annotations

import pathlib
import sys
import textwrap
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from kitforge.model.characters import clean
from kitforge.model.findings import Finding, Severity, Source, count_by_severity

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

PLAIN_WIDTH = 120
_STYLES = {Severity.ERROR: "bold red", Severity.WARNING: "yellow", Severity.NOTE: "cyan"}


def console(*, error: bool = False) -> Console:
    """Return a console on standard output, or on standard error; without a terminal it prints no escape codes."""
    from kitforge.cli.screen import Screen

    stream = sys.stderr if error else sys.stdout
    width = None if stream.isatty() else PLAIN_WIDTH
    return Screen(file=stream, width=width, highlight=False, emoji=False, markup=False)


def print_findings(folder: pathlib.Path, findings: Iterable[Finding], *, verbose: bool = False) -> None:
    """Print the findings of one kit, which come worst first, and a line that counts them.

    What is true of nearly every kit is printed with `verbose` alone.
    """
    out = console()
    shown = [one for one in findings if verbose or one.kind is None or not one.kind.background]
    for finding in shown:
        _print_finding(out, folder, finding)
    out.print(summary(folder, shown), soft_wrap=True)


def summary(folder: pathlib.Path, findings: Sequence[Finding]) -> str:
    """Return one line: the kit, and how many findings of each severity there are."""
    counts = [(count, severity) for severity, count in count_by_severity(findings).items() if count]
    said = ", ".join(f"{count} {severity}{'s' if count > 1 else ''}" for count, severity in counts)
    return f"{clean(str(folder))}: {said or 'nothing to complain about'}"


def table(title: str | None, words: Sequence[str], figures: Sequence[str] = ()) -> Table:
    """Return an empty table with columns of words, which fold, and then of figures, which are never broken.

    Off a terminal it has no lines that need a wide font.
    """
    from rich import box
    from rich.table import Table

    lines = box.SIMPLE_HEAD if sys.stdout.isatty() else None
    made = Table(title=title, title_justify="left", box=lines, pad_edge=False)
    for column in words:
        made.add_column(column, overflow="fold")
    for column in figures:
        made.add_column(column, no_wrap=True)
    return made


def _print_finding(out: Console, folder: pathlib.Path, finding: Finding) -> None:
    from rich.text import Text

    head = Text.assemble(
        (clean(_place(folder, finding.source)), "bold"),
        ": ",
        (finding.severity, _STYLES[finding.severity]),
        f" [{finding.code}]",
    )
    out.print(head, soft_wrap=True)
    for text, style in ((str(finding.message), ""), (str(finding.advice), "dim")):
        if text:
            out.print(Text(_indented(clean(text), out.width), style), soft_wrap=True)


def _place(folder: pathlib.Path, source: Source) -> str:
    # a folder that is missing is its own place
    path = folder if not source.line and source.file == folder.name else folder / source.file
    return f"{path}:{source.line}:{source.column}" if source.line else str(path)


def _indented(text: str, width: int) -> str:
    indent = " " * 4
    return textwrap.fill(text, width, initial_indent=indent, subsequent_indent=indent, break_long_words=False)
