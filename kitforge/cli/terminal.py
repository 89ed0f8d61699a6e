"""Printing: coloured and fitted on a terminal, plain and of one width everywhere else."""

from __future__ import annotations

import pathlib
import sys
import unicodedata
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from kitforge.findings import Finding, Severity, count_by_severity, sort_findings

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

PLAIN_WIDTH = 120
_STYLES = {Severity.ERROR: "bold red", Severity.WARNING: "yellow", Severity.NOTE: "cyan"}


def console(*, error: bool = False) -> Console:
    """Return a console on standard output, or on standard error; without a terminal it prints no escape codes."""
    from rich.console import Console

    stream = sys.stderr if error else sys.stdout
    width = None if stream.isatty() else PLAIN_WIDTH
    return Console(file=stream, width=width, highlight=False, emoji=False, markup=False)


def clean(text: str) -> str:
    """Return `text` from a kit without signs that would steer a terminal or turn the direction of reading."""
    return "".join("\ufffd" if unicodedata.category(sign) in ("Cc", "Cf") else sign for sign in text)


def print_findings(folder: pathlib.Path, findings: Iterable[Finding]) -> None:
    """Print the findings of one kit, worst first, and a line that counts them."""
    out = console()
    in_order = sort_findings(findings)
    for finding in in_order:
        _print_finding(out, folder, finding)
    out.print(summary(folder, in_order), soft_wrap=True)


def summary(folder: pathlib.Path, findings: Sequence[Finding]) -> str:
    """Return one line: the kit, and how many findings of each severity there are."""
    counts = [(count, severity) for severity, count in count_by_severity(findings).items() if count]
    said = ", ".join(f"{count} {severity}{'s' if count > 1 else ''}" for count, severity in counts)
    return f"{clean(str(folder))}: {said or 'nothing to complain about'}"


def plain_table(title: str, columns: Sequence[str]) -> Table:
    """Return an empty table: the first columns to the left, figures to the right, no lines that need a wide font."""
    from rich import box
    from rich.table import Table

    table = Table(title=title, title_justify="left", box=box.SIMPLE_HEAD, safe_box=True, pad_edge=False)
    for column in columns:
        table.add_column(column, overflow="fold")
    return table


def _print_finding(out: Console, folder: pathlib.Path, finding: Finding) -> None:
    from rich.padding import Padding
    from rich.text import Text

    place = clean(str(pathlib.PurePath(folder, finding.source.file)))
    if finding.source.line:
        place += f":{finding.source.line}:{finding.source.column}"
    head = Text.assemble((place, "bold"), ": ", (finding.severity, _STYLES[finding.severity]), f" [{finding.code}]")
    out.print(head, soft_wrap=True)
    out.print(Padding(Text(clean(finding.message)), (0, 0, 0, 4)))
    if finding.advice:
        out.print(Padding(Text(clean(finding.advice), style="dim"), (0, 0, 0, 4)))
