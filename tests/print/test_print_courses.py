"""A course: of several blocks that say the same, those that let it end first; typesetter and page decide."""

from __future__ import annotations

import logging
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING

import pytest

from kitforge.print.courses import CoursePiece, composed, shortest, usual_form
from kitforge.print.errors import ThemeError
from kitforge.print.flow import Height
from kitforge.print.ready import load_typesetter

if TYPE_CHECKING:
    from weasyprint import Document
    from weasyprint.text.fonts import FontConfiguration

PAGE = 100
"""Height of a page, mm or px."""


@cache
def typefaces() -> FontConfiguration:
    """Return the typefaces of this machine, looked for once."""
    from weasyprint.text.fonts import FontConfiguration

    return FontConfiguration()


def block(first: int, last: int, *heights: int, more: str = "", loss: int = 0, resort: bool = False) -> str:
    """A piece that says which places it covers, of one or more blocks so many mm tall."""
    said = f"{first} to {last}{'!' * loss}"
    blocks = [
        f'<div class="block" style="height: {tall}mm{more}; break-inside: avoid">{said}</div>' for tall in heights
    ]
    name = f"a {first} {last}{f' {loss}' if loss else ''}{' else' if resort else ''}"
    return f"<!--piece {name}-->{''.join(blocks)}<!--end {name}-->"


def course(*blocks: str, usual: str = "1 1") -> str:
    return f"<!--course a {usual}-->{''.join(blocks)}<!--end a-->"


def laid_out(html: str, head: str = "") -> tuple[int, list[str], int]:
    """Return how many pages come out, the blocks that were taken, and how often something was measured."""
    load_typesetter()
    from weasyprint import HTML

    set_, looked = [], 0

    def render(one: str) -> Document:
        style = f"@page {{ size: {PAGE}mm; margin: 0 }} body, html {{ margin: 0 }}{head}"
        document: Document = HTML(string=f"<html><head><style>{style}</style></head>{one}").render(
            font_config=typefaces()
        )
        return document

    def lay_out(one: str) -> Document:
        set_.append(one)
        return render(one)

    def look(one: str) -> Document:
        nonlocal looked
        looked += 1
        return render(one)

    document = composed(f"<body>{html}</body></html>", lay_out, look)
    (last,) = set_
    return len(document.pages), [part.split("<")[0] for part in last.split('avoid">')[1:]], looked


def test_blocks_share_where_that_saves_room() -> None:
    singles = block(0, 1, 60), block(1, 2, 60)
    assert laid_out(course(*singles, block(0, 2, 90)))[:2] == (1, ["0 to 2"])


@pytest.mark.parametrize(("before", "taken"), [(20, ["0 to 2"]), (60, ["0 to 1", "1 to 2"])])
def test_what_is_taken_hangs_on_what_stands_above(before: int, taken: list[str]) -> None:
    """80 mm together fit below 20 mm; below 60 mm the first one fits, and both by themselves end higher."""
    html = f'<div style="height: {before}mm"></div>' + course(block(0, 1, 40), block(1, 2, 45), block(0, 2, 80))
    assert laid_out(html)[1] == taken


def test_what_is_taller_than_a_page_is_not_taken_unless_it_stands_for_itself() -> None:
    assert laid_out(course(block(0, 1, 90), block(1, 2, 90), block(0, 2, 110)))[1] == ["0 to 1", "1 to 2"]
    assert laid_out(course(block(0, 1, 20), block(1, 2, 210), block(0, 2, 220)))[1] == ["0 to 1", "1 to 2"]


def test_blocks_are_measured_inside_what_they_stand_in() -> None:
    """A rule of the theme makes the shared block too tall, but only inside its section."""
    blocks = course(block(0, 1, 60), block(1, 2, 60), block(0, 2, 75))
    rule = "#inner .block { padding-top: 20mm }"
    html = f'<div class="p"><section id="inner"><p>words<br>and <img alt=""></p>{blocks}</section></div>'
    assert laid_out(html, rule)[1] == ["0 to 1", "1 to 2"]
    assert laid_out(html.replace("inner", "other"), rule)[1] == ["0 to 2"]


