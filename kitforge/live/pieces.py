"""The pieces of the page, filled from its templates: bytes by name, ready to be put up."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING

from kitforge.language import current_language
from kitforge.live.blocks import TextBlock, blocks_of
from kitforge.live.drawn import fix_of, sections_of
from kitforge.live.views import class_pages, facts_of, need_lines, steps_of, text_lines
from kitforge.live.words import MARKS, in_use
from kitforge.model.findings import KIT_FILE, Finding, count_by_severity, in_words
from kitforge.print.templates import fill_template
from kitforge.print.themes import Theme
from kitforge.report.gather import report_of_problems
from kitforge.report.rows import blocks_of as report_blocks
from kitforge.report.rows import sign_picture
from kitforge.report.wording import counted, plain
from kitforge.surface.maps import KeptMaps, maps_of

if TYPE_CHECKING:
    from kitforge.model.kit import Kit
    from kitforge.model.plan import Plan
    from kitforge.pipeline import CheckedKit
    from kitforge.stages.read import ReadKit

Pieces = dict[str, bytes]


@cache
def page_theme() -> Theme:
    """Return the templates, the style sheet and the script of the page."""
    folder = files("kitforge.live.pages")
    return Theme("live", {one.name: one.read_bytes() for one in folder.iterdir() if one.is_file()})


def filled(template: str, values: Mapping[str, object]) -> bytes:
    """Return a template of the page, filled."""
    return fill_template(page_theme(), template, values).encode("utf-8")


def maps_piece(kit: Kit, plan: Plan, blocks: Sequence[TextBlock], kept: KeptMaps | None = None) -> bytes:
    """Return the piece after each step, which is known before anything is computed for a machine.

    kept: the maps of the parts as they were before, of which those are taken that the kit still has.
    """
    data = {"maps": maps_of(plan, kit.parts, kept), "steps": steps_of(plan, blocks)}
    return json.dumps(data, ensure_ascii=False, separators=(",", ":")).encode("utf-8")


def settings_piece(kit: Kit, plan: Plan, blocks: Sequence[TextBlock], *, own: bool = False) -> bytes:
    """Return the settings, what holds, and the times of every class of machine; own: of the reader's machine."""
    return filled("settings.html", {"classes": class_pages(kit, plan, blocks), "own": own})


def checked_pieces(checked: CheckedKit, written: ReadKit) -> Pieces:
    """Return the head, the drawings with the findings where they are, the needs, and the text with its marks."""
    from markupsafe import Markup

    words = current_language().wording(checked.kit.info.units)
    worded = in_words(checked.findings, words)
    blocks = blocks_of(checked.kit, written.where)
    sections = sections_of(replace(checked, findings=worded), blocks, written)
    signs = {one.row.number: Markup(one.row.sign.svg) for section in sections for one in section.rows}
    drawings = {section.key: Markup(section.svg) for section in sections if section.svg}
    return {
        "head": head_piece(checked.kit, checked.plan, checked.findings),
        "drawn": filled("drawn.html", {"sections": sections, "signs": signs, "drawings": drawings}),
        "needs": filled("needs.html", {"needs": need_lines(checked.kit, blocks, worded)}),
        "text": text_piece(written.text, blocks, checked.findings),
    }


def head_piece(kit: Kit, plan: Plan, findings: Sequence[Finding] | None) -> bytes:
    """Return the head of the page. findings: None while they are not known yet."""
    counts = count_by_severity(findings) if findings is not None else {}
    values = {
        "title": plain(kit.info.title, 200),
        "summary": plain(kit.info.summary),
        "facts": facts_of(kit, plan),
        "found": counted(counts.items()) if findings is not None else "",
    }
    return filled("head.html", values)


def text_piece(text: str, blocks: Sequence[TextBlock], findings: Sequence[Finding]) -> bytes:
    """Return kit.yaml line by line, with the worst that was found on each."""
    return filled("text.html", {"lines": text_lines(text, blocks, findings), "file": KIT_FILE, "marks": in_use(MARKS)})


def trouble_pieces(
    name: str, problems: Sequence[Finding], units: str, found: Mapping[str, bytes], written: ReadKit | None = None
) -> Pieces:
    """Return why a kit cannot be read, in the words of the check, and its text with the places marked.

    found: what can be read of its files, by name; written: kit.yaml where that much could be read.
    """
    from markupsafe import Markup

    worded = in_words(problems, current_language().wording(units))
    (block,) = report_blocks(report_of_problems(name, worded, found))
    signs = {row.number: Markup(sign_picture(row.severity, row.number).svg) for row in block.rows}
    lines = {number: one.source.kit_line for number, one in enumerate(worded, 1)}
    fixes = {number: fix_of(one, written) if written else "" for number, one in enumerate(worded, 1)}
    text = found.get(KIT_FILE, b"").decode("utf-8-sig", errors="replace")
    return {
        "trouble": filled("trouble.html", {"rows": block.rows, "signs": signs, "lines": lines, "fixes": fixes}),
        "text": text_piece(text, (), worded),
    }
