"""The live page in another language: every word comes from the catalogues, an author's own from the kit."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import lxml.html
import pytest
from kit_samples import plugins

import kitforge.language as spoken
from kitforge.language import Language
from kitforge.live.board import PieceBoard
from kitforge.live.own import FIELDS, OwnMachine
from kitforge.live.session import PIECES, page_in
from kitforge.live.work import Follower
from kitforge.model.family import AS_WRITTEN
from kitforge.testing import SmallKit

MARK = "§"
UNITS = {"mm", "mm/min", "N", "W", "rpm", "kitforge", "live"}
SILENT = ("code", "pre", "script", "style", "title")
"""What holds lines of files, codes of findings and data."""
NAMED = ("aria-label", "title", "alt", "aria-valuetext")


class Marked(Language):
    """A language in which every text of a catalogue begins with a sign."""

    def text(self, message: str) -> str:
        return f"{MARK}{message}"

    def counted(self, one: str, many: str, count: float) -> str:
        return f"{MARK}{one if count == 1 else many}"


@pytest.fixture
def marked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(spoken, "language", lambda code: Marked(code, "Marked"))


def followed(folder: Path, code: str, *changes: tuple[str, str]) -> tuple[SmallKit, Follower]:
    kit = SmallKit(folder)
    for old, new in changes:
        kit.change(old, new)
    board = PieceBoard()
    bugs: list[str] = []
    follower = Follower(kit.folder, AS_WRITTEN, plugins(), board, bugs.append, code)
    follower.step()
    assert bugs == []
    return kit, follower


def piece(follower: Follower, name: str) -> str:
    return (follower.board.piece(name) or b"").decode("utf-8")


def sayings(page: str) -> Iterator[str]:
    """Yield every text and every name of a page that a reader meets."""
    for one in lxml.html.document_fromstring(page).iter():
        if not isinstance(one.tag, str):
            continue
        if not any(up.tag in SILENT for up in (one, *one.iterancestors())):
            yield one.text or ""
            yield from (one.get(name, "") for name in NAMED)
        yield one.tail or ""


def unmarked(page: str, own: set[str]) -> list[str]:
    """Return the texts that no catalogue has said. own: the words that the author wrote."""
    found = (" ".join(text.split()) for text in sayings(page))
    spoken_of = (text for text in found if MARK not in text)
    return [text for text in spoken_of if {*re.findall(r"[^\W\d_]{2,}(?:/[a-z]+)?", text)} - UNITS - own]


def test_no_word_of_the_page_is_outside_the_catalogues(tmp_path: Path, marked: None) -> None:
    """With every text of the catalogues marked, what is not marked is the author's own."""
    kit, follower = followed(tmp_path / "kit", "de")
    prices = "currency: EUR\non: '2026-11-29'\nhour: {hand: 30}\n"
    (kit.folder / "prices.yaml").write_text(prices, encoding="utf-8")
    follower.step()
    own = set(re.findall(r"[^\W\d_]{2,}", f"{kit.file.read_text(encoding='utf-8')} {prices} prices"))
    pages = {name: piece(follower, name) for name in PIECES if name not in ("trouble", "documents")}
    pages |= {"machine": OwnMachine(follower, plugins()).answer("x=600&y=400").decode("utf-8")}
    pages |= {"wrong": OwnMachine(follower, plugins()).answer("x=600").decode("utf-8")}
    pages |= {"page": page_in("de").decode("utf-8")}
    kit.change("kitforge: 1", "kitforge: 1\nnonsense: 2")
    follower.step()
    pages["trouble"] = piece(follower, "trouble")
    left = {name: unmarked(page, {*own, "kit", "yaml", "ml"}) for name, page in pages.items()}
    assert {name: found for name, found in left.items() if found} == {}
    assert all(text.count(MARK) for name, text in pages.items())
    assert len(FIELDS) <= pages["page"].count(MARK)


def test_a_german_page_is_german(tmp_path: Path) -> None:
    _kit, follower = followed(tmp_path / "kit", "de")
    assert "Auf dem Stand" in page_in("de").decode("utf-8")
    assert '<th scope="col">Drehzahl</th>' in piece(follower, "settings")
    assert "Seitlich" in piece(follower, "settings")
    assert "Hier wurde nichts gefunden." in piece(follower, "drawn")


def test_an_authors_own_texts_are_those_of_the_language(tmp_path: Path) -> None:
    kit = SmallKit(tmp_path / "probe")
    title = re.search(r"^  title: (.*)$", kit.file.read_text(encoding="utf-8"), re.MULTILINE)
    assert title
    change = (f"  title: {title[1]}", "  title: {en: A sign, de: Ein Schild}")
    for code, said in (("en", "A sign"), ("de", "Ein Schild")):
        _kit, follower = followed(tmp_path / code, code, change)
        assert f"<h1><bdi>{said}</bdi></h1>" in piece(follower, "head")
