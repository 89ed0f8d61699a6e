"""Areas, reach, clearing rounds, narrow channels and corner relief: closed form and an independent offset library."""

import math
from typing import Any, Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitforge.geometry import shapes as draw
from kitforge.geometry.region import (
    area_of,
    largest_disc,
    offset,
    offset_rings,
    opened,
    polygons,
    smallest_gap,
    swept,
    unreachable,
    unreachable_area,
)
from kitforge.geometry.relief import corner_relief
from kitforge.geometry.shapes import PolylineVertex
from kitforge.geometry.transform import rotated
from kitforge.model.path import Path

PI = math.pi

Style = Literal["dog-bone", "t-bone"]


def test_shapes_in_shapes_are_holes_and_islands_in_turn() -> None:
    parts = polygons(
        [draw.rectangle((50, 50)), draw.circle((25, 25), 20), draw.circle((25, 25), 10), draw.circle((5, 5), 4)]
    )
    assert sorted(part.area for part in parts) == pytest.approx([25 * PI, 2500 - 104 * PI], rel=1e-3)
    assert sorted(len(part.interiors) for part in parts) == [0, 2]


@pytest.mark.parametrize(
    ("paths", "words"),
    [
        ([draw.rectangle((50, 50)), draw.circle((50, 25), 20)], "cross near"),
        ([draw.rectangle((50, 50)), draw.rectangle((50, 50))], "lie on one another"),
        ([draw.polyline([(0, 0), (9, 9), (9, 0), (0, 9)], closed=True)], "not a simple loop"),
    ],
)
def test_shapes_without_a_clear_inside_are_refused(paths: list[Path], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        polygons(paths)


@pytest.mark.parametrize("radius", [0.5, 3.175, 6.0])
def test_square_pocket_keeps_four_corners(radius: float) -> None:
    """(4 - pi) r² in a rectangle: four corners of r² - pi r²/4 (plane geometry)."""
    (pocket,) = polygons([rotated(draw.rectangle((50, 40)), 17)])
    assert unreachable_area(pocket, radius) == pytest.approx((4 - PI) * radius**2, rel=5e-4)
    corners = unreachable(pocket, radius)
    assert len(corners) == 4


@pytest.mark.parametrize("angle", [30, 60, 90, 120, 150])
def test_corner_of_any_angle_keeps_its_tip(angle: float) -> None:
    """r² (1/tan(a/2) - (pi - a)/2) per corner: two right triangles less a sector (plane geometry)."""
    a, r = math.radians(angle), 2.0
    tip = (60 * math.cos(a), 60 * math.sin(a))
    rhombus = draw.polyline([(0, 0), (60, 0), (60 + tip[0], tip[1]), tip], closed=True)
    expected = sum(2 * r * r * (1 / math.tan(w / 2) - (PI - w) / 2) for w in (a, PI - a))
    assert unreachable_area(polygons([rhombus])[0], r) == pytest.approx(expected, rel=1e-3)


def test_opening_agrees_with_an_independent_offset_library() -> None:
    """pyclipper at 1 µm arcs on the same outline."""
    import pyclipper

    outline = draw.polyline(
        [(0, 0), (60, 0), (60, 17), (80, 17), (80, 26), (60, 26), (60, 45), (25, 50), (0, 40)], closed=True
    )
    (area,) = polygons([outline])
    scale, radius = 1e5, 3.175
    ring = [(round(x * scale), round(y * scale)) for x, y in area.exterior.coords[:-1]]

    def moved(rings: list[Any], distance: float) -> list[Any]:
        tool = pyclipper.PyclipperOffset(arc_tolerance=0.001 * scale)
        tool.AddPaths(rings, pyclipper.JT_ROUND, pyclipper.ET_CLOSEDPOLYGON)
        return list(tool.Execute(distance * scale))

    back = moved(moved([ring], -radius), radius)
    reference = sum(pyclipper.Area(r) for r in back) / scale**2
    assert opened(area, radius).area == pytest.approx(reference, rel=2e-5)


@pytest.mark.parametrize("width", [6.35, 6.345])
def test_cutter_fits_a_slot_of_its_own_width(width: float) -> None:
    (area,) = polygons([draw.slot((0, 0), (30, 0), width)])
    assert unreachable_area(area, 3.175) == pytest.approx(0, abs=1e-3)


def test_cutter_does_not_fit_a_narrower_slot() -> None:
    (area,) = polygons([draw.slot((0, 0), (30, 0), 6.3)])
    assert unreachable_area(area, 3.175) == pytest.approx(area.area, rel=1e-6)


def test_cutter_that_fits_nowhere_leaves_everything() -> None:
    (area,) = polygons([draw.rectangle((5, 5))])
    assert unreachable_area(area, 10) == pytest.approx(25)


def test_rounds_clear_a_pocket_but_for_its_corners() -> None:
    (pocket,) = polygons([draw.rectangle((50, 40))])
    r = 3.175
    for step in (1.5, 2.5, 3.175, 5.5):
        rings = offset_rings(pocket, r, step, r)
        left = pocket.difference(swept([ring.line for ring in rings], r)).area
        assert left == pytest.approx((4 - PI) * r * r, rel=1e-3)


def test_rounds_have_the_length_of_nested_rectangles() -> None:
    """Ring k of an inset rectangle is 2 (w + h) - 8 d long at the inset d."""
    (pocket,) = polygons([draw.rectangle((50, 40))])
    rings = offset_rings(pocket, 3.0, 2.0)
    assert [ring.offset for ring in rings] == pytest.approx([3 + 2 * k for k in range(9)])
    assert [ring.line.length for ring in rings] == pytest.approx([180 - 8 * ring.offset for ring in rings])


def test_rounds_go_around_an_island() -> None:
    parts = polygons([draw.rectangle((60, 60)), draw.circle((30, 30), 20)])
    rings = offset_rings(parts[0], 3, 3)
    assert [ring.level for ring in rings].count(0) == 2
    assert max(ring.line.length for ring in rings) == pytest.approx(4 * 54)


@pytest.mark.parametrize(("first", "step"), [(-1, 1), (1, 0), (1, -1), (math.nan, 1)])
def test_rounds_refuse_measures_that_are_none(first: float, step: float) -> None:
    with pytest.raises(ValueError, match="step"):
        offset_rings(polygons([draw.rectangle((5, 5))])[0], first, step)


def test_step_of_next_to_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="rounds"):
        offset_rings(polygons([draw.rectangle((500, 500))])[0], 1, 1e-3)


