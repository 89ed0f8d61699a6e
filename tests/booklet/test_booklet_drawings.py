"""The drawings of the booklet on their pages, the tables of their letters, and the picture of turning a piece over."""

from __future__ import annotations

import re
from dataclasses import replace

import morris
import pytest
from demo_kits import said

from kitforge.model.kit import Face, Kit, Operation, OperationKind, Part, Stock
from kitforge.model.path import Path, Vertex
from kitforge.model.plan import Plan
from kitforge.print.figures import Units
from kitforge.print.render import Imprint, manuscript
from kitforge.print.themes import load_theme
from kitforge_booklet.drawings import drawings
from kitforge_booklet.records import DrawingPage, FeatureRow
from kitforge_booklet.turning import turnings

MM = Units("mm", both=False)


def plain_part(key: str, wide: float, tall: float, *operations: Operation) -> Part:
    outline = Path((Vertex(0, 0), Vertex(wide, 0), Vertex(wide, tall), Vertex(0, tall)))
    return replace(morris.BOARD, key=key, title=key.title(), outline=outline, operations=operations)


def scales(kit: Kit, *parts: Part) -> list[str]:
    return [page.scale for page in drawings(replace(kit, parts=parts), MM).usual]


def whole(words: str) -> str:
    """Words that are not parted at the end of a line."""
    return words.replace(" ", "\u00a0")


def rows(kit: Kit, *operations: Operation) -> tuple[FeatureRow, ...]:
    (page,) = drawings(replace(kit, parts=(plain_part("panel", 200, 100, *operations),)), MM).usual
    return page.rows


def line(name: str, *spots: tuple[float, float], **changes: object) -> Operation:
    path = Path(tuple(Vertex(*spot) for spot in spots), closed=False)
    blank = replace(morris.BOARD.operations[0], name=name, title=name, width=2.0, points=(), shapes=(path,))
    return replace(blank, does=OperationKind.GROOVE, **changes)  # type: ignore[arg-type]


def test_a_drawing_that_has_a_page_to_itself_is_as_large_as_can_be(kit: Kit) -> None:
    assert scales(kit, plain_part("shelf", 280, 260)) == [whole("1 : 2")]


def test_a_simple_part_may_be_drawn_smaller_to_share_a_page_as_long_as_it_can_be_read(kit: Kit) -> None:
    """280 mm are 56 mm on paper at 1 : 5, and 28 mm at 1 : 10, which nothing needs: the larger ones are low."""
    found = drawings(replace(kit, parts=(plain_part("one", 280, 160),)), MM).choices
    assert [(one.drawings[0].scale, one.loss, one.last_resort) for one in found] == [
        (whole("1 : 2"), 0, False),
        (whole("1 : 3"), 1, False),
        (whole("1 : 5"), 4, False),
    ]


def test_a_part_of_many_marks_is_made_smaller_only_to_fit_on_a_page(kit: Kit) -> None:
    """Nine marks are too many to draw small."""
    marks = [line(f"mark {number}", (10, 9.0 * number), (50, 9.0 * number)) for number in range(1, 10)]
    found = drawings(replace(kit, parts=(plain_part("one", 280, 360, *marks),)), MM).choices
    assert [one.last_resort for one in found] == [False, True, True]


def test_simple_parts_may_stand_side_by_side_in_twos(kit: Kit) -> None:
    """At the scale that they have anyway, and one smaller: neighbours, the last one by itself; none in large print."""
    parts = [plain_part(name, 60, 40) for name in ("one", "two", "three")]
    found = drawings(replace(kit, parts=tuple(parts)), MM)
    pairs = [one for one in found.choices if one.last - one.first == 2]
    assert {(one.first, one.last): len(one.drawings) for one in pairs} == {(0, 2): 2, (1, 3): 2, (2, 4): 1}
    assert [one.loss for one in pairs if one.first == 0] == [0, 1, 2]
    assert all(page.half and page.picture.width == pytest.approx(84) for one in pairs for page in one.drawings)
    assert not any(page.half for page in found.usual)
    large = drawings(replace(kit, parts=tuple(parts)), MM, 1.35)
    assert {one.last - one.first for one in large.choices} == {1}


def test_an_outline_is_not_made_too_small_to_stand_beside_another_one(kit: Kit) -> None:
    """40 mm long and 2 : 1 by itself, 1 : 1 is left: at 1 : 2 it would be 20 mm on paper."""
    parts = tuple(plain_part(name, 40, 30) for name in ("one", "two"))
    found = drawings(replace(kit, parts=parts), MM)
    assert [one.loss for one in found.choices if (one.first, one.last) == (0, 2)] == [2]
    assert {page.ratio for one in found.choices if one.drawings[0].half for page in one.drawings} == {1.0}


def test_the_last_drawing_in_half_the_width_may_have_the_imprint_beside_it() -> None:
    made = said("puzzle-tray")
    imprint = Imprint(made.checked.kit.info.title, "a", "s")
    html = manuscript(load_theme(), "booklet.html", made.booklet, "a4", imprint).html
    beside = html.split("<!--piece drawings 3 5 0-->")[1].split("<!--end drawings 3 5 0-->")[0]
    assert [beside.count(words) for words in ("Cross piece</h3>", 'id="about"', 'id="sources"')] == [1, 1, 1]
    assert beside.count("<li>") == len(made.booklet.sources)


