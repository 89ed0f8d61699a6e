"""Packs whose documents are not set in type, or are taken as they were before that: their manuscripts stand in the
places of the PDFs.

What a document says is said in its manuscript, and setting it takes most of the time of a build. Of what has
two forms the first is taken.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import demo_kits
import pytest
from plain_pictures import left_plain

from kitforge.model.pack import BuildOptions
from kitforge.pipeline import CheckedKit, render_files
from kitforge.plugins import load_plugins
from kitforge.print import parallel
from kitforge.print.courses import usual_form
from kitforge.print.typesetter import PdfJob

_READ = (".pdf", ".svg", ".txt", ".csv", ".json")


@dataclass(frozen=True, slots=True)
class Unset:
    """A pack: the text of every file of text, by name, and of every line drawing that a document shows, by source."""

    name: str
    texts: dict[str, str] = field(repr=False)
    pictures: dict[str, str] = field(repr=False)


def unset(name: str) -> Unset:
    """Return the pack of a demo kit, as it was before its documents were set for all tests."""
    before = demo_kits.manuscripts(name)
    texts = {file: text.encode() for file, text in before.texts.items()}
    return _unset(name, {**demo_kits.demo(name).files, **texts}, before.drawings)


def unset_pack(name: str, checked: CheckedKit) -> Unset:
    """Return the pack of a kit that was checked."""
    pictures: dict[str, str] = {}

    def manuscript(one: PdfJob) -> bytes:
        pictures.update({src: data.decode() for src, data in one.assets.items() if src.endswith(".svg")})
        return usual_form(one.html).encode()

    with left_plain(), pytest.MonkeyPatch.context() as patch:
        patch.setattr(parallel, "_cores", lambda: 1)
        patch.setattr(parallel, "render_pdf", manuscript)
        files = render_files(checked, load_plugins(), BuildOptions(papers=("a4",)))
    return _unset(name, {one.name: one.data for one in files}, pictures)


def _unset(name: str, files: Mapping[str, bytes], pictures: Mapping[str, str]) -> Unset:
    texts = {name: _plain(data.decode("utf-8-sig")) if name.endswith(_READ) else "" for name, data in files.items()}
    return Unset(name, texts, dict(pictures))


def _plain(text: str) -> str:
    """Return a text whose figures and units a reader's eye parts by a space of any kind."""
    return text.replace("\N{NO-BREAK SPACE}", " ")