def test_space_below_a_block_keeps_the_next_one_off_the_page_but_may_itself_be_lost() -> None:
    margin = "; margin-bottom: 10mm"
    assert laid_out(course(block(0, 1, 30), block(1, 2, 62), block(0, 2, 95, more=margin)))[1] == ["0 to 1", "1 to 2"]
    assert laid_out(course(block(0, 1, 30, more=margin), block(1, 2, 62), block(0, 2, 95, more=margin)))[1] == [
        "0 to 2"
    ]


def test_what_loses_something_is_taken_only_where_that_saves_a_page() -> None:
    first = block(0, 1, 60), block(0, 1, 45, loss=1), block(0, 1, 20, loss=3)
    assert laid_out(course(*first, block(1, 2, 30)))[1] == ["0 to 1", "1 to 2"]
    assert laid_out(course(*first, block(1, 2, 50)))[1] == ["0 to 1!", "1 to 2"]
    assert laid_out(course(*first, block(1, 2, 70)))[1] == ["0 to 1!!!", "1 to 2"]
    assert laid_out(course(*first, block(1, 2, 90)))[1] == ["0 to 1", "1 to 2"]


def test_what_is_too_tall_for_a_page_is_made_smaller_however_much_is_lost() -> None:
    assert laid_out(course(block(0, 1, 130), block(0, 1, 101, loss=1), block(0, 1, 99, loss=9), usual="1"))[1] == [
        "0 to 1" + "!" * 9
    ]


def test_a_last_resort_is_taken_only_where_nothing_else_fits_on_a_page() -> None:
    small = block(0, 1, 40, loss=2, resort=True), block(0, 1, 50, loss=1, resort=True)
    assert laid_out(course(block(0, 1, 80), *small, block(1, 2, 50)))[1] == ["0 to 1", "1 to 2"]
    assert laid_out(course(block(0, 1, 180), *small, block(1, 2, 60)))[1] == ["0 to 1!", "1 to 2"]


def test_space_between_two_blocks_is_the_larger_one_and_none_at_the_head_of_a_page() -> None:
    low, high = "; margin-bottom: 10mm", "; margin-top: 8mm"
    for tall, taken in ((55, "0 to 1"), (56, "0 to 1!")):
        first = block(0, 1, 35, more=low), block(0, 1, 30, more=low, loss=1)
        assert laid_out(course(*first, block(1, 2, tall, more=high)))[1] == [taken, "1 to 2"]
    assert laid_out(course(block(0, 1, 35), block(0, 1, 3, loss=1), block(1, 2, 99, more=high)))[1][0] == "0 to 1"


def test_the_blocks_of_a_piece_may_stand_on_several_pages() -> None:
    """Two drawings of one part, both as large or both smaller."""
    both = block(0, 1, 88, 60), block(0, 1, 50, 40, loss=1)
    assert laid_out(course(*both, block(1, 2, 35)))[1] == ["0 to 1", "0 to 1", "1 to 2"]
    assert laid_out(course(*both, block(1, 2, 60)))[1] == ["0 to 1!", "0 to 1!", "1 to 2"]


def test_two_courses_are_each_chosen_where_they_stand() -> None:
    one = course(block(0, 1, 60), block(1, 2, 60), block(0, 2, 70))
    other = course(block(0, 1, 15), block(1, 2, 10), block(0, 2, 28)).replace(" a ", " b ").replace("end a", "end b")
    assert laid_out(one + other) == (1, ["0 to 2", "0 to 1", "1 to 2"], 2)


def test_what_is_only_measured_is_laid_out_once(caplog: pytest.LogCaptureFixture) -> None:
    """The typesetter lays pages out again for the page numbers in them, which are the same for a part of a document."""
    load_typesetter()
    from weasyprint import HTML

    caplog.set_level(logging.INFO, "weasyprint.progress")
    again: list[int] = []

    def render(one: str) -> Document:
        caplog.clear()
        document: Document = HTML(string=one).render(font_config=typefaces())
        again.append(sum("Repagination" in said for said in caplog.messages))
        return document

    head = "<style>@page { size: 100mm; margin: 0 } a::after { content: target-counter(attr(href), page) }</style>"
    chosen = course(block(0, 1, 60), block(1, 2, 60), block(0, 2, 90))
    words = f'<p><a class="page" href="#end">The end</a></p>{chosen}<p id="end">The end</p>'
    composed(f"<html><head>{head}</head><body>{words}</body></html>", render, render)
    *measured, whole = again
    assert measured == [0, 0]
    assert whole > 0


