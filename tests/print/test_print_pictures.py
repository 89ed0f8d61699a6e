"""The pictures: true to size, the same every time, and never without words."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from xml.etree import ElementTree

import morris
import pytest
from words import overprinted, picture_words

from kitforge.language import use_language
from kitforge.model.holds import FastenerPlace
from kitforge.model.kit import Cutter, CutterKind, Face, Grain, Kit
from kitforge.model.path import circle
from kitforge.model.plan import Plan
from kitforge.pictures.drawn.cover import cover_picture
from kitforge.pictures.drawn.cutter import cutter_picture, dimensioned_cutter, tip_height
from kitforge.pictures.drawn.drawing import dimensioned_drawing
from kitforge.pictures.drawn.marks import alert_triangle, scale_bar
from kitforge.pictures.drawn.part import legend_picture, step_picture
from kitforge.pictures.drawn.sheet import as_it_lies, sheet_picture
from kitforge.pictures.drawn.views import face_views
from kitforge.print.figures import Units
from kitforge.print.svg import GREY, INK, Picture, PlanView, circle_data, fitted, hatching, num, path_data

MM = Units("mm", both=False)


def all_pictures(kit: Kit, plan: Plan) -> list[Picture]:
    found = [alert_triangle(), scale_bar(MM), legend_picture(), cover_picture(kit.parts, plan.steps, 174, 128)]
    found += [step_picture(step, plan.steps[: step.number - 1], 114, 100) for step in plan.steps]
    found += [dimensioned_cutter(cutter, MM) for cutter in kit.cutters.values()]
    found += [cutter_picture(cutter) for cutter in kit.cutters.values()]
    found += [sheet_picture(kit, s.sheets[0], s.fasteners, MM, 114, 100) for s in plan.setups]
    return found + [dimensioned_drawing(view, MM, 174, 150) for part in kit.parts for view in face_views(part)]


def test_every_picture_is_well_formed_sized_in_mm_and_says_what_it_shows(kit: Kit, plan: Plan) -> None:
    for picture in all_pictures(kit, plan):
        root = ElementTree.fromstring(picture.svg)
        assert root.get("width") == f"{num(picture.width)}mm"
        assert root.get("viewBox") == f"0 0 {num(picture.width)} {num(picture.height)}"
        assert root.get("font-family") == "Source Sans Pro"
        assert len(picture.alt) > 10


def test_the_same_records_give_the_same_pictures(kit: Kit, plan: Plan) -> None:
    first, second = all_pictures(kit, plan), all_pictures(morris.kit(), morris.plan())
    assert [picture.src for picture in first] == [picture.src for picture in second]


def test_no_coordinate_is_infinite_or_a_negative_zero(kit: Kit, plan: Plan) -> None:
    for picture in all_pictures(kit, plan):
        assert not re.search(r"nan|inf\b|-0(?![.\d])", picture.svg)


def test_text_in_a_picture_is_escaped(kit: Kit, plan: Plan) -> None:
    part = replace(morris.LID, title="<script>&")
    step = replace(plan.steps[6], part=part)
    ElementTree.fromstring(step_picture(step, (), 100, 80).svg)


@pytest.mark.parametrize(
    ("cutter", "expected"),
    [
        (morris.BALL, 3.0),
        (morris.BOWL, 6.35),
        (morris.UP6, 0.0),
        (morris.V60, 6.35 / math.tan(math.radians(30))),
        (morris.DRILL3, 1.5 / math.tan(math.radians(59))),
    ],
)
def test_the_tip_has_the_height_of_its_kind(cutter: Cutter, expected: float) -> None:
    """A cone of diameter D and full angle A is D / (2 tan(A/2)) high; a ball's tip is its radius."""
    assert tip_height(cutter) == pytest.approx(expected)


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("width", [174.0, 150.0, 110.0])
@pytest.mark.parametrize("units", [MM, Units("in", both=False)])
def test_the_words_of_the_scale_bar_stay_in_it(language: str, width: float, units: Units) -> None:
    """Beside the bar where there is room for them, else below it."""
    with use_language(language):
        picture = scale_bar(units, width)
    words = list(picture_words(picture.svg))
    assert [word.text for word in words if not word.inside(0, 0, picture.width, picture.height)] == []
    assert overprinted(words) == []


def test_cutters_are_drawn_to_scale() -> None:
    picture = dimensioned_cutter(morris.UP6, MM, scale=1.0)
    assert picture.width == pytest.approx(morris.UP6.overall_length + 34.8)


def test_each_kind_of_cutter_has_its_own_look() -> None:
    kinds = [replace(morris.UP6, kind=kind, angle=60.0) for kind in CutterKind if kind is not CutterKind.SURFACING]
    assert len({cutter_picture(cutter).svg.split("<path")[3] for cutter in kinds}) >= 4


def test_a_view_puts_the_drawing_into_its_box_upside_up() -> None:
    view = fitted((0, 0, 100, 50), (10, 20, 200, 200), largest=1.0)
    assert view.x(0) == pytest.approx(60)
    assert view.y(50) < view.y(0)
    assert view.x(100) - view.x(0) == pytest.approx(100)


