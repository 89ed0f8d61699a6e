"""From the findings of a check to the result of a kit: words, fingerprints, waivers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from kitforge.files.reading import read_bounded
from kitforge.language import SOURCE_LANGUAGE, language
from kitforge.model.findings import KIT_FILE, Finding, in_words
from kitforge.model.messages import Wording
from kitforge.release.findings.rows import MOST_FINDINGS, KitResult, result_of, rows_of
from kitforge.release.findings.waivers import WAIVERS, read_waivers, today, waive

if TYPE_CHECKING:
    from kitforge.model.errors import UnreadableKitError
    from kitforge.pipeline import CheckedKit

_LARGEST_KIT_FILE = 2 << 20


def checked_result(
    folder: Path,
    checked: CheckedKit,
    more: Sequence[Finding] = (),
    most: int = MOST_FINDINGS,
    code: str = SOURCE_LANGUAGE,
) -> KitResult:
    """Return the result of a kit that was checked, in words of the language `code` and in the author's units.

    more: further findings.
    """
    text = checked.kit.files.get(KIT_FILE, b"").decode("utf-8-sig", "replace")
    words = language(code).wording(checked.kit.info.units)
    size = checked.kit.info.size
    return _result(folder, [*checked.findings, *more], words, text, readable=True, most=most, size=size)


def unreadable_result(
    folder: Path, error: UnreadableKitError, most: int = MOST_FINDINGS, code: str = SOURCE_LANGUAGE, size: str = ""
) -> KitResult:
    """Return the result of a kit, or of one of its sizes, that could not be read, with every problem of the error."""
    words = language(code).wording(error.units)
    return _result(folder, error.problems, words, _text(folder), readable=False, most=most, size=size)


def _result(
    folder: Path, findings: Sequence[Finding], words: Wording, text: str, *, readable: bool, most: int, size: str
) -> KitResult:
    waivers, problems, waivers_text = read_waivers(folder)
    texts: Mapping[str, str] = {KIT_FILE: text, WAIVERS: waivers_text}
    name = folder.resolve().name
    rows = rows_of(in_words(findings, words), name, texts, size)
    waived, about = waive(rows, waivers, today(), size) if waivers else (rows, [])
    if not readable:
        about = []  # what the check would have found is not known, so nothing can be said of its waivers
    said = rows_of(in_words([*problems, *about], words), name, texts, size)
    return replace(result_of(folder, [*waived, *said], readable=readable, most=most), of=size)


def _text(folder: Path) -> str:
    try:
        return read_bounded(folder / KIT_FILE, _LARGEST_KIT_FILE).decode("utf-8-sig", "replace")
    except OSError:
        return ""
