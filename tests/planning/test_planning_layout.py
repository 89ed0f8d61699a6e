"""Where parts and fasteners lie on the stock."""

from __future__ import annotations

from builders import cutter, freed, kit, outside, part, planned, pocket, rounded, setup, stock
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point, affinity, box
from shapely.geometry.base import BaseGeometry

from kitforge.model.kit import Face, Kit
from kitforge.planning.fasteners import taken_area
from kitforge.planning.layout import lay_out


def boxes(laid: Kit) -> list[tuple[int, BaseGeometry]]:
    return [
        (sheet.number, affinity.translate(item.outline.to_polygon(), place.x, place.y))
        for sheet in lay_out(laid)
        for place in sheet.placements
        for item in [laid.part(place.part)]
    ]


@given(st.lists(st.tuples(st.floats(20, 180), st.floats(20, 120), st.integers(1, 5)), min_size=1, max_size=5))
def test_parts_lie_inside_the_margin_and_a_cutter_apart(sizes: list[tuple[float, float, int]]) -> None:
    parts = [
        freed(outline=rounded(5, 7, width, height), key=f"p{index}", count=count)
        for index, (width, height, count) in enumerate(sizes)
    ]
    laid = kit(*parts)
    places = boxes(laid)
    assert sum(count for _w, _h, count in sizes) == len(places)
    inside = box(10, 10, 590, 390).buffer(0.01)
    for index, (sheet, shape) in enumerate(places):
        assert len(places) == 1 or inside.contains(shape)
        for other_sheet, other in places[index + 1 :]:
            assert sheet != other_sheet or shape.distance(other) > 6.0 + 6.0 - 0.01


def test_one_part_lies_in_the_middle() -> None:
    laid = kit(freed(outline=rounded(-50, -30, 100, 60)))
    ((sheet,),) = [lay_out(laid)]
    assert (sheet.placements[0].x, sheet.placements[0].y) == (300.0, 200.0)


def test_the_authors_places_are_kept() -> None:
    laid = kit(freed(outline=rounded(0, 0, 100, 60), count=2, places=((20.0, 30.0), (200.0, 30.0))))
    ((sheet,),) = [lay_out(laid)]
    assert [(place.x, place.y) for place in sheet.placements] == [(20.0, 30.0), (200.0, 30.0)]


def test_a_part_larger_than_the_stock_is_named() -> None:
    laid = kit(freed(outline=rounded(0, 0, 700, 60), key="long", count=2), freed(outline=rounded(0, 0, 50, 50)))
    assert lay_out(laid)[0].overflow == ("long",)


def test_more_parts_than_a_sheet_holds_take_more_sheets() -> None:
    laid = kit(freed(outline=rounded(0, 0, 250, 180), count=5))
    assert [len(sheet.placements) for sheet in lay_out(laid)] == [4, 1]


@settings(max_examples=15, deadline=None)
@given(st.floats(120, 400), st.floats(100, 300))
def test_proposed_screws_keep_clear_of_every_cut(width: float, height: float) -> None:
    """No screw is nearer to anything the cutter sweeps, or to a part, than its keep-out distance."""
    held = kit(
        freed(pocket(rounded(20, 20, 60, 40)), outline=rounded(0, 0, width, height)),
        setups=(setup(Face.TOP, ("screws",)), setup(Face.BOTTOM, ("screws",))),
    )
    plan = planned(held)
    taken = taken_area(held, plan.sheets[0], plan.steps)
    places = plan.setups[0].fasteners
    assert len(places) >= 4
    for place in places:
        assert taken.distance(Point(place.x, place.y)) >= place.keep_out


def test_each_sheet_gets_screws_of_its_own() -> None:
    """Two sheets laid out differently are held each by screws that are clear of what lies on that sheet."""
    sheet = stock(length=420.0, width=240.0)
    low = freed(outline=rounded(0, 0, 390, 120), key="low", stock=sheet)
    tall = freed(outline=rounded(0, 0, 200, 200), key="tall", stock=sheet)
    held = kit(low, tall, setups=(setup(Face.TOP, ("screws",)),), stock={"sheet": sheet})
    plan = planned(held)
    assert [len(found.sheets) for found in plan.setups] == [1, 1]
    for found in plan.setups:
        taken = taken_area(held, found.sheets[0], plan.steps)
        assert len(found.fasteners) >= 4
        for place in found.fasteners:
            assert taken.distance(Point(place.x, place.y)) >= place.keep_out


def test_a_sheet_without_room_gets_no_screws() -> None:
    sheet = stock(length=220.0, width=170.0)
    tight = freed(outline=rounded(0, 0, 200, 150), stock=sheet)
    held = kit(tight, setups=(setup(Face.TOP, ("screws",)),), stock={"sheet": sheet})
    assert planned(held).setups[0].fasteners == ()


def test_the_authors_screws_are_kept_and_marked() -> None:
    own = setup(Face.TOP, ("screws",), fasteners=((20.0, 20.0),))
    (place,) = planned(kit(freed(), setups=(own,))).setups[0].fasteners
    assert (place.x, place.y, place.proposed) == (20.0, 20.0, False)


def test_a_wider_cutter_needs_more_room_between_parts() -> None:
    from kitforge.planning.layout import spacing_for

    thin, wide = (part(outside(rounded(0, 0, 50, 50), cutter(size))) for size in (3.0, 12.0))
    assert spacing_for([thin]) + 2 * 9.0 == spacing_for([wide, thin])


def test_wood_stands_between_the_cuts_around_two_parts() -> None:
    """Tabs of both hold on to it: 6 mm beside a cut of 6 mm around each."""
    from kitforge.planning.layout import spacing_for

    assert spacing_for([freed()]) == 6.0 + 6.0 + 6.0