def test_swept_area_of_a_line_is_a_slot() -> None:
    line = draw.polyline([(0, 0), (30, 0)])
    assert swept(line, 3).area == pytest.approx(180 + 9 * PI, rel=1e-4)
    with pytest.raises(ValueError, match="radius"):
        swept(line, 0)


def test_the_largest_disc_of_a_triangle() -> None:
    """Inradius of an equilateral triangle: a third of its height."""
    (area,) = polygons([draw.regular_polygon((0, 0), 3, diameter=20)])
    assert largest_disc(area).radius == pytest.approx(5, rel=1e-6)


def test_gaps_between_shapes() -> None:
    areas = polygons([draw.rectangle((10, 10)), draw.circle((20, 5), 10), draw.circle((40, 5), 4)])
    gap = smallest_gap(areas)
    assert gap is not None
    assert gap.distance == pytest.approx(5)
    assert gap.at == pytest.approx((12.5, 5))
    assert smallest_gap(areas[:1]) is None


@pytest.mark.parametrize("style", ["dog-bone", "t-bone"])
@pytest.mark.parametrize("angle", [0, 31])
def test_relieved_pocket_takes_a_square_counterpart_and_the_cutter_reaches_all_of_it(
    style: Style, angle: float
) -> None:
    square, r = rotated(draw.rectangle((50, 40)), angle), 3.175
    (relieved,) = polygons([corner_relief(square, r, style)])
    assert unreachable_area(relieved, r) == pytest.approx(0, abs=1e-2)
    assert polygons([square])[0].difference(offset(opened(relieved, r - 0.002), 1e-6)).area < 1e-3