def test_what_follows_a_course_is_taken_into_account() -> None:
    """Each course was once chosen as if it were the last of its document."""
    first = course(block(0, 1, 60), block(0, 1, 40, loss=1), usual="1")
    below = '<div style="break-inside: avoid; height: {}mm"></div>'
    assert laid_out(first + below.format(60))[:2] == (1, ["0 to 1!"])
    assert laid_out(first + below.format(61))[:2] == (2, ["0 to 1"])


def test_a_heading_goes_overleaf_with_what_it_keeps() -> None:
    above = '<div style="height: 25mm"></div><h2>Heading</h2>'
    first = course(block(0, 1, 60), block(0, 1, 50, loss=9), usual="1")
    below = '<div style="break-inside: avoid; height: {}mm"></div>'
    style = "h2 { font-size: 1mm; height: 20mm; margin: 0; break-after: avoid }"
    assert laid_out(above + first + below.format(20), style)[:2] == (2, ["0 to 1"])
    assert laid_out(above + first + below.format(30), style)[:2] == (2, ["0 to 1" + "!" * 9])


@pytest.mark.parametrize(
    "style", ["", "tr { break-after: avoid }", "thead + tbody tr:first-child { break-after: avoid }"]
)
@pytest.mark.parametrize("above", range(15, 60, 7))
def test_a_table_that_is_parted_has_its_head_again(above: int, style: str) -> None:
    """The smaller block is taken just where it saves a page: counted on what is laid out with each of both."""
    rows = "".join(f"<tr><td>row {number}</td></tr>" for number in range(8))
    table = f"<table><thead><tr><th>head</th></tr></thead><tbody>{rows}</tbody></table>"
    sheet = "table { border-spacing: 0 } tr { break-inside: avoid } th, td { height: 9mm; padding: 0 }"
    sheet += f"{style or 'p'} {{ break-after: avoid }}"
    rest = f'{table}<div style="height: 50mm; break-inside: avoid"></div>'
    before = f'<div style="height: {above}mm"></div>'
    both = block(0, 1, 30), block(0, 1, 12, loss=1)
    large, small = (laid_out(before + course(one, usual="1") + rest, sheet)[0] for one in (both[0], block(0, 1, 12)))
    assert laid_out(before + course(*both, usual="1") + rest, sheet)[0] == min(large, small)


@pytest.mark.parametrize("above", range(28, 36))
def test_the_rule_below_a_table_takes_room_too(above: int) -> None:
    """Half of it lies below the last row; whatever is taken to fit, the page holds."""
    rows = "".join(f"<tr><td>row {number}</td></tr>" for number in range(3))
    sheet = "table { border-collapse: collapse } td { height: 9mm; padding: 0; border-bottom: 4mm solid }"
    before = f'<div style="height: {above}mm"></div><table>{rows}</table>'
    large, small = (laid_out(before + course(block(0, 1, tall), usual="1"), sheet)[0] for tall in (30, 26))
    both = course(block(0, 1, 30), block(0, 1, 26, loss=1), usual="1")
    assert laid_out(before + both, sheet)[0] == min(large, small)


def test_nothing_is_measured_where_there_is_nothing_to_choose() -> None:
    assert laid_out(course(block(0, 1, 60), block(1, 2, 60))) == (2, ["0 to 1", "1 to 2"], 0)
    assert laid_out("<p>plain</p>") == (1, [], 0)


def test_the_usual_form_is_what_the_template_says() -> None:
    html = f"<p>before</p>{course(block(0, 1, 1), block(1, 2, 1), block(0, 2, 1), usual='2')}<p>after</p>"
    said = usual_form(html)
    assert (said.startswith("<p>before</p><div"), "0 to 2" in said, "1 to 2" in said) == (True, True, False)
    assert said.endswith("<p>after</p>")


