"""What the pages show, section by section, as plain text: the same for every kind of file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from kitforge.language import say
from kitforge.model.findings import Severity, count_by_severity
from kitforge.print.svg import Picture, SvgCanvas
from kitforge.report.drawing import FONT, FinishedDrawing, draw_section
from kitforge.report.records import CheckReport, Excerpt, ListedFinding, Section
from kitforge.report.signs import draw_sign
from kitforge.report.wording import (
    counted,
    place_in_words,
    plain,
    severity_count,
    severity_name,
    severity_word,
    source_in_words,
)

_SHOWN_SIGN = 7.4
_WORD = re.compile(r"[\w.-]+")


@dataclass(frozen=True, slots=True)
class ExcerptLine:
    """A line of a file: its number, and its text in three pieces, of which the middle one is what is wrong."""

    number: int
    before: str
    wrong: str = ""
    after: str = ""

    @property
    def text(self) -> str:
        """The whole line."""
        return self.before + self.wrong + self.after

    @property
    def pointer(self) -> str:
        """A line to stand below this one, with a mark under each sign that is wrong; nothing if none is."""
        return " " * len(self.before) + "^" * len(self.wrong)


@dataclass(frozen=True, slots=True)
class FindingRow:
    """One finding as it is listed. marked: its number is in the drawing; excerpt: lines of the file."""

    number: int
    severity: Severity
    sign: Picture
    message: str
    advice: str
    code: str
    operation: str
    place: str
    source: str
    written: str
    marked: bool
    excerpt: tuple[ExcerptLine, ...] = ()

    @property
    def word(self) -> str:
        """The severity in one word, for reading."""
        return severity_word(self.severity)


@dataclass(frozen=True, slots=True)
class ReportBlock:
    """A section as it is shown: its drawing, if it has one, and its rows."""

    key: str
    title: str
    about: str
    summary: str
    rows: tuple[FindingRow, ...]
    drawn: FinishedDrawing | None
    pictures: tuple[Picture, ...] = ()


def blocks_of(report: CheckReport, *, linked: bool = False) -> tuple[ReportBlock, ...]:
    """Return every section of the report, drawn and in words. linked: signs in the drawings are links to their rows."""
    return tuple(_block(section, report, linked=linked) for section in report.sections)


def _block(section: Section, report: CheckReport, *, linked: bool) -> ReportBlock:
    drawn = draw_section(section, linked=linked)
    shown = drawn.shown if drawn else frozenset()
    rows = tuple(_row(entry, report.excerpts.get(entry.number), shown) for entry in section.entries)
    counts = count_by_severity(entry.finding for entry in section.entries)
    pictures = drawn.pictures() if drawn and not linked else ()
    return ReportBlock(section.key, section.title, section.about, counted(counts.items()), rows, drawn, pictures)


def _row(entry: ListedFinding, excerpt: Excerpt | None, shown: frozenset[int]) -> FindingRow:
    finding = entry.finding
    return FindingRow(
        number=entry.number,
        severity=finding.severity,
        sign=sign_picture(finding.severity, entry.number),
        message=plain(str(finding.message)),
        advice=plain(str(finding.advice)),
        code=plain(finding.code, 80),
        operation=plain(finding.operation or "", 120),
        place=_place(entry, marked=entry.number in shown),
        source=source_in_words(finding),
        written=entry.written,
        marked=entry.number in shown,
        excerpt=tuple(excerpt_lines(excerpt)) if excerpt else (),
    )


def _place(entry: ListedFinding, *, marked: bool) -> str:
    """Return the place in words, and what the drawing shows of it if that is not the same."""
    words = place_in_words(entry.at)
    if entry.mark is None:
        return say("at {place}", place=words) if words else ""
    if not marked and words:
        return say("at {place}, too many here to draw them all", place=words)
    if not marked:
        return say("too many here to draw them all")
    if words:
        return say("at {place}", place=words)
    if entry.of > 1:
        return say("marked at the first of {count} places", count=str(entry.of))
    return say("marked at the operation")


def sign_picture(severity: Severity, number: int | None = None) -> Picture:
    """Return a severity's sign alone, with a number in it or without."""
    canvas = SvgCanvas(_SHOWN_SIGN, _SHOWN_SIGN)
    draw_sign(canvas, severity, _SHOWN_SIGN / 2, _SHOWN_SIGN / 2, number)
    word = severity_name(severity)
    words = f"{word} {number}" if number else word
    size = f'width="{_SHOWN_SIGN}mm" height="{_SHOWN_SIGN}mm" viewBox="0 0 {_SHOWN_SIGN} {_SHOWN_SIGN}"'
    head = f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="{FONT}" role="img" aria-label="{words}">'
    return Picture(f"{head}{''.join(canvas.parts)}</svg>", words, _SHOWN_SIGN, _SHOWN_SIGN)


def excerpt_lines(excerpt: Excerpt) -> list[ExcerptLine]:
    """Return the lines of an excerpt; on the line of the problem the word at its column is set apart."""
    return [
        _divided(number, text, excerpt.column) if number == excerpt.line else ExcerptLine(number, text)
        for number, text in excerpt.lines
    ]


def _divided(number: int, text: str, column: int) -> ExcerptLine:
    if not 0 < column <= len(text):
        return ExcerptLine(number, text)
    rest = text[column - 1 :]
    word = _WORD.match(rest)
    length = len(word[0]) if word else 1
    return ExcerptLine(number, text[: column - 1], rest[:length], rest[length:])


def key_of(counts: Mapping[str, int]) -> tuple[tuple[str, Picture], ...]:
    """Return how many findings there are of each severity, in words, and its sign, worst first: the key at the head."""
    return tuple((severity_count(severity.value, counts[severity]), sign_picture(severity)) for severity in Severity)
