"""The measures of the tests themselves: they find what overprints, leaves the paper or is cut off, and only that."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st
from layout import faults
from page_measures import make_up
from poppler import all_drawn, drawn
from words import MOST_COVERED, Word, _covered, outside, overprinted, pages_of_words, picture_words

from kitforge.print import fonts
from kitforge.print.svg import SvgCanvas
from kitforge.print.typesetter import PdfJob, set_and_laid_out

if TYPE_CHECKING:
    from weasyprint import Document

LONG = "Holzverbindungsschwalbenschwanzfräserschablonenhalterung"


def page(body: str, **pictures: bytes) -> tuple[bytes, Document]:
    assets = {f"fonts/{name}": data for name, data in fonts.shipped_fonts().items()}
    assets |= {"fonts.css": fonts.font_face_css().encode()}
    assets |= {f"{name}.svg": data for name, data in pictures.items()}
    html = (
        '<html lang="en"><head><title>Made up</title><link rel="stylesheet" href="fonts.css">'
        f"<style>html {{ font: 10pt/13pt '{fonts.FAMILY}' }} p, table {{ margin: 0 }} "
        "table { table-layout: fixed; border-collapse: collapse } td { padding: 0 }"
        f"@page {{ size: A4; margin: 20mm }}</style></head><body>{body}</body></html>"
    )
    return set_and_laid_out(PdfJob(html, assets, None, b"0" * 32, frozenset({fonts.FAMILY})))


def pairs(body: str) -> list[tuple[str, str]]:
    return [pair for paper in pages_of_words(page(body)[0]) for pair in overprinted(paper.words)]


def test_tight_lines_do_not_overprint() -> None:
    """10pt type in lines of 8.5pt: the descenders of one line end above the capitals of the next."""
    assert pairs('<p style="line-height: 8.5pt">eine<br>AHKRT</p><p>1 234</p>') == []


@pytest.mark.parametrize("turn", ["", "transform: rotate(-90deg); transform-origin: 0 0; width: 9mm"])
def test_two_words_at_one_place_overprint(turn: str) -> None:
    one, other = (f'<p style="position: absolute; left: 30mm; top: 30mm; {turn}">{word}</p>' for word in ("57", "R9"))
    assert pairs(one + other) == [("57", "R9")]


def test_words_side_by_side_do_not_overprint_however_they_are_turned() -> None:
    """Words on their end 10.5pt apart: less than their height from ascent to descent, more than their ink's."""
    style = "position: absolute; top: 30mm; transform: rotate(-90deg); transform-origin: 0 0; width: 20mm"
    assert pairs("".join(f'<p style="{style}; left: {30 + 8.5 * i}pt">{100 + i}</p>' for i in range(4))) == []


def test_a_word_at_the_very_edge_is_not_printed() -> None:
    (paper,) = pages_of_words(page('<p style="position: absolute; left: -18mm; top: 0">edge</p><p>middle</p>')[0])
    assert outside(paper) == ["edge"]


def test_words_in_drawings_are_words_of_the_page() -> None:
    canvas = SvgCanvas(40, 20)
    canvas.text(20, 10, "A", size=3.5, bold=True, halo=True)
    canvas.text(20, 10, "J", size=3.5, bold=True, halo=True)
    canvas.text(2, 10, "B", size=3.5)
    svg = canvas.finish("two letters at one centre").svg
    pdf, _ = page('<img src="drawn.svg" alt="x" style="width: 40mm">', drawn=svg.encode())
    assert [overprinted(paper.words) for paper in pages_of_words(pdf)] == [[("A", "J")]]


@pytest.mark.parametrize(
    ("where", "fits"),
    [
        ({"x": 20, "y": 10}, True),
        ({"x": 38, "y": 10}, False),
        ({"x": 38, "y": 10, "anchor": "end"}, True),
        ({"x": 1, "y": 10, "anchor": "middle"}, False),
        ({"x": 20, "y": 1}, False),
        ({"x": 5, "y": 18, "turn": -90}, True),
        ({"x": 1, "y": 18, "turn": -90}, False),
        ({"x": 5, "y": 4, "turn": -90}, False),
    ],
)
def test_words_that_leave_their_picture_are_found(where: dict[str, float], fits: bool) -> None:
    canvas = SvgCanvas(40, 20)
    canvas.text(words="12.5 mm", **where)  # type: ignore[arg-type]
    (word,) = picture_words(canvas.finish("a dimension").svg)
    assert word.inside(0, 0, 40, 20) == fits