@pytest.mark.parametrize(
    "html",
    [
        "<!--course a 1-->x<!--end a-->",
        "<!--course a 1--><!--piece a 0 1-->x<!--end a-->",
        "<!--end a-->",
        "<!--piece a 0 1-->x<!--end a 0 1-->",
        "<!--course a 1--><!--piece a 0 1-->x<!--end a 0 1--><!--piece a 1 2-->x<!--end a 1 2--><!--end a-->",
        "<!--course a 1--><!--piece a 0 1-->x<!--end a 0 1--><!--piece a 0 1-->y<!--end a 0 1--><!--end a-->",
        "<!--course a 1--><!--piece a 0 1-->x<!--end a 0 1--><!--piece a 1 0-->x<!--end a 1 0--><!--end a-->",
        "<!--course a 1--><!--piece a 0 1-->x<!--end a 0 1--><!--piece b 0 1-->x<!--end b 0 1--><!--end a-->",
    ],
)
def test_marks_that_do_not_match_are_a_fault_of_the_theme(html: str) -> None:
    with pytest.raises(ThemeError, match=r"course “[ab]” needs the marks"):
        usual_form(html)


def brute(pieces: list[CoursePiece], heights: dict[CoursePiece, list[Height]], at: float) -> tuple[int, int, float]:
    """Return where the best of all chains ends: page, quarters of pages that are empty feet, distance from the head."""
    count = max(piece.last for piece in pieces)

    def ends(place: int, page: int, feet: int, down: float) -> list[tuple[int, int, float]]:
        if place == count:
            return [(page, feet, down)]
        found = []
        for piece in (one for one in pieces if one.first == place):
            (one,) = heights[piece]
            height = one.ink
            if one.pages == 1:
                fits = down + height <= PAGE
                if fits:
                    found += ends(piece.last, page, feet, down + height)
                else:
                    found += ends(piece.last, page + 1, feet + round(4 * (PAGE - down) / PAGE), height)
        return found

    def order(end: tuple[int, int, float]) -> tuple[int, int, float]:
        page, feet, down = end
        return page, feet + 4 * (page > 0 and down < 0.3 * PAGE), down

    return min(ends(0, 0, 0, at), key=order)


def test_the_chain_is_as_short_as_the_best_of_all_that_are_tried() -> None:
    """Heights from a row of remainders: all chains of nine places, compared with those that are built step by step."""
    for seed in range(1, 40):
        pieces = [
            CoursePiece(first, first + size, "") for first in range(9) for size in (1, 2, 3, 4) if first + size < 10
        ]
        heights: dict[CoursePiece, list[Height]] = {}
        for number, piece in enumerate(pieces):
            tall = 10 + (seed * 37 + number * 53) % 47 + 11 * (piece.last - piece.first)
            heights[piece] = [Height(0, tall, 0, 1 if tall <= PAGE else 2)]
        chain = shortest(pieces, heights, 35, PAGE)
        assert [chain[0].first, chain[-1].last] == [0, 9]
        assert all(one.last == other.first for one, other in pairwise(chain))
        page, feet, down = 0, 0, 35.0
        for piece in chain:
            height = heights[piece][0].ink
            fits = down + height <= PAGE
            feet += 0 if fits else round(4 * (PAGE - down) / PAGE)
            page, down = (page, down + height) if fits else (page + 1, height)
        assert (page, feet, down) == brute(pieces, heights, 35)


def test_an_empty_foot_counts_as_a_loss() -> None:
    """Half a page is two quarters: more than one step, less than three."""
    large, last = block(0, 1, 60), block(1, 2, 50)
    before = '<div style="height: 50mm"></div>'
    assert laid_out(before + course(large, block(0, 1, 45, loss=1), last))[1] == ["0 to 1!", "1 to 2"]
    assert laid_out(before + course(large, block(0, 1, 45, loss=3), block(1, 2, 30)))[1] == ["0 to 1", "1 to 2"]


