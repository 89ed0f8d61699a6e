"""The report as a tagged PDF on A4 across, through the typesetter that prints the booklet."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from kitforge.language import current_language, say
from kitforge.model.errors import KitforgeError
from kitforge.print import fonts
from kitforge.print.svg import Picture
from kitforge.report.page import page_files
from kitforge.report.rows import FindingRow, ReportBlock, blocks_of, key_of
from kitforge.report.wording import counted, only

if TYPE_CHECKING:
    from kitforge.report.records import CheckReport

MOST_PRINTED = 2000
"""Findings that a PDF holds at most; each takes the typesetter about a fiftieth of a second."""

_DATE = re.compile(r"(?:19[89]|20\d)\d-(?:0[1-9]|1[0-2])-(?:0[1-9]|1\d|2[0-8])")


@dataclass(frozen=True, slots=True)
class PrintedReport:
    """What the printed page shows. key: how many of a severity, and its sign."""

    title: str
    subtitle: str
    facts: tuple[tuple[str, str], ...]
    summary: str
    key: tuple[tuple[str, Picture], ...]
    blocks: tuple[ReportBlock, ...]
    drawn: bool


def pdf_bytes(report: CheckReport) -> bytes:
    """Return the report as PDF. Signs that the shipped typeface does not have are written out by number.

    Raises KitforgeError when there are more findings than a PDF holds.
    """
    from kitforge.print.render import Imprint, document_pdf
    from kitforge.print.themes import Theme

    listed = sum(report.counts.values())
    if listed > MOST_PRINTED:
        raise KitforgeError(f"A PDF of {listed} findings would take minutes; ask for a report in .html or .svg.")
    known = fonts.shipped_characters()
    title, subtitle = only(report.title, known), only(report.subtitle, known)
    blocks = tuple(_printable(block, known) for block in blocks_of(report))
    data = PrintedReport(
        title=title,
        subtitle=subtitle,
        facts=tuple((name, only(value, known)) for name, value in report.facts),
        summary=counted(report.counts.items()),
        key=key_of(report.counts),
        blocks=blocks,
        drawn=any(block.pictures for block in blocks),
    )
    released = report.released if report.released and _DATE.fullmatch(report.released) else None
    author = only(report.author, known) or say("unknown")
    imprint = Imprint(say("Check report: {title}", title=title), author, subtitle, released, current_language().code)
    return document_pdf(Theme("report", page_files()), "print.html", data, "a4", imprint)


def _printable(block: ReportBlock, known: frozenset[int]) -> ReportBlock:
    rows = tuple(_printable_row(row, known) for row in block.rows)
    pictures = tuple(
        Picture(only(picture.svg, known), only(picture.alt, known), picture.width, picture.height)
        for picture in block.pictures
    )
    return replace(block, title=only(block.title, known), about=only(block.about, known), rows=rows, pictures=pictures)


def _printable_row(row: FindingRow, known: frozenset[int]) -> FindingRow:
    return replace(
        row,
        message=only(row.message, known),
        advice=only(row.advice, known),
        code=only(row.code, known),
        operation=only(row.operation, known),
        source=only(row.source, known),
        written=only(row.written, known),
        excerpt=tuple(
            replace(line, before=only(line.before, known), wrong=only(line.wrong, known), after=only(line.after, known))
            for line in row.excerpt
        ),
    )
