"""From the findings of a check to the result of a kit: words, fingerprints, waivers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from kitforge.files.reading import read_bounded
from kitforge.language import SOURCE_LANGUAGE, language
from kitforge.model.findings import Finding, in_words
from kitforge.model.messages import Wording
from kitforge.release.findings.rows import MOST_FINDINGS, KitResult, result_of, rows_of
from kitforge.release.findings.waivers import WAIVERS, read_waivers, today, waive

if TYPE_CHECKING:
    from kitforge.model.errors import UnreadableKitError
    from kitforge.pipeline import CheckedKit

KIT_FILE = "kit.yaml"
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
    return _result(folder, [*checked.findings, *more], words, text, readable=True, most=most)


def unreadable_result(
    folder: Path, error: UnreadableKitError, most: int = MOST_FINDINGS, code: str = SOURCE_LANGUAGE
) -> KitResult:
    """Return the result of a kit that could not be read, with every problem that the error carries."""
    words = language(code).wording(error.units)
    return _result(folder, error.problems, words, _text(folder), readable=False, most=most)


def _result(
    folder: Path, findings: Sequence[Finding], words: Wording, text: str, *, readable: bool, most: int
) -> KitResult:
    waivers, problems, waivers_text = read_waivers(folder)
    texts: Mapping[str, str] = {KIT_FILE: text, WAIVERS: waivers_text}
    name = folder.resolve().name
    rows = rows_of(in_words(findings, words), name, texts)
    waived, about = waive(rows, waivers, today()) if waivers else (rows, [])
    if not readable:
        about = []  # what the check would have found is not known, so nothing can be said of its waivers
    return result_of(folder, [*waived, *rows_of(in_words([*problems, *about], words), name, texts)],
                     readable=readable, most=most)  # fmt: skip


def _text(folder: Path) -> str:
    try:
        return read_bounded(folder / KIT_FILE, _LARGEST_KIT_FILE).decode("utf-8-sig", "replace")
    except OSError:
        return ""