def test_a_share_is_of_the_smaller_word() -> None:
    large, small = Word("large", 0, 0, 100, 10), Word("in", 99, 9, 101, 11)
    assert overprinted([large, small]) == [("in", "large")]
    assert overprinted([large, Word("in", 100, 0, 102, 2)]) == []


WORDS = st.builds(
    lambda x, y, wide, high: Word(f"{x} {y}", x, y, x + wide, y + high),
    *(st.integers(0, 20), st.integers(0, 20), st.integers(0, 9), st.integers(0, 9)),
)


@given(st.lists(WORDS, max_size=12))
def test_every_pair_that_overprints_is_found(words: list[Word]) -> None:
    """Against a look at each pair by itself."""
    pairs = [two for two in combinations(words, 2) if _covered(*two) > MOST_COVERED]
    assert overprinted(words) == [tuple(sorted((one.text, other.text))) for one, other in pairs]


def test_all_pages_are_drawn_as_each_alone() -> None:
    pdf, _ = page('<p>one</p><p style="break-before: page">another</p><p style="break-before: page">a third</p>')
    alone = [drawn(pdf, number, 200, "-gray").convert("L").tobytes() for number in (1, 2, 3)]
    assert [one.tobytes() for one in all_drawn(pdf, 200)] == alone
    assert len(set(alone)) == 3


@pytest.mark.parametrize(
    ("body", "fault"),
    [
        (f'<table style="width: 30mm"><tr><td>{LONG}</td><td>x</td></tr></table>', "wider"),
        (f'<table style="width: 30mm"><tr><td>{LONG}</td><td>x</td></tr></table>', "table cell"),
        (f'<p style="width: 20mm; overflow: hidden">{LONG}</p>', "cut off"),
        ('<p style="height: 3mm; overflow: hidden">one<br>two</p>', "cut off"),
        ('<p style="margin-left: 200mm; white-space: nowrap">over the edge</p>', "leaves the page"),
        ('<p style="position: absolute; top: 265mm">low</p>', "foot of the page"),
        ('<div style="width: 20mm"><img src="drawn.svg" alt="x" style="width: 40mm"></div>', "wider"),
    ],
)
def test_what_is_cut_off_is_found(body: str, fault: str) -> None:
    canvas = SvgCanvas(40, 20)
    canvas.box(1, 1, 5, 5, fill="#000000")
    _, document = page(body, drawn=canvas.finish("a box").svg.encode())
    assert any(fault in found for found in faults(document))


def test_a_sound_page_has_no_faults() -> None:
    cell = '<td style="padding-right: 2mm">4.5 mm</td>'
    row = f'<table style="width: 60mm; line-height: 10pt"><tr>{cell * 3}</tr></table>'
    _, document = page(f'{row}<p style="overflow: hidden; width: 20mm">short</p><ol><li>one</li></ol>')
    assert faults(document) == []


_CLOSED = (
    '<h2 style="margin: 0; height: 10mm">One</h2><table>{rows}</table>{closing}<h2>Two</h2><p>first</p><p>second</p>'
)
_ROW = '<tr><td style="height: 61mm; vertical-align: top">row</td></tr>'


def _alone(closing: str) -> tuple[str, ...]:
    cover = '<div style="break-after: page"><p>cover</p></div>'
    return make_up(page(cover + _CLOSED.format(rows=_ROW * 4, closing=closing))[0]).alone


def test_a_line_that_closes_a_table_and_stands_overleaf_is_alone() -> None:
    assert _alone("<p>closing</p>") == ("page 3: the line “closing” at its head",)


def test_two_lines_overleaf_or_a_line_kept_with_what_it_closes_are_not_alone() -> None:
    assert _alone("<p>closing<br>of two lines</p>") == ()
    assert _alone('<p style="break-before: avoid">closing</p>') == ()