def test_pieces_share_a_page_only_where_the_course_gets_shorter_by_it() -> None:
    """Two by themselves fill the page, and what follows needs the next one anyhow."""
    singles = block(0, 1, 40), block(1, 2, 40), block(2, 3, 90)
    assert laid_out(course(*singles, block(0, 2, 50), usual="1 1 1"))[1] == ["0 to 1", "1 to 2", "2 to 3"]
    assert laid_out(course(*singles[:2], block(0, 2, 50)))[1] == ["0 to 2"]


@pytest.mark.parametrize("above", [0, 50])
def test_a_heading_is_not_left_alone_by_a_block_that_fills_the_page(above: int) -> None:
    """Kept with the next block, it takes the smaller one that fits below it; so it does at the head of a page."""
    before = f'<div style="height: {above}mm"></div><div style="break-after: avoid; line-height: 20mm">heading</div>'
    pages, taken, _ = laid_out(before + course(block(0, 1, 95), block(0, 1, 70, loss=1), usual="1"))
    assert (pages, taken) == (1 + bool(above), ["0 to 1!"])


def test_a_last_page_is_not_left_with_an_imprint_alone() -> None:
    """60 and 30 mm fill the first page, and 20 mm would stand alone; 60 and 45 mm do not: 45 and 20 mm are overleaf."""
    two = block(1, 2, 30, loss=1), block(1, 2, 45)
    assert laid_out(course(block(0, 1, 60), *two, block(2, 3, 20), usual="1 1 1"))[1] == ["0 to 1", "1 to 2", "2 to 3"]
    small = block(1, 2, 45, loss=1), block(1, 2, 30)
    assert laid_out(course(block(0, 1, 60), *small, block(2, 3, 20), usual="1 1 1"))[1] == [
        "0 to 1",
        "1 to 2!",
        "2 to 3",
    ]


def test_the_space_below_what_a_block_ends_with_counts_where_the_next_one_was_measured_overleaf() -> None:
    """60 and 41 mm are 101 mm; of 50 and 48 mm with 4 mm between, inside of the first one, one too many."""
    inner = '<div style="break-inside: avoid"><div style="height: 50mm; margin-bottom: 4mm">a</div></div>'
    tall = f'<!--piece a 0 1-->{inner}<div style="height: 48mm; break-inside: avoid">b</div><!--end a 0 1-->'
    low = '<!--piece a 0 1 1--><div style="height: 95mm; break-inside: avoid">c</div><!--end a 0 1 1-->'
    pages, taken, _ = laid_out(course(tall, low, usual="1"))
    assert (pages, taken) == (1, ["c"])


def test_what_stands_beside_the_block_above_it_takes_no_room_of_its_own() -> None:
    """A row drawn up by 20 mm beside a heading: 60 and 30 mm end at 70 mm, so 30 mm more fit."""
    raised = '<div style="height: 60mm"></div><div style="height: 30mm; margin-top: -20mm; break-inside: avoid"></div>'
    pages, taken, _ = laid_out(raised + course(block(0, 1, 30), block(0, 1, 10, loss=1), usual="1"))
    assert (pages, taken[-1]) == (1, "0 to 1")


@pytest.mark.parametrize("name", ["", "us"])
@pytest.mark.parametrize(
    "second", ["<table style='margin-top: 10mm'><tr><td>t</table>", "<p style='margin-top: 10mm'>t</p>"]
)
def test_no_space_is_kept_above_what_stands_first_on_a_page(name: str, second: str) -> None:
    """Nor on a page that has a name, which the typesetter takes for one that was begun on purpose."""
    load_typesetter()
    from weasyprint import HTML

    papers = "@page { size: 100mm; margin: 0 } @page us { size: 90mm }"
    style = f"* {{ margin-break: discard }} {papers} body {{ margin: 0; page: {name or 'auto'} }}"
    document = HTML(
        string=f"<style>{style}</style><div style='height: 89mm; break-inside: avoid'></div>{second}"
    ).render(font_config=typefaces())
    first = next(box for box in document.pages[1]._page_box.descendants() if box.element_tag in ("table", "p"))
    assert first.border_box_y() == pytest.approx(0, abs=1)
