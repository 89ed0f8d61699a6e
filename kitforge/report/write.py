"""The door to this room: the report of a check as bytes, or as a file that is written whole or not at all."""

from __future__ import annotations

import pathlib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from kitforge.files.writing import write_whole
from kitforge.language import SOURCE_LANGUAGE, language, use_language
from kitforge.model.errors import KitforgeError
from kitforge.model.findings import in_words
from kitforge.model.own_words import in_language
from kitforge.pack.targets import refuse_foreign_report
from kitforge.print.ready import require_printing

if TYPE_CHECKING:
    from kitforge.model.findings import Finding
    from kitforge.pipeline import CheckedKit
    from kitforge.report.records import CheckReport

_KINDS = {".html": "html", ".htm": "html", ".pdf": "pdf", ".svg": "svg"}


def report_kind(path: pathlib.Path) -> str:
    """Return 'html', 'pdf' or 'svg' by the file's ending. Raises KitforgeError for any other."""
    kind = _KINDS.get(path.suffix.lower())
    if kind is None:
        raise KitforgeError(
            f"Cannot tell what kind of report '{path.name}' shall be; end its name in .html, .pdf or .svg."
        )
    return kind


def require_report(path: pathlib.Path) -> None:
    """Raise KitforgeError for a report that cannot be made: before the work, not after it."""
    kind = report_kind(path)
    refuse_foreign_report(path)
    if kind == "pdf":
        require_printing()


def report_bytes(checked: CheckedKit, kind: str, code: str = SOURCE_LANGUAGE) -> bytes:
    """Return the report of a checked kit as 'html', 'pdf' or 'svg', in the language `code`; equal kits give equal
    bytes.
    """
    from kitforge.report.gather import report_of

    words = language(code).wording(checked.kit.info.units)
    kit, plan = in_language((checked.kit, checked.plan), code)
    found = tuple(in_words(checked.findings, words))
    with use_language(code):
        return _rendered(report_of(replace(checked, kit=kit, plan=plan, findings=found)), kind)


def unreadable_bytes(
    name: str, problems: Sequence[Finding], files: Mapping[str, bytes], kind: str, code: str = SOURCE_LANGUAGE
) -> bytes:
    """Return the report of a kit that cannot be read, its problems in words of the language `code` already.

    files: what can be read of it, by name, for the excerpts.
    """
    from kitforge.report.gather import report_of_problems

    with use_language(code):
        return _rendered(report_of_problems(name, problems, files), kind)


def write_report(checked: CheckedKit, path: pathlib.Path, code: str = SOURCE_LANGUAGE) -> None:
    """Write the report of a checked kit; the ending of the name says which kind. Raises KitforgeError.

    A file that is no report of ours is left as it is, and so is every file of the kit.
    """
    require_report(path)
    _write(path, report_bytes(checked, report_kind(path), code))


def write_unreadable(
    folder: pathlib.Path, problems: Sequence[Finding], path: pathlib.Path, code: str = SOURCE_LANGUAGE
) -> None:
    """Write the report of the kit in `folder` that cannot be read, with excerpts of its files. Raises KitforgeError."""
    from kitforge.report.excerpts import readable_files

    require_report(path)
    files = readable_files(folder, (problem.source.file for problem in problems))
    _write(path, unreadable_bytes(folder.resolve().name, problems, files, report_kind(path), code))


def _rendered(report: CheckReport, kind: str) -> bytes:
    if kind == "html":
        from kitforge.report.page import html_bytes

        return html_bytes(report)
    if kind == "svg":
        from kitforge.report.tall import svg_bytes

        return svg_bytes(report)
    if kind == "pdf":
        from kitforge.report.paper import pdf_bytes

        return pdf_bytes(report)
    raise ValueError(f"there is no report of the kind '{kind}'")


def _write(path: pathlib.Path, data: bytes) -> None:
    try:
        write_whole(path, data)
    except OSError as problem:
        raise KitforgeError(f"Cannot write {path}: {problem.strerror or problem}. Choose another place.") from None