def test_a_circle_keeps_its_arcs() -> None:
    data = path_data([circle(10, 10, 5)], PlanView(2.0, 0.0, 100.0))
    assert "A10 10" in data
    assert circle_data(0, 0, 2) == "M-2 0a2 2 0 1 0 4 0a2 2 0 1 0 -4 0z"


def test_hatching_stays_inside_the_shape() -> None:
    from shapely import box

    shape = box(0, 0, 10, 10)
    lines = hatching(shape, 1.0)
    assert lines is not None
    assert shape.buffer(1e-9).contains(lines)
    assert len(getattr(lines, "geoms", ())) == pytest.approx(14, abs=2)


def test_tabs_and_this_cut_are_told_apart_without_colour(plan: Plan) -> None:
    svg = step_picture(plan.steps[4], plan.steps[:4], 114, 100).svg
    assert svg.count("#1a1a1a") >= 5
    assert 'stroke="#d55e00" stroke-width="0.22"' in svg


@pytest.mark.parametrize("grain", [Grain.LENGTH, Grain.WIDTH])
@pytest.mark.parametrize("size", [(30.0, 60.0), (114.0, 100.0)])
def test_the_arrow_of_the_grain_is_below_the_part(plan: Plan, grain: Grain, size: tuple[float, float]) -> None:
    """On a part as wide as its picture the arrow across the grain ran into the outline."""
    step = plan.steps[0]
    turned = replace(step, part=replace(step.part, stock=replace(step.part.stock, grain=grain)))
    root = ElementTree.fromstring(step_picture(turned, (), *size).svg)
    ours = [one.get("d", "") for one in root.iter() if one.get("stroke") == GREY]
    outline = next(one.get("d", "") for one in root.iter() if one.get("stroke") == INK)
    lowest = max(float(y) for y in re.findall(r" (-?[\d.]+)(?=[A-Z]|$)", outline))  # the last figure of each piece
    arrow = re.match(r"M[\d.]+ ([\d.]+)(?:v-([\d.]+))?", ours[-1])
    assert arrow is not None
    assert float(arrow[1]) - float(arrow[2] or 0.8) > lowest


def test_a_bottom_face_is_drawn_turned_over_like_a_page(plan: Plan) -> None:
    """The tray lies left of the middle on top, so it lies right of it when the board is turned over."""
    top = plan.steps[0]
    bottom = replace(top, face=Face.BOTTOM)

    def leftmost(picture: Picture) -> float:
        data = re.findall(r'<path d="M([\d.]+) [^"]*" fill="#f7d9c2"', picture.svg)
        return float(data[0])

    assert leftmost(step_picture(top, (), 114, 100)) < 57 < leftmost(step_picture(bottom, (), 114, 100))


def test_cuts_from_the_other_face_are_not_shown_unless_they_go_through(plan: Plan) -> None:
    bottom = replace(plan.steps[3], face=Face.BOTTOM)
    shallow, through = step_picture(bottom, plan.steps[:3], 114, 100), step_picture(bottom, plan.steps[4:5], 114, 100)
    assert shallow.svg.count("#d6d6d4") == 0
    assert through.svg.count("#d6d6d4") == 1


def test_a_fastener_on_a_turned_sheet_stands_as_far_from_the_other_edge() -> None:
    place = as_it_lies(FastenerPlace(8, 105, 8, "screws", False), morris.LID_STOCK, Face.BOTTOM)
    assert (place.x, place.y) == (292.0, 105)


@pytest.mark.parametrize(("depth", "holes"), [(6.0, 1), (None, 0)])
def test_the_mark_of_the_zero_is_open_where_something_is_cut(plan: Plan, depth: float | None, holes: int) -> None:
    """Filled, it hid a hole at the zero of the drawing."""
    from shapely import MultiPolygon, Point

    away = plan.steps[0]
    there = replace(away, cut=MultiPolygon([Point(0, 0).buffer(depth)])) if depth else away
    assert step_picture(there, (), 114, 100).svg.count('stroke-width="0.7"') == holes
    assert step_picture(away, (there,), 114, 100).svg.count('stroke-width="0.7"') == holes


@pytest.mark.parametrize("code", ["en", "de"])
@pytest.mark.parametrize("width", [174.0, 174.0 / 1.35])
def test_the_words_of_the_key_lie_in_it_and_none_on_another_one(code: str, width: float) -> None:
    """The last ones were once cut off in German."""
    with use_language(code):
        key = legend_picture(width)
    words = list(picture_words(key.svg))
    assert len(words) == 5
    assert all(word.inside(0, 0, key.width, key.height) for word in words)
    assert overprinted(words) == []


def test_the_key_names_the_zero_of_the_drawing_which_may_lie_amid_the_part() -> None:
    assert "zero of the part's drawing" in legend_picture().alt
    assert "corner" not in legend_picture().svg
