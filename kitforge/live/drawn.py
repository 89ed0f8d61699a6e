"""The parts and sheets as the report of a check draws them, with what can be pointed at on top."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING
from xml.sax.saxutils import quoteattr

from kitforge.language import render_text, say
from kitforge.live.blocks import TextBlock, numbers_by_thing
from kitforge.model.characters import clean
from kitforge.model.record import record
from kitforge.print.svg import circle_data, num, path_data
from kitforge.report.gather import report_of
from kitforge.report.rows import FindingRow, blocks_of
from kitforge.report.wording import plain
from kitforge.stages.mending import difference, mended

if TYPE_CHECKING:
    from kitforge.model.findings import Finding
    from kitforge.model.kit import Kit, Operation, Part
    from kitforge.model.path import Path
    from kitforge.model.plan import Sheet
    from kitforge.pipeline import CheckedKit
    from kitforge.print.svg import PlanView
    from kitforge.stages.read import ReadKit


@record
class DrawnRow:
    """A finding as it is listed, with its line in kit.yaml or 0, and the change that mends it or ''."""

    row: FindingRow
    line: int
    fix: str


@record
class DrawnSection:
    """A part or a sheet: its drawing as SVG, '' for the kit as a whole, its findings, and what its lines make."""

    key: str
    title: str
    about: str
    made: str
    svg: str
    rows: tuple[DrawnRow, ...]


def sections_of(checked: CheckedKit, blocks: Sequence[TextBlock], written: ReadKit) -> tuple[DrawnSection, ...]:
    """Return every part and sheet of a checked kit whose findings are in words, drawn. written: its text."""
    report = report_of(checked)
    known = numbers_by_thing(blocks)
    told = {entry.number: entry.finding for section in report.sections for entry in section.entries}
    parts = {f"part-{number}": part for number, part in enumerate(checked.kit.parts, 1)}
    sheets = {
        f"sheet-{index + 1}-{number + 1}": sheet
        for index, setup in enumerate(checked.plan.setups)
        for number, sheet in enumerate(setup.sheets)
    }
    found = []
    for block in blocks_of(report, linked=True):
        part, sheet = parts.get(block.key), sheets.get(block.key)
        thing = ("part", part.key) if part else ("stock", sheet.stock.key if sheet else "")
        over = ""
        if block.drawn and part:
            over = "\n".join(_over(part, block.drawn.view, known))
        elif block.drawn and sheet:
            over = "\n".join(_over_sheet(checked.kit, sheet, block.drawn.view, known))
        rows = tuple(_row(row, told[row.number], written) for row in block.rows)
        svg = block.drawn.svg(over) if block.drawn else ""
        found.append(DrawnSection(block.key, block.title, block.about, str(known.get(thing, "")), svg, rows))
    return tuple(found)


def _row(row: FindingRow, finding: Finding, written: ReadKit) -> DrawnRow:
    return DrawnRow(row, finding.source.kit_line, fix_of(finding, written))


def fix_of(finding: Finding, written: ReadKit) -> str:
    """Return the change of kit.yaml that mends a finding, as it can be shown; '' where none is known."""
    fix = difference(written, mended(written, [finding])) if finding.mend is not None else ""
    return clean(fix, keep="\n")


def _over(part: Part, view: PlanView, known: dict[tuple[str, ...], int]) -> Iterator[str]:
    """Yield what can be pointed at in the drawing of a part: its outline and each operation, the largest first."""
    if number := known.get(("part", part.key)):
        yield _made([part.outline], "", view, number, part.title)
    for operation in sorted(part.operations, key=_reach, reverse=True):
        if number := known.get(("operation", part.key, operation.name)):
            radius = max(operation.cutter.radius * view.scale, 0.8)
            discs = "".join(circle_data(view.x(x), view.y(y), radius) for x, y in operation.points)
            yield _made(operation.shapes, discs, view, number, render_text(operation.title))


def _over_sheet(kit: Kit, sheet: Sheet, view: PlanView, known: dict[tuple[str, ...], int]) -> Iterator[str]:
    """Yield what can be pointed at in the drawing of a sheet: the copies of each part, together."""
    for key in dict.fromkeys(lying.part for lying in sheet.placements):
        if number := known.get(("part", key)):
            part = kit.part(key)
            copies = [lying.path(part.outline) for lying in sheet.placements if lying.part == key]
            yield _made(copies, "", view, number, part.title)


def _reach(operation: Operation) -> float:
    boxes = [path.bounds for path in operation.shapes if path.vertices]
    return max((box.width * box.height for box in boxes), default=0.0)


def _made(paths: Sequence[Path], discs: str, view: PlanView, number: int, title: str) -> str:
    data = f"{path_data([path for path in paths if path.vertices], view)}{discs}"
    name = quoteattr(say("{title}: its lines in kit.yaml", title=plain(title, 80)))
    width = num(1.6)
    return (
        f'<path class="made" data-made="{number}" role="button" tabindex="0" aria-label={name} d="{data}" '
        f'fill="none" stroke="transparent" stroke-width="{width}"/>'
    )