def test_dog_bone_of_a_square_corner_has_its_area() -> None:
    """A half disc less the triangle under its chord: r² (pi/2 - 1) beyond each right-angled corner."""
    relieved = corner_relief(draw.rectangle((50, 40)), 3.0)
    assert relieved.area - 2000 == pytest.approx(4 * 9 * (PI / 2 - 1), rel=1e-9)
    assert relieved.bounds.left == pytest.approx(-3 * (1 - math.sqrt(0.5)))


def test_t_bone_lies_in_the_wall_that_is_asked_for() -> None:
    """A half disc beyond one wall: pi r²/2 for each corner."""
    longer = corner_relief(draw.rectangle((50, 40)), 3.0, "t-bone")
    assert longer.area - 2000 == pytest.approx(4 * 4.5 * PI, rel=1e-9)
    assert longer.bounds == pytest.approx((0, -3, 50, 43))
    assert corner_relief(draw.rectangle((50, 40)), 3.0, "t-bone", along="shorter").bounds == pytest.approx(
        (-3, 0, 53, 40)
    )


@pytest.mark.parametrize("style", ["dog-bone", "t-bone"])
@pytest.mark.parametrize("turn", [45, 60, 80, 100, 120, 150])
def test_relief_of_any_corner_is_reached_and_frees_the_corner(style: Style, turn: float) -> None:
    a, r = math.radians(turn), 2.0
    points = [(0, 0), (60, 0), (60 + 60 * math.cos(a), 60 * math.sin(a)), (60 * math.cos(a), 60 * math.sin(a))]
    shape = draw.polyline(points, closed=True)
    relieved = corner_relief(shape, r, style)
    (area,) = polygons([relieved])
    assert unreachable_area(area, r) == pytest.approx(0, abs=1e-2)
    assert polygons([shape])[0].difference(offset(area, 1e-6)).area == pytest.approx(0, abs=1e-4)


def test_outside_corners_are_relieved_only_where_the_outline_is_hollow() -> None:
    ell = draw.polyline([(0, 0), (60, 0), (60, 40), (30, 40), (30, 20), (0, 20)], closed=True)
    relieved = corner_relief(ell, 3.0, side="outside")
    assert len(relieved.vertices) == len(ell.vertices) + 1
    assert relieved.area == pytest.approx(ell.area - 9 * (PI / 2 - 1))
    assert corner_relief(ell.reversed(), 3.0, side="outside").area == pytest.approx(-relieved.area)


def test_round_corners_are_relieved_only_if_tighter_than_the_cutter() -> None:
    assert corner_relief(draw.rectangle((50, 40), corner_radius=1), 3.0).area == pytest.approx(
        corner_relief(draw.rectangle((50, 40)), 3.0).area
    )
    wide = draw.rectangle((50, 40), corner_radius=4)
    assert corner_relief(wide, 3.0) == wide


@pytest.mark.parametrize(
    ("path", "words"),
    [
        (draw.rectangle((50, 8)), "too short"),
        (draw.rectangle((50, 3)), "too short"),
        (draw.polyline([(0, 0), (5, 5)]), "closed"),
        (draw.polyline([(0, 0), (100, 0), (0, 8)], closed=True), "too pointed|too short"),
    ],
)
def test_relief_without_room_is_refused(path: Path, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        corner_relief(path, 3.175)


def test_relief_refuses_what_is_no_style_or_radius() -> None:
    with pytest.raises(ValueError, match="radius"):
        corner_relief(draw.rectangle((50, 40)), 0)
    with pytest.raises(ValueError, match="corner relief"):
        corner_relief(draw.rectangle((50, 40)), 3, "square")  # type: ignore[arg-type]


@given(st.floats(20, 200), st.floats(20, 200), st.floats(0.5, 4), st.floats(0, 360))
def test_more_radius_never_reaches_more(width: float, height: float, radius: float, angle: float) -> None:
    path = draw.polyline(
        [(0, 0), (width, 0), PolylineVertex(width, height, radius=3), (width / 3, height)], closed=True
    )
    area = area_of([rotated(path, angle)])
    assert unreachable_area(area, radius) <= unreachable_area(area, radius + 0.5) + 1e-3
