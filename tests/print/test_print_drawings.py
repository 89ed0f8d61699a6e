"""The dimensioned drawings: true to scale, a view for each face, every word in its own place."""

from __future__ import annotations

import itertools
import math
import re
from dataclasses import replace

import morris
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitforge.model.kit import Face, Operation, OperationKind, Part
from kitforge.model.path import Path, Vertex, circle
from kitforge.pictures.drawn.drawing import dimensioned_drawing, drawing_scale, next_scale
from kitforge.pictures.drawn.features import features_of, ring_of, section_letter
from kitforge.pictures.drawn.grooves import seen_of_groove
from kitforge.pictures.drawn.placing import Box, Ground, LabelPlace, Leader, box_around
from kitforge.pictures.drawn.stations import MOST, positions, spread, walls
from kitforge.pictures.drawn.views import face_views
from kitforge.print.figures import Units, scale_words

MM = Units("mm", both=False)


def rectangle(left: float, bottom: float, right: float, top: float) -> Path:
    return Path((Vertex(left, bottom), Vertex(right, bottom), Vertex(right, top), Vertex(left, top)))


def with_operations(*operations: Operation, outline: Path | None = None) -> Part:
    return replace(morris.BOARD, outline=outline or rectangle(0, 0, 200, 100), operations=operations)


def making(does: OperationKind, name: str = "one", **changes: object) -> Operation:
    blank = replace(morris.BOARD.operations[0], shapes=(), points=(), name=name, width=None, relief=None, depth=3.0)
    return replace(blank, does=does, through=False, title=name, **changes)  # type: ignore[arg-type]


def drawn(part: Part, **size: float) -> str:
    return dimensioned_drawing(face_views(part)[0], MM, size.get("width", 174), 172, size.get("grow", 1.0)).svg


def words_of(svg: str) -> list[str]:
    return re.findall(r">([^<\n]+)</text>", svg)


# scale


@pytest.mark.parametrize(("width", "expected"), [(174.0, 1 / 2), (400.0, 1.0), (120.0, 1 / 3), (110.0, 1 / 5)])
def test_a_drawing_takes_the_largest_scale_that_fits(width: float, expected: float) -> None:
    view = face_views(morris.BOARD)[0]
    assert drawing_scale(view, MM, width, width) == pytest.approx(expected)


def test_scales_are_those_of_the_standard_but_for_one_step_between_two_and_five() -> None:
    """ISO 5455 recommends 5:1, 2:1, 1:1, 1:2, 1:5, 1:10, 1:20, 1:50, 1:100; 1:3 and 1:30 are ours."""
    scales = [5.0]
    while next_scale(scales[-1]) != scales[-1]:
        scales.append(next_scale(scales[-1]))
    said = ["5 : 1", "2 : 1", "1 : 1", "1 : 2", "1 : 3", "1 : 5", "1 : 10", "1 : 20", "1 : 30", "1 : 50", "1 : 100"]
    assert [words.replace(" ", "\u00a0") for words in said] == [scale_words(scale) for scale in scales]


def test_a_small_part_is_drawn_larger_than_it_is() -> None:
    tiny = with_operations(outline=rectangle(0, 0, 14, 9))
    assert drawing_scale(face_views(tiny)[0], MM, 174, 172) == pytest.approx(5.0)


def test_large_print_enlarges_words_but_not_the_part() -> None:
    """Words of at least 8 pt in plain and 12 pt in large print; a point is 25.4 / 72 mm."""
    plain, large = drawn(morris.BOARD), drawn(morris.BOARD, grow=1.35, width=200)
    for svg, least in ((plain, 8.0), (large, 12.0)):
        assert min(float(size) for size in re.findall(r'font-size="([\d.]+)"', svg)) * 72 / 25.4 >= least
    widths = [_width_of_outline(svg) for svg in (plain, large)]
    assert widths == pytest.approx([150.0, 150.0], abs=0.01)


