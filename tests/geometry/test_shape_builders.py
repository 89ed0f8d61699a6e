"""Shapes by their measures: closed-form areas and lengths, and every refusal."""

import math
from collections.abc import Callable

import pytest
from circles import circle_of

from kitforge.drawings.svg_path import path_from_data, paths_from_data
from kitforge.geometry import shapes as draw
from kitforge.geometry.shapes import PolylineVertex
from kitforge.model.path import Path, is_circle

PI = math.pi

CLOSED = [
    ("rectangle", draw.rectangle((10, 6)), 60, 32),
    ("rectangle about its centre", draw.rectangle((10, 6), centre=(5, 5), angle=30), 60, 32),
    ("rounded rectangle", draw.rectangle((10, 6), corner_radius=1), 60 - (4 - PI), 24 + 2 * PI),
    ("rectangle that is a slot", draw.rectangle((10, 6), corner_radius=3), 24 + 9 * PI, 8 + 6 * PI),
    ("square that is a circle", draw.rectangle((6, 6), corner_radius=3), 9 * PI, 6 * PI),
    ("circle", draw.circle((1, 2), 8), 16 * PI, 8 * PI),
    ("slot", draw.slot((0, 0), (6, 8), 4), 40 + 4 * PI, 20 + 4 * PI),
    ("slot of no run", draw.slot((3, 3), (3, 3), 4), 4 * PI, 4 * PI),
    ("hexagon across flats", draw.regular_polygon((0, 0), 6, across_flats=10), 50 * math.sqrt(3), 60 / math.sqrt(3)),
    ("square by its diagonal", draw.regular_polygon((0, 0), 4, diameter=10), 50, 20 * math.sqrt(2)),
    ("half disc", draw.polyline([(0, 0), PolylineVertex(10, 0, through=(5, -5))], closed=True), 12.5 * PI, 10 + 5 * PI),
    (
        "square with one fillet",
        draw.polyline([(0, 0), PolylineVertex(10, 0, radius=2), (10, 10), (0, 10)], closed=True),
        100 - (4 - PI),
        40 - 4 + PI,
    ),
    (
        "square filleted to a circle",
        draw.polyline([PolylineVertex(x, y, radius=5) for x, y in [(0, 0), (10, 0), (10, 10), (0, 10)]], closed=True),
        25 * PI,
        10 * PI,
    ),
    (
        "lens by bulges",
        draw.polyline([PolylineVertex(0, 0, bulge=1), PolylineVertex(4, 0, bulge=1)], closed=True),
        4 * PI,
        4 * PI,
    ),
    ("path data", path_from_data("M0 0h10v5a5 5 0 0 1 -10 0z"), 50 + 12.5 * PI, 20 + 5 * PI),
    ("circle by two A", path_from_data("M5,0A5 5 0 1 1-5 0A5 5 0 1 1 5,0z"), 25 * PI, 10 * PI),
]


@pytest.mark.parametrize(("path", "area", "length"), [row[1:] for row in CLOSED], ids=[row[0] for row in CLOSED])
def test_closed_shape_has_its_area_and_length(path: Path, area: float, length: float) -> None:
    assert path.closed
    assert path.area == pytest.approx(area, rel=1e-12)
    assert path.length == pytest.approx(length, rel=1e-12)


def test_places_and_angles() -> None:
    assert draw.rectangle((4, 2), at=(1, 1)).bounds == pytest.approx((1, 1, 5, 3))
    assert draw.rectangle((4, 2), centre=(0, 0), angle=90).bounds == pytest.approx((-1, -2, 1, 2))
    assert is_circle(draw.circle((1, 2), 8)) == pytest.approx((1, 2, 4))


def test_arc_runs_counter_clockwise() -> None:
    arc = draw.arc((0, 0), 5, 300, 60)
    assert arc.length == pytest.approx(5 * PI * 2 / 3)
    assert arc.bounds.right == pytest.approx(5)
    assert draw.arc((0, 0), 5, 0, 350).length == pytest.approx(5 * math.radians(350))


