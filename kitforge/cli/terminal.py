"""Printing: coloured and fitted on a terminal, plain and of one width everywhere else."""

from __future__ import annotations

import pathlib
import sys
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from kitforge.cli.lines import echo_text
from kitforge.model.findings import Finding, Severity, in_words
from kitforge.model.messages import Wording
from kitforge.release.findings.plain import body, head, lines_of, shown, summary
from kitforge.release.findings.rows import KitResult, result_of, rows_of

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


def print_result(result: KitResult, *, verbose: bool = False) -> None:
    """Print the findings of one kit, which come worst first, and a line that counts them."""
    if not sys.stdout.isatty():
        echo_text("\n".join(lines_of(result, PLAIN_WIDTH, verbose=verbose)))
        return
    from rich.text import Text

    out = console()
    rows = shown(result, verbose=verbose)
    for row in rows:
        where, colon, severity, code = head(result.folder, row)
        line = Text.assemble((where, "bold"), colon, (severity, _STYLES[row.severity]), code)
        out.print(line, soft_wrap=True)
        for block, kind in body(row, out.width):
            out.print(Text(block, "dim" if kind == "advice" else ""), soft_wrap=True)
    out.print(summary(result, rows), soft_wrap=True)


def print_problems(folder: pathlib.Path, problems: Iterable[Finding]) -> None:
    """Print problems with a file that is no kit, such as a machine's."""
    print_result(result_of(folder, rows_of(in_words(problems, Wording()), folder.name, {})))


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
