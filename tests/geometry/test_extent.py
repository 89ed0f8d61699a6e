"""What a calliper finds on a shape, against measures that the shapes were drawn with and against shapely."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitforge.geometry.extent import Form, box_around, extent_of
from kitforge.geometry.region import not_in_another
from kitforge.geometry.relief import corner_relief
from kitforge.geometry.shapes import polyline, rectangle, regular_polygon, slot
from kitforge.geometry.transform import rotated, translated
from kitforge.model.path import Path, Vertex, circle

ANGLES = st.floats(-180, 180)
SIDES = st.floats(1, 400)


@given(SIDES, SIDES, ANGLES, st.floats(0, 0.45), st.floats(-500, 500))
def test_a_turned_rectangle_measures_its_sides(wide: float, tall: float, angle: float, share: float, at: float) -> None:
    """Whatever its turn, place and round corners: never the box around it."""
    radius = share * min(wide, tall)
    found = extent_of(rectangle((wide, tall), centre=(at, -at), corner_radius=radius, angle=angle))
    assert found.form is Form.RECTANGLE
    assert sorted((found.along, found.across)) == pytest.approx(sorted((wide, tall)), rel=1e-6)
    assert found.centre == pytest.approx((at, -at), abs=1e-6)
    assert -45 <= found.angle <= 45


@given(st.floats(2, 40), st.floats(0.5, 200), ANGLES)
def test_a_slot_measures_over_its_round_ends(width: float, run: float, angle: float) -> None:
    end = run * math.cos(math.radians(angle)), run * math.sin(math.radians(angle))
    found = extent_of(slot((0, 0), end, width))
    assert found.form is Form.SLOT
    assert (found.longer, found.shorter) == pytest.approx((run + width, width), rel=1e-6)


def test_a_circle_has_a_diameter_however_it_is_drawn() -> None:
    quarters = Path(tuple(Vertex(*xy, math.tan(math.pi / 8)) for xy in ((5, 0), (0, 5), (-5, 0), (0, -5))))
    for path in (circle(3, 4, 5), translated(quarters, 3, 4)):
        found = extent_of(path)
        assert (found.form, found.along, found.across) == pytest.approx((Form.ROUND, 10, 10))
        assert found.centre == pytest.approx((3, 4))


def test_a_hexagon_measures_across_its_flats_and_corners() -> None:
    """Across corners is across flats times 2 / sqrt(3), as in any table of spanner sizes."""
    found = extent_of(regular_polygon((10, 0), 6, across_flats=30))
    assert sorted((found.along, found.across)) == pytest.approx([30, 30 * 2 / math.sqrt(3)])


@pytest.mark.parametrize("angle", [0.0, 20.0, 45.0, 70.0])
def test_a_cross_measures_along_its_arms(angle: float) -> None:
    arms = [(1, 3), (-1, 3), (-1, 1), (-3, 1), (-3, -1), (-1, -1), (-1, -3), (1, -3), (1, -1), (3, -1), (3, 1), (1, 1)]
    found = extent_of(rotated(polyline(arms, closed=True), angle))
    assert (found.form, found.along, found.across) == pytest.approx((Form.FREE, 6, 6))


def test_a_right_triangle_measures_along_its_legs() -> None:
    found = extent_of(polyline([(0, 0), (80, 0), (0, 60)], closed=True))
    assert (found.along, found.across, found.angle) == (80, 60, 0)


@pytest.mark.parametrize("angle", [-30.0, 0.0, 12.0, 44.0])
def test_a_shape_without_flats_measures_along_its_main_axes(angle: float) -> None:
    """A lens of two arcs: by its drawing 60 mm long and 20 mm across, pointed at both ends."""
    bulge = 20 / 60
    lens = Path((Vertex(-30, 0, bulge), Vertex(30, 0, bulge)))
    found = extent_of(rotated(lens, angle))
    assert (found.longer, found.shorter) == pytest.approx((60, 20), abs=1e-3)
    assert found.angle == pytest.approx(angle, abs=1e-3)


def test_a_free_curve_that_is_the_same_all_ways_measures_along_x_and_y() -> None:
    bulge = math.tan(math.pi / 16)
    petals = [(10 * math.cos(math.pi * k / 4 + 0.3), 10 * math.sin(math.pi * k / 4 + 0.3)) for k in range(8)]
    path = Path(tuple(Vertex(x, y, bulge * 1.5) for x, y in petals))
    found = extent_of(path)
    assert (found.form, found.angle) == (Form.FREE, 0)
    assert (found.along, found.across) == (path.bounds.width, path.bounds.height)


@given(st.lists(st.tuples(st.floats(-50, 50), st.floats(-50, 50)), min_size=3, max_size=12, unique=True))
def test_every_size_is_the_distance_of_two_parallel_lines_that_touch(points: list[tuple[float, float]]) -> None:
    """Against shapely: the shape turned back by the angle has a box of just these sides."""
    from shapely import MultiPoint
    from shapely.affinity import rotate

    found = extent_of(Path(tuple(Vertex(x, y) for x, y in points)))
    left, low, right, high = rotate(MultiPoint(points), -found.angle, origin=(0, 0)).bounds
    assert (found.along, found.across) == pytest.approx((right - left, high - low), abs=1e-6)


def test_a_relief_makes_a_shape_larger_which_is_why_it_is_kept_apart() -> None:
    """A square of 58 with dog-bones of 3.225 radius is 1.89 wider: each goes r (1 - 1 / sqrt 2) beyond its walls."""
    square = rectangle((58, 58))
    relieved = extent_of(corner_relief(square, 3.225))
    assert relieved.along == pytest.approx(58 + 2 * 3.225 * (1 - 1 / math.sqrt(2)))
    assert extent_of(square).along == 58


def test_a_straight_line_has_a_length_only() -> None:
    found = extent_of(Path((Vertex(0, 0), Vertex(30, 40)), closed=False))
    assert (found.form, found.longer, found.shorter) == pytest.approx((Form.LINE, 50, 0), abs=1e-9)


def test_the_box_around_several_paths_holds_them_all() -> None:
    found = box_around([circle(0, 0, 5), circle(20, 0, 3)])
    assert (found.along, found.across, *found.centre) == pytest.approx((28, 10, 9, 0))
    with pytest.raises(ValueError, match="nothing"):
        box_around([])


def test_an_island_is_no_area_of_its_own_and_what_lies_in_it_is() -> None:
    outer, island, inner, other = circle(0, 0, 30), circle(0, 0, 20), circle(0, 0, 5), circle(80, 0, 5)
    assert not_in_another([outer, island, inner, other]) == [outer, inner, other]
    assert not_in_another([island, outer]) == [outer]
    assert not_in_another([outer]) == [outer]