def _width_of_outline(svg: str) -> float:
    """The overall dimension's line is as long as the part."""
    lines = re.findall(r'd="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)"', svg)
    return max(abs(float(x1) - float(x0)) for x0, y0, x1, y1 in lines if y0 == y1)


# features and views


def test_features_carry_letters_positions_and_sizes() -> None:
    first, second, third = features_of(morris.BOARD)
    assert (first.letter, second.letter, third.letter) == ("A", "B", "C")
    assert (second.count, second.sizes[0].along) == pytest.approx((24, 2 * math.sqrt(1.8 * 4.2)))
    assert (third.x, third.y, third.sizes[0].along, third.sizes[0].across) == (36.0, 140.0, 36.0, 230.0)


def test_letters_begin_with_a_and_the_section_takes_the_next_one() -> None:
    """So a drawing that has no room for its section has the letters that it has with it, and none is left out."""
    hole = making(OperationKind.DRILL, points=((50.0, 50.0),))
    for part in (with_operations(hole), with_operations(replace(hole, through=True))):
        assert [one.letter for one in features_of(part)] == ["A"]
        assert section_letter(part) == "B"
    many = [making(OperationKind.DRILL, f"hole-{i}", points=((i + 1.0, 5.0),)) for i in range(24)]
    assert section_letter(with_operations(*many)) == "AA"


def test_a_straight_line_is_placed_by_its_middle_and_lettering_by_nothing() -> None:
    """A groove of 2 mm along a line of 40 mm measures 42 mm over its round ends."""
    line = making(OperationKind.GROOVE, shapes=(Path((Vertex(10, 20), Vertex(50, 20)), closed=False),), width=2.0)
    word = making(OperationKind.ENGRAVE, "two", shapes=(rectangle(60, 40, 70, 50), rectangle(75, 40, 80, 50)))
    edge = making(OperationKind.CHAMFER, "three", shapes=(rectangle(0, 0, 200, 100),), width=2.0)
    first, second, third = features_of(with_operations(line, word, edge))
    assert (first.x, first.y, first.sizes[0].longer, first.made.line) == (30, 20, 42, 2.0)
    assert (second.x, second.y, second.sizes[0].along) == (None, None, 20)
    assert (third.x, third.edge, third.made.line) == (None, True, 2.0)


def test_more_features_than_letters_get_two_each() -> None:
    many = [making(OperationKind.DRILL, f"hole-{i}", points=((i + 1.0, 5.0),)) for i in range(30)]
    letters = [feature.letter for feature in features_of(with_operations(*many))]
    assert len(set(letters)) == 30
    assert letters[22:26] == ["Y", "Z", "AA", "AB"]


def test_unlike_shapes_of_one_operation_all_have_their_sizes() -> None:
    wells = making(
        OperationKind.POCKET, shapes=(rectangle(0, 0, 10, 10), rectangle(20, 0, 24, 9), rectangle(30, 0, 39, 4))
    )
    (feature,) = features_of(with_operations(wells))
    assert (feature.count, [(one.along, one.across) for one in feature.sizes]) == (3, [(10, 10), (4, 9)])


@given(st.integers(5, 12), st.floats(5, 60), st.floats(0, 360))
def test_features_on_a_circle_are_found(count: int, radius: float, turn: float) -> None:
    angles = [math.radians(turn + 360 * index / count) for index in range(count)]
    points = tuple((80 + radius * math.cos(a), 50 + radius * math.sin(a)) for a in angles)
    assert ring_of(making(OperationKind.DRILL, points=points)) == pytest.approx((80, 50, radius), abs=1e-6)
    assert ring_of(making(OperationKind.DRILL, points=(*points, (80.0, 50.0)))) is None
    assert ring_of(making(OperationKind.DRILL, points=points[:4])) is None


def two_faced() -> Part:
    hole = making(OperationKind.POCKET, "hole", shapes=(circle(150, 50, 8),))
    above = making(OperationKind.POCKET, "above", shapes=(rectangle(20, 20, 60, 40),))
    below = making(OperationKind.DRILL, "below", points=((30.0, 80.0),), face=Face.BOTTOM)
    return with_operations(below, above, replace(hole, through=True))