@pytest.mark.parametrize(
    ("through", "end", "sweep"),
    [((0, 5), (-5, 0), PI), ((0, -5), (-5, 0), -PI), ((3, 4), (0, 5), PI / 2), ((3, -4), (0, 5), -1.5 * PI)],
)
def test_arc_through_a_point(through: tuple[float, float], end: tuple[float, float], sweep: float) -> None:
    piece = draw.arc_through((5, 0), through, end)
    assert piece.sweep == pytest.approx(sweep)
    assert piece.centre == pytest.approx((0, 0), abs=1e-9)


def test_arc_through_a_point_in_line_is_a_line() -> None:
    assert draw.arc_through((0, 0), (1, 0), (3, 0)).bulge == pytest.approx(0, abs=1e-12)


def test_grid_ring_and_list_put_copies_in_place() -> None:
    hole = draw.circle((10, 0), 2)
    assert [circle_of(p)[:2] for p in draw.grid(hole, 2, 2, (5, 7))] == [(10, 0), (15, 0), (10, 7), (15, 7)]
    ring = draw.ring(hole, 4, (0, 0))
    assert [circle_of(p)[:2] for p in ring] == [
        pytest.approx(c, abs=1e-9) for c in [(10, 0), (0, 10), (-10, 0), (0, -10)]
    ]
    part = draw.ring(hole, 3, (0, 0), 90)
    assert circle_of(part[-1])[:2] == pytest.approx((0, 10), abs=1e-9)
    upright = draw.ring(draw.rectangle((4, 2), centre=(10, 0)), 4, (0, 0), turn=False)
    assert upright[1].bounds == pytest.approx((-2, 9, 2, 11))
    assert draw.repeated(draw.circle((0, 0), 2), [(1, 2)])[0].bounds == pytest.approx((0, 1, 2, 3))


def test_mirror_keeps_the_sense_of_running() -> None:
    path = draw.rectangle((4, 2), at=(1, 1))
    assert draw.mirror(path, "x", 0).bounds == pytest.approx((-5, 1, -1, 3))
    assert draw.mirror(path, "y", 1).bounds == pytest.approx((1, -1, 5, 1))
    assert draw.mirror(path, "x").area == pytest.approx(8)


REFUSED = [
    (lambda: draw.rectangle((0, 5)), "above 0"),
    (lambda: draw.rectangle((-1, 5)), "above 0"),
    (lambda: draw.rectangle((math.nan, 5)), "finite"),
    (lambda: draw.rectangle((1e9, 5)), "beyond"),
    (lambda: draw.rectangle((10, 5), corner_radius=2.6), "corner radius"),
    (lambda: draw.rectangle((10, 5), corner_radius=-1), "corner radius"),
    (lambda: draw.rectangle((10, 5), at=(0, 0), centre=(0, 0)), "not both"),
    (lambda: draw.circle((0, math.inf), 5), "finite"),
    (lambda: draw.circle((0, 0), 0), "above 0"),
    (lambda: draw.slot((0, 0), (5, 0), -2), "above 0"),
    (lambda: draw.regular_polygon((0, 0), 2, diameter=4), "3 sides"),
    (lambda: draw.regular_polygon((0, 0), 6), "either"),
    (lambda: draw.regular_polygon((0, 0), 6, diameter=4, across_flats=4), "either"),
    (lambda: draw.arc((0, 0), 5, 90, 450), "circle"),
    (lambda: draw.arc_through((0, 0), (0, 0), (1, 1)), "three different"),
    (lambda: draw.arc_through((0, 0), (5, 0), (2, 0)), "doubles back"),
    (lambda: draw.polyline([(0, 0)]), "two points"),
    (lambda: draw.polyline([(0, 0), (0, 0)]), "twice"),
    (lambda: draw.polyline([(0, 0), (1, 0), (0, 0)], closed=True), "must not repeat"),
    (lambda: draw.polyline([(0, 0), (1, 0)], closed=True), "three points"),
    (lambda: draw.polyline([(0, 0), PolylineVertex(10, 0, radius=11), (10, 10)], closed=True), "too large"),
    (lambda: draw.polyline([(0, 0), PolylineVertex(10, 0, radius=-1), (10, 10)]), "negative"),
    (lambda: draw.polyline([PolylineVertex(0, 0, radius=1), (10, 0)]), "end"),
    (lambda: draw.polyline([(0, 0), PolylineVertex(10, 0, radius=1, bulge=1), (10, 10)]), "straight"),
    (lambda: draw.polyline([PolylineVertex(0, 0, through=(1, 1)), (10, 0)]), "first point"),
    (lambda: draw.polyline([(0, 0), PolylineVertex(10, 0, radius=1), (0, 0)]), "doubles back"),
    (lambda: draw.grid(draw.circle((0, 0), 1), 0, 1, (1, 1)), "at least one"),
    (lambda: draw.ring(draw.circle((0, 0), 1), 0, (0, 0)), "at least one"),
    (lambda: path_from_data("M0 0L1 1M2 2L3 3"), "one path"),
]