def test_both_views_of_a_part_have_one_scale() -> None:
    """The base of the bedside lamp is cut from both faces."""
    choices = [one for one in said("bedside-lamp").booklet.drawing_choices if len(one.drawings) == 2]
    assert len(choices) > 1
    assert all(len({page.scale for page in one.drawings}) == 1 for one in choices)


def test_the_place_of_a_bent_line_is_its_start_and_of_lettering_there_is_none(kit: Kit) -> None:
    word = replace(morris.BOARD.operations[2], name="word", title="word", does=OperationKind.ENGRAVE)
    straight, bent, lettering = rows(
        kit, line("straight", (10, 20), (50, 20)), line("bent", (5, 5), (60, 5), (60, 40)), word
    )
    assert (straight.x, straight.y, straight.size) == ("30 mm", "20 mm", "42 mm long, 2 mm wide")
    assert (bent.x, bent.y, bent.size) == ("5 mm", "5 mm", "55 × 35 mm from middle to middle, 2 mm wide")
    assert (lettering.x, lettering.y, lettering.count) == ("", "", 1)


def test_the_table_names_the_circle_that_holes_stand_on(kit: Kit) -> None:
    spots = ((100, 80), (128.53, 59.27), (117.63, 25.73), (82.37, 25.73), (71.47, 59.27))
    holes = replace(line("holes", (0, 0), (1, 1)), does=OperationKind.DRILL, shapes=(), points=spots)
    (row,) = rows(kit, holes)
    assert (row.count, row.where) == (5, "on a circle of 30 mm radius")


def test_a_part_away_from_the_zero_of_its_drawing_says_so(kit: Kit) -> None:
    outline = Path((Vertex(55, 145), Vertex(95, 145), Vertex(95, 245), Vertex(55, 245)))
    part = replace(morris.BOARD, outline=outline, operations=())
    (page,) = drawings(replace(kit, parts=(part,)), MM).usual
    (fact,) = (fact for fact in page.facts if fact.label == "Measured from")
    assert fact.value == "the lower left corner of the part; the drawing's own zero is at X -55 mm, Y -145 mm"


def test_large_print_draws_larger_words_in_no_more_room(kit: Kit) -> None:
    def smallest(pages: tuple[DrawingPage, ...]) -> float:
        return min(float(size) for page in pages for size in re.findall(r'font-size="([\d.]+)"', page.picture.svg))

    plain, large = drawings(kit, MM).usual, drawings(kit, MM, 1.35).usual
    assert smallest(large) == pytest.approx(1.35 * smallest(plain), abs=0.01)
    assert all(page.picture.width <= 174 for page in large)


def turned(kit: Kit, plan: Plan, stock: Stock) -> str:
    """The picture of turning the board over, on stock of this size."""
    top = next(found for found in plan.setups if found.stock.key == stock.key)
    above = replace(top, stock=stock)
    both = replace(plan, setups=(replace(above, face=Face.BOTTOM), above))
    (found,) = turnings(kit, both, MM)
    return found.picture.svg


@pytest.mark.parametrize(("length", "width"), [(340.0, 320.0), (700.0, 320.0), (340.0, 900.0)])
def test_a_piece_is_turned_in_its_true_proportions(kit: Kit, plan: Plan, length: float, width: float) -> None:
    svg = turned(kit, plan, replace(morris.BOARD_STOCK, length=length, width=width))
    boxes = re.findall(r'd="M[\d. ]+h([\d.]+)v([\d.]+)h-[\d.]+z" fill="#(?:f3e6cf|ead7b6)"', svg)
    assert len(boxes) == 2
    assert all(float(wide) / float(tall) == pytest.approx(length / width, rel=0.01) for wide, tall in boxes)


def test_the_part_lies_mirrored_on_the_side_that_is_turned(kit: Kit, plan: Plan) -> None:
    """A part at the left of the piece lies as far from the right when the underside is up."""
    stock = replace(morris.BOARD_STOCK, length=700.0)
    svg = turned(kit, plan, stock)
    boxes = [
        float(x) for x in re.findall(r'd="M([\d.]+) [\d.]+h[\d.]+v[\d.]+h-[\d.]+z" fill="#(?:f3e6cf|ead7b6)"', svg)
    ]
    outlines = re.findall(r'd="(M[^"]+)" fill="#ffffff" fill-rule="evenodd" stroke="#1a1a1a" stroke-width="0.35"', svg)
    lefts = [min(float(x) for x in re.findall(r"[ML]([\d.]+) ", data)) for data in outlines]
    under, upper = (left - box for left, box in zip(lefts, boxes, strict=True))
    scale = 56 / 700
    assert under + upper + 300 * scale == pytest.approx(700 * scale, abs=1.5)
    assert under > upper + 10