def test_a_part_that_is_cut_from_both_faces_has_a_view_of_each_with_its_own_features() -> None:
    """What goes through shows in both; letters are unlike over all views."""
    upper, under = face_views(two_faced())
    assert (upper.face, under.face, upper.alone) == (Face.TOP, Face.BOTTOM, False)
    assert [(feature.letter, feature.title) for feature in upper.features] == [("A", "above"), ("B", "hole")]
    assert [(feature.letter, feature.title) for feature in under.features] == [("B", "hole"), ("C", "below")]


def test_the_underside_is_seen_turned_over_from_left_to_right() -> None:
    under = face_views(two_faced())[1]
    assert {feature.title: (feature.x, feature.y) for feature in under.features} == {
        "hole": (pytest.approx(50.0), pytest.approx(50.0)),
        "below": (170.0, 80.0),
    }


def test_a_face_with_nothing_of_its_own_has_no_view() -> None:
    upper, under = two_faced().operations[1], two_faced().operations[0]
    through = replace(under, through=True)
    assert [view.face for view in face_views(with_operations(upper, through))] == [Face.TOP]
    assert [view.face for view in face_views(with_operations(under))] == [Face.BOTTOM]
    assert [view.face for view in face_views(with_operations())] == [Face.TOP]


def test_a_part_away_from_its_zero_is_measured_from_its_corner() -> None:
    pocket = making(OperationKind.POCKET, shapes=(rectangle(60, 150, 80, 160),))
    away = with_operations(pocket, outline=rectangle(55, 145, 295, 235))
    (view,) = face_views(away)
    assert view.zero is not None
    assert list(view.zero) == [-55, -145]
    assert (view.features[0].x, view.features[0].y) == (15, 10)
    assert "from the lower left corner of the part" in dimensioned_drawing(view, MM, 174, 172).alt
    assert face_views(with_operations(pocket))[0].zero is None


# positions


def test_a_drawing_gives_overall_sizes_positions_and_radii() -> None:
    svg = drawn(morris.BOARD)
    for words in ("300 mm", "280 mm", "R14 mm", ">110<", ">215<", "X0 Y0"):
        assert words in svg


def test_pockets_lines_and_holes_all_have_positions() -> None:
    pocket = making(OperationKind.POCKET, shapes=(rectangle(20, 20, 60, 40), rectangle(120, 20, 160, 40)))
    line = making(OperationKind.GROOVE, "line", shapes=(Path((Vertex(15, 90), Vertex(185, 90)), closed=False),))
    hole = making(OperationKind.DRILL, "hole", points=((100.0, 70.0),))
    assert positions(with_operations(pocket, line, hole)) == ([15, 40, 100, 140, 185], [30, 70, 90])


def test_an_edge_never_holds_more_positions_than_can_be_told_apart() -> None:
    few = making(OperationKind.DRILL, "few", points=((20.0, 20.0), (40.0, 20.0)))
    many = making(OperationKind.DRILL, "many", points=tuple((5.0 * i + 3, 50.0) for i in range(30)))
    xs, ys = positions(with_operations(many, few))
    assert (xs, ys) == ([20, 40], [20])
    assert len(xs) <= MOST


def test_walls_are_placed_and_reliefs_are_not() -> None:
    """A notch of 30 with two reliefs of 3 mm in its corners, and a hollow of 30 mm that ends on the lower edge."""
    notch = Path(
        (
            Vertex(0, 0),
            Vertex(60, 0, -1.0),
            Vertex(120, 0),
            Vertex(200, 0),
            Vertex(200, 100),
            Vertex(100, 100),
            Vertex(100, 63, 0.5),
            Vertex(97, 60),
            Vertex(0, 60),
        )
    )
    xs = {x for x, _ in walls(notch) if x is not None}
    ys = {y for _, y in walls(notch) if y is not None}
    assert xs == {0, 60, 100, 120, 200}
    assert ys == {0, 60, 100}


