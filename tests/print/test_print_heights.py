"""Pieces of a document are measured once: by their text, what they stand in and what they show; here and in a cache."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from kitforge.files.artefacts import Artefacts, kept_in
from kitforge.files.cache import FileCache
from kitforge.print import heights
from kitforge.print.flow import MARK, Height
from kitforge.print.heights import Fragment, PageSize, measured
from kitforge.print.raster import DRAWN
from kitforge.print.ready import load_typesetter
from kitforge.print.typesetter import PdfJob, laid_out

if TYPE_CHECKING:
    from weasyprint import Document

HEAD = "<html><head><style>@page { size: 100px; margin: 10px } body, div { margin: 0 }</style></head><body>"
PICTURE = b'<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d"/>'


@pytest.fixture(autouse=True)
def _nothing_known(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(heights, "_kept", {})


@dataclass
class Typesetter:
    """Lays a document out, and keeps how many pieces it was asked for each time."""

    asked: list[int] = field(default_factory=list)

    def look(self, html: str) -> Document:
        load_typesetter()
        from weasyprint import HTML

        self.asked.append(len(re.findall(MARK, html)))
        document: Document = HTML(string=html).render()
        return document

    def heights(self, *pieces: str, shown: Callable[[str], bytes] | None = lambda _: b"") -> list[float]:
        """The height of each piece, a number of px or a text of HTML."""
        found, page = measured(HEAD, [Fragment("", block(one), "") for one in pieces], self.look, shown)
        assert page == PageSize(100.0, 80.0)
        return [sum(height.ink for height in piece) for piece in found]


def block(tall: str) -> str:
    return f'<div style="height: {tall}px"></div>' if tall.replace(".", "").isdigit() else tall


@pytest.fixture
def typesetter() -> Typesetter:
    return Typesetter()


def test_only_what_is_new_is_laid_out(typesetter: Typesetter) -> None:
    assert typesetter.heights("20", "30") == [20, 30]
    assert typesetter.heights("40", "20", "30") == [40, 20, 30]
    assert typesetter.heights("30", "40") == [30, 40]
    assert typesetter.asked == [2, 1]


def test_what_stands_twice_is_laid_out_once(typesetter: Typesetter) -> None:
    assert typesetter.heights("20", "30", "20") == [20, 30, 20]
    assert typesetter.asked == [2]


def test_without_words_for_what_is_shown_nothing_is_kept(typesetter: Typesetter) -> None:
    for _ in range(2):
        assert typesetter.heights("20", shown=None) == [20]
    assert typesetter.asked == [1, 1]


def test_what_is_shown_and_what_a_piece_stands_in_count(typesetter: Typesetter) -> None:
    for shown in (b"a picture", b"another one"):
        typesetter.heights("20", shown=lambda _, shown=shown: shown)  # type: ignore[misc]
    for opened in ("", '<div class="a">', '<div class="b">'):
        measured(HEAD, [Fragment(opened, block("20"), "</div>" if opened else "")], typesetter.look, lambda _: b"")
    measured(HEAD.replace("100px", "90px"), [Fragment("", block("20"), "")], typesetter.look, lambda _: b"")
    assert typesetter.asked == [1] * 6


def test_a_cache_gives_the_same_numbers_to_the_next_process(
    typesetter: Typesetter, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of a piece of several blocks on two pages, with all that is said of each, to the last digit."""
    pieces = [Fragment("", f"{block('23.3')}{block('50.7')}{block('11.1')}<p>Words</p>", "")]
    with kept_in(Artefacts(FileCache(tmp_path), "builder")):
        first = measured(HEAD, pieces, typesetter.look, lambda _: b"")
        monkeypatch.setattr(heights, "_kept", {})
        assert measured(HEAD, pieces, typesetter.look, lambda _: b"") == first
        assert all(isinstance(height, Height) for height in first[0][0])
    monkeypatch.setattr(heights, "_kept", {})
    with kept_in(Artefacts(FileCache(tmp_path), "another builder")):
        assert measured(HEAD, pieces, typesetter.look, lambda _: b"") == first
    assert typesetter.asked == [1, 1]


def test_of_very_many_pieces_those_measured_last_stay(typesetter: Typesetter, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(heights, "_MOST_KEPT", 2)
    typesetter.heights("10", "20", "30")
    assert typesetter.heights("20", "30", "10") == [20, 30, 10]
    assert typesetter.asked == [3, 1]


@pytest.fixture
def seen(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """How many pieces were laid out each time."""
    found: list[int] = []
    real = heights._laid_out

    def laid(head: str, fragments: list[Fragment], look: Callable[[str], Document]) -> object:
        found.append(len(fragments))
        return real(head, fragments, look)

    monkeypatch.setattr(heights, "_laid_out", laid)
    return found


def pages(assets: Mapping[str, bytes], first: str = DRAWN + "a.svg") -> int:
    """How many pages a document of two places has, each with a picture, of which both may stand in one piece."""
    shows = f'<img src="{first}">', f'<img src="{DRAWN}b.svg">'
    pieces = ((0, 1, shows[0]), (1, 2, shows[1]), (0, 2, "".join(shows)))
    course = "".join(f"<!--piece a {i} {j}-->{block(html)}<!--end a {i} {j}-->" for i, j, html in pieces)
    html = (
        '<html lang="en"><head><title>Test</title><link rel="stylesheet" href="style.css"></head>'
        f"<body><!--course a 1 1-->{course}<!--end a--></body></html>"
    )
    return len(laid_out(PdfJob(html, assets, None, b"", frozenset())).pages)


def test_a_document_measures_anew_what_shows_another_picture_or_has_another_style(seen: list[int]) -> None:
    assets = {
        "style.css": b"@page { size: 100px; margin: 10px } img { display: block }",
        DRAWN + "a.svg": PICTURE % (20, 30),
        DRAWN + "b.svg": PICTURE % (20, 40),
        "mark.svg": PICTURE % (20, 30),
    }
    pages(assets)
    pages({**assets, DRAWN + "c.svg": PICTURE % (9, 9)})  # that no piece shows
    assert seen == [3]
    pages({**assets, DRAWN + "b.svg": PICTURE % (20, 60)})  # in two pieces
    assert seen == [3, 2]
    pages({**assets, "style.css": assets["style.css"] + b" "})
    pages({**assets, "mark.svg": PICTURE % (20, 31)}, first="mark.svg")  # of the theme
    assert seen == [3, 2, 3, 3]
