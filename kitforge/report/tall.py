"""The report as one tall SVG: 1 unit is 1 mm, drawings at the left, the findings as text at the right."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape, quoteattr

from kitforge.language import current_language, say
from kitforge.model.findings import Severity
from kitforge.print.svg import GREY, INK, PAPER, SvgCanvas, num
from kitforge.report.drawing import FONT, WIDTH
from kitforge.report.measure import broken
from kitforge.report.rows import blocks_of
from kitforge.report.signs import draw_sign
from kitforge.report.wording import counted, severity_count

if TYPE_CHECKING:
    from kitforge.report.records import CheckReport
    from kitforge.report.rows import FindingRow, ReportBlock

_EDGE = 10.0
_BETWEEN = 8.0
_LIST = 120.0
_PAGE = 2 * _EDGE + WIDTH + _BETWEEN + _LIST
_INDENT = 10.0
_LINE = "#c4c4c0"


@dataclass(slots=True)
class _Sheet:
    """What has been written so far, and how far down."""

    canvas: SvgCanvas = field(default_factory=lambda: SvgCanvas(_PAGE, 0.0))
    y: float = _EDGE

    def words(self, text: str, x: float, width: float, size: float, *, fill: str = INK, bold: bool = False) -> None:
        """Write text in as many lines as it takes and move down."""
        for line in broken(text, width, size):
            self.y += size * 1.35
            self.canvas.text(x, self.y, line, size=size, fill=fill, bold=bold)

    def code(self, number: str, text: str, x: float, size: float) -> None:
        """Write a line of a file as it stands, with its number."""
        self.y += size * 1.4
        self.canvas.text(x + 8.0, self.y, number, size=size, fill=GREY, anchor="end")
        style = (
            f'x="{num(x + 10)}" y="{num(self.y)}" font-size="{num(size)}" font-family="monospace" xml:space="preserve"'
        )
        self.canvas.parts.append(f'<text {style} fill="{INK}">{escape(text)}</text>')


def svg_bytes(report: CheckReport) -> bytes:
    """Return the report as SVG, without links, scripts or anything to load."""
    sheet = _Sheet()
    _write_head(sheet, report)
    for block in blocks_of(report):
        _write_block(sheet, block)
    height = sheet.y + _EDGE
    code = current_language().code
    title = f"{report.title}: {counted(report.counts.items())}"
    head = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="{num(_PAGE)}mm" height="{num(height)}mm" '
        f'viewBox="0 0 {num(_PAGE)} {num(height)}" font-family={quoteattr(FONT)} xml:lang="{code}">\n'
        f"<title>{escape(title)}</title>\n"
        f"<desc>{escape(say('A kitforge check report: drawings with numbered findings, and their list.'))}</desc>\n"
        f'<rect width="{num(_PAGE)}" height="{num(height)}" fill="{PAPER}"/>\n'
    )
    return (head + "\n".join(sheet.canvas.parts) + "\n</svg>\n").encode("utf-8")


def _write_head(sheet: _Sheet, report: CheckReport) -> None:
    wide = _PAGE - 2 * _EDGE
    sheet.words(say("Check report"), _EDGE, wide, 3.6, fill=GREY)
    sheet.words(report.title, _EDGE, wide, 8.0, bold=True)
    sheet.words(report.subtitle, _EDGE, wide, 4.0, fill=GREY)
    sheet.y += 9.0
    for index, severity in enumerate(Severity):
        x, words = _EDGE + 3.4 + index * 40.0, severity_count(severity.value, report.counts[severity])
        draw_sign(sheet.canvas, severity, x, sheet.y, None)
        sheet.canvas.text(x + 5.5, sheet.y + 1.5, words, size=4.4, bold=True)
    sheet.y += 4.0
    for name, value in report.facts:
        sheet.words(f"{name}: {value}", _EDGE, wide, 3.6)


def _write_block(sheet: _Sheet, block: ReportBlock) -> None:
    sheet.y += 8.0
    sheet.canvas.line(_EDGE, sheet.y, _PAGE - _EDGE, sheet.y, stroke=_LINE)
    sheet.canvas.parts.append(f'<g id="{block.key}">')
    sheet.y += 2.0
    sheet.words(block.title, _EDGE, _PAGE - 2 * _EDGE, 5.6, bold=True)
    sheet.words(f"{block.about} · {block.summary}", _EDGE, _PAGE - 2 * _EDGE, 3.6, fill=GREY)
    sheet.y += 4.0
    top = sheet.y
    if block.drawn:
        moved = f'<g transform="translate({num(_EDGE)} {num(top)})">\n<title>{escape(block.drawn.words)}</title>'
        sheet.canvas.parts.append(f"{moved}\n{block.drawn.body}\n</g>")
    left = _EDGE + (WIDTH + _BETWEEN if block.drawn else 0.0)
    for row in block.rows:
        _write_row(sheet, row, left, _PAGE - _EDGE - left)
    sheet.canvas.parts.append("</g>")
    sheet.y = max(sheet.y, top + (block.drawn.full_height if block.drawn else 0.0))


def _write_row(sheet: _Sheet, row: FindingRow, left: float, wide: float) -> None:
    x, width = left + _INDENT, wide - _INDENT
    sheet.canvas.parts.append(f'<g id="f{row.number}">')
    draw_sign(sheet.canvas, row.severity, left + 3.6, sheet.y + 4.2, row.number)
    top = sheet.y
    sheet.words(f"{row.word}. {row.message}", x, width, 3.7, bold=True)
    sheet.words(row.advice, x, width, 3.5)
    where = [row.code, row.operation and f"operation {row.operation}", row.place, row.source]
    sheet.words(" · ".join(word for word in where if word), x, width, 3.1, fill=GREY)
    for line in row.excerpt:
        sheet.code(str(line.number), line.text, x - _INDENT / 2, 3.1)
        if line.wrong:
            sheet.code("", line.pointer, x - _INDENT / 2, 3.1)
    if row.written and not row.excerpt:
        sheet.words(row.written, x, width, 3.1, fill=GREY)
    sheet.y = max(sheet.y + 3.0, top + 9.5)
    sheet.canvas.parts.append("</g>")