@given(st.lists(st.floats(0, 100), min_size=1, max_size=14), st.floats(1, 6))
def test_words_are_spread_with_their_gap_and_in_their_order(values: list[float], gap: float) -> None:
    places = spread(sorted(values), gap)
    assert all(b - a >= gap - 1e-6 for a, b in itertools.pairwise(places))
    assert math.fsum(places) == pytest.approx(math.fsum(values), abs=1e-6)


def test_words_that_have_room_stay_where_they_are() -> None:
    assert spread([0, 10, 20], 4) == [0, 10, 20]
    assert spread([10, 10], 4) == [8, 12]


# places


@given(
    st.tuples(st.floats(-20, 20), st.floats(-20, 20), st.floats(-20, 20), st.floats(-20, 20)),
    st.floats(1, 10),
    st.floats(1, 10),
)
def test_the_ink_in_a_box_is_the_length_of_the_line_in_it(
    line: tuple[float, float, float, float], width: float, height: float
) -> None:
    """Against shapely's intersection."""
    from shapely import LineString, box

    ground, area = Ground(40, 40), box_around(0, 0, width, height)
    for aside in (0, 60, -70):  # lines far off have none in it
        ground.add_line(line[0] + aside, line[1], line[2] + aside, line[3])
    run = LineString([line[:2], line[2:]])
    assert ground.ink(area) == pytest.approx(run.intersection(box(*area)).length, abs=1e-6)
    assert ground.has_ink(area) == (ground.ink(area) > 0)


def test_a_line_through_a_box_is_ink_in_it_wherever_it_ends() -> None:
    """With both ends outside, with one inside, and added after a box was looked at."""
    ground, area = Ground(40, 40), Box(10, 10, 20, 20)
    ground.add_line(5, 21, 25, 21)
    assert not ground.has_ink(area)
    ground.add_line(5, 12, 25, 15)
    assert ground.has_ink(area)
    assert not ground.has_ink(Box(10, 17, 20, 20))
    ground.add_line(15, 18, 30, 30)
    assert ground.has_ink(Box(10, 17, 20, 20))


def test_a_leader_does_not_cross_the_line_that_it_stands_on() -> None:
    ground = Ground(40, 40)
    ground.add_run(np.array([(0.0, 10.0), (40.0, 10.0)]))
    assert ground.crossings(Leader(20, 10, 20, 4)) == 0
    assert ground.crossings(Leader(20, 14, 20, 4)) == 1


def test_words_take_the_place_with_the_least_ink_and_keep_it() -> None:
    ground = Ground(40, 40)
    ground.add_line(0, 10, 40, 10)
    places = [LabelPlace(20, 10), LabelPlace(20, 20, None, 0.5), LabelPlace(20, 30, None, 0.6)]
    assert ground.choose(places, 4, 4) == places[1]
    assert ground.choose(places, 4, 4) == places[2]
    assert ground.taken == [Box(18, 18, 22, 22), Box(18, 28, 22, 32)]


@pytest.mark.parametrize("part", [morris.BOARD, morris.LID, two_faced()], ids=["board", "lid", "two"])
def test_no_two_words_of_a_drawing_overlap(part: Part) -> None:
    """Boxes of all words as the typeface sets them (half an em a sign, 0.7 em high), turned words turned."""
    for view in face_views(part):
        for grow in (1.0, 1.35):
            boxes = _boxes(dimensioned_drawing(view, MM, 174, 172, grow).svg)
            clashes = [(a, b) for (a, one), (b, two) in itertools.combinations(boxes, 2) if one.overlaps(two)]
            assert clashes == []