@pytest.mark.parametrize(("make", "words"), REFUSED)
def test_measures_that_make_no_shape_are_refused_in_plain_words(make: Callable[[], object], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        make()


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("L 3 3", "begin with M"),
        ("M 1", "number is missing at character 4"),
        ("M1 1 X", "'X' is no path command at character 6"),
        ("M1,,2", "character 4"),
        ("M1 2,", "after the comma"),
        ("M0 0L1 nan", "character 8"),
        ("M0 0A1 1 0 2 0 1 1", "flag"),
        ("M0 0 1e999 2", "too large"),
        ("M0 0 L5 5 6", "number is missing"),
        ("M0 0 L5 5e", "'e'"),
        ("M0 0 L1 2 <", "'<'"),
    ],
)
def test_path_data_faults_name_their_place(text: str, where: str) -> None:
    with pytest.raises(ValueError, match=where):
        paths_from_data(text)


def test_path_data_grammar_corners() -> None:
    """Run-on numbers and flags as the SVG 1.1 grammar allows them (section 8.3.9)."""
    assert [v[:2] for v in path_from_data("M10-5.5.5.5l1e1-2").vertices] == [(10, -5.5), (0.5, 0.5), (10.5, -1.5)]
    assert path_from_data("M0,0a5 5 0 1110 0").closed is False
    assert path_from_data("m1 1 2 0 0 2z").area == pytest.approx(2)
    assert [p.closed for p in paths_from_data("M0 0h1v1z h5 v5")] == [True, False]
    assert path_from_data("M0 0A0 5 0 0 1 10 0").length == pytest.approx(10)
    assert path_from_data("M0 0A1 1 0 0 1 10 0").length == pytest.approx(5 * PI)


def test_smooth_commands_mirror_the_control_point() -> None:
    one = path_from_data("M0 0C0 5 5 5 5 0S10 -5 10 0")
    same = path_from_data("M0 0C0 5 5 5 5 0C5 -5 10 -5 10 0")
    assert one == same
    assert path_from_data("M0 0Q5 5 10 0T20 0") == path_from_data("M0 0Q5 5 10 0Q15 -5 20 0")
    assert path_from_data("M0 0S5 5 10 0") == path_from_data("M0 0C0 0 5 5 10 0")


def test_cubic_encloses_its_exact_area() -> None:
    """Area under a cubic from its control points by Green's theorem: 60 for this one."""
    assert abs(path_from_data("M0,0C0,10,10,10,10,0Z").area) == pytest.approx(60, abs=0.005)


def test_cubic_that_runs_straight_is_one_line() -> None:
    assert len(path_from_data("M0 0c3 4 6 8 9 12").vertices) == 2