def _boxes(svg: str) -> list[tuple[str, Box]]:
    found = {}
    for attributes, words in re.findall(r"<text ([^>]*)>([^<]*)</text>", svg):
        x, y, size = (float(re.search(rf'{key}="([-\d.]+)"', attributes)[1]) for key in ("x", "y", "font-size"))  # type: ignore[index]
        wide = 0.46 * size * len(words)
        left = {"middle": -wide / 2, "end": -wide}.get((re.findall(r'anchor="(\w+)"', attributes) or [""])[0], 0.0)
        if "rotate" in attributes:
            found[words, x, y] = Box(x - 0.6 * size, y - left - wide, x, y - left)
        else:
            found[words, x, y] = Box(x + left, y - 0.6 * size, x + left + wide, y)
    return [(words, box) for (words, _, _), box in found.items()]


def test_each_letter_stands_once() -> None:
    letters = [words for words in set(words_of(drawn(morris.BOARD))) if len(words) == 1]
    assert sorted(letters) == [feature.letter for feature in features_of(morris.BOARD)]


def test_the_letter_of_a_large_area_stands_in_it_and_that_of_a_line_beside_it_with_a_leader() -> None:
    pocket = making(OperationKind.POCKET, shapes=(rectangle(120, 20, 180, 80),))
    line = making(
        OperationKind.GROOVE, "line", shapes=(Path((Vertex(20, 50), Vertex(80, 50)), closed=False),), width=1.0
    )
    svg = drawn(with_operations(pocket, line))
    (left, top), (right, bottom) = _ends(svg, "Z")
    x, y = _letter(svg, "A")
    assert left < x < right
    assert top < y < bottom
    (start, level), (end, _) = _ends(svg, "")
    x, y = _letter(svg, "B")
    assert start < x < end
    assert 2 < abs(y - level) < 10


def _ends(svg: str, closing: str) -> tuple[tuple[float, float], tuple[float, float]]:
    """The box of the one path of this kind that is drawn as an edge."""
    data = re.findall(rf'd="([^"Z]*){closing}" fill="none" fill-rule="evenodd" stroke="[^"]*" stroke-width="0.35"', svg)
    assert len(data) == 1
    spots = [(float(x), float(y)) for x, y in re.findall(r"([-\d.]+)[ ,]([-\d.]+)", data[0])]
    xs, ys = zip(*spots, strict=True)
    return (min(xs), min(ys)), (max(xs), max(ys))


def _letter(svg: str, letter: str) -> tuple[float, float]:
    x, y = re.findall(rf'<text x="([\d.]+)" y="([\d.]+)"[^>]*>{letter}</text>', svg)[-1]
    return float(x), float(y)


# lines


def test_wide_lines_are_twice_as_wide_as_narrow_ones() -> None:
    """ISO 128-2: wide to narrow is two to one."""
    svg = drawn(morris.BOARD)
    assert 'stroke-width="0.5"' in svg
    assert 'stroke-width="0.25"' in svg


def test_a_short_narrow_mark_is_one_line() -> None:
    """Both edges of a minute's mark, 1.3 mm wide and 6 mm long, close to a shape that reads as the numeral 0."""
    mark = making(OperationKind.GROOVE, shapes=(Path((Vertex(10, 50), Vertex(16, 50)), closed=False),), width=1.3)
    line = making(OperationKind.GROOVE, shapes=(Path((Vertex(10, 50), Vertex(60, 50)), closed=False),), width=1.3)
    assert seen_of_groove(mark, with_operations(mark), 1.0).length == pytest.approx(6)
    assert seen_of_groove(line, with_operations(line), 1.0).length > 2 * 50


def test_a_groove_shows_both_edges_within_the_part_and_not_across_what_lies_deeper() -> None:
    groove = making(OperationKind.GROOVE, shapes=(Path((Vertex(-10, 50), Vertex(100, 50)), closed=False),), width=6.0)
    deep = making(OperationKind.POCKET, "deep", shapes=(rectangle(60, 30, 120, 70),), depth=9.0)
    seen = seen_of_groove(groove, with_operations(groove, deep), 1.0)
    assert seen.length == pytest.approx(2 * 60)
    assert seen.bounds == pytest.approx((0, 47, 60, 53))
    assert seen_of_groove(groove, with_operations(groove, deep), 0.1).bounds == pytest.approx((0, 50, 60, 50))
