"""Path maths against closed form, shapely and each other."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from kitforge.geometry.affine import mirroring, rotation, scaling, translation
from kitforge.geometry.corners import inside_corner_radius, inside_corners
from kitforge.geometry.transform import mirrored, rotated, scaled, transformed, translated
from kitforge.model.path import Path, Vertex, circle, is_circle
from kitforge.model.piece import Bounds, Piece

QUARTER = math.tan(math.pi / 8)

coordinates = st.floats(-500, 500).map(lambda value: round(value, 3))
bulges = st.floats(-2.5, 2.5).map(lambda value: round(value, 4))


@st.composite
def chains(draw: st.DrawFn, closed: bool | None = None) -> Path:
    rows = draw(st.lists(st.tuples(coordinates, coordinates, bulges), min_size=3, max_size=8))
    path = Path(tuple(Vertex(*row) for row in rows), draw(st.booleans()) if closed is None else closed)
    assume(all(piece.chord > 0.5 for piece in path.pieces()))
    return path


def quarter_ring() -> Path:
    """A rounded square of side 10 with its corners on a radius of 2."""
    rows = [(2, 0, 0), (8, 0, QUARTER), (10, 2, 0), (10, 8, QUARTER), (8, 10, 0), (2, 10, QUARTER)]
    return Path(tuple(Vertex(*row) for row in [*rows, (0, 8, 0), (0, 2, QUARTER)]))


def test_circle_has_exact_length_area_and_box() -> None:
    path = circle(3.0, 4.0, 5.0)
    assert path.length == pytest.approx(10 * math.pi, rel=1e-15)
    assert path.area == pytest.approx(25 * math.pi, rel=1e-15)
    assert path.bounds == pytest.approx(Bounds(-2, -1, 8, 9), abs=1e-12)
    assert is_circle(path) == pytest.approx((3, 4, 5), abs=1e-12)


def test_rounded_square_has_exact_length_and_area() -> None:
    path = quarter_ring()
    assert path.length == pytest.approx(4 * 6 + 4 * math.pi, rel=1e-14)
    assert path.area == pytest.approx(100 - (4 - math.pi) * 4, rel=1e-14)
    assert path.bounds == pytest.approx((0, 0, 10, 10), abs=1e-12)


@pytest.mark.parametrize("bulge", [1.0, -1.0, QUARTER, 0.1, -3.0, 1e-3, 1e-6, 1e-9])
def test_arc_agrees_with_its_circle(bulge: float) -> None:
    piece = Piece(1.0, 2.0, 4.0, 6.0, bulge)
    theta = 4 * math.atan(abs(bulge))
    assert piece.radius == pytest.approx(5 / (2 * math.sin(theta / 2)), rel=1e-9)
    assert piece.length == pytest.approx(piece.radius * theta, rel=1e-9)
    middle = piece.at(0.5)
    sagitta = abs((middle.x - 2.5) * 0.8 - (middle.y - 4.0) * 0.6)
    assert sagitta == pytest.approx(abs(bulge) * 2.5, rel=1e-6, abs=1e-12)


def test_arc_angles_and_centre_of_a_quarter() -> None:
    piece = Piece(1.0, 0.0, 0.0, 1.0, QUARTER)
    assert piece.centre == pytest.approx((0, 0), abs=1e-15)
    assert (piece.start_angle, piece.end_angle) == pytest.approx((0, 90))


def test_line_has_no_centre() -> None:
    with pytest.raises(ValueError, match="no centre"):
        _ = Piece(0, 0, 1, 1).centre


def test_point_at_walks_lines_and_arcs_and_stops_at_the_ends() -> None:
    path = Path((Vertex(0, 0), Vertex(10, 0, 1.0), Vertex(10, 4)), closed=False)
    assert path.point_at(5) == pytest.approx((5, 0, 1, 0))
    assert path.point_at(10 + math.pi) == pytest.approx((12, 2, 0, 1), abs=1e-12)
    assert path.point_at(1e9)[:2] == pytest.approx((10, 4))
    assert path.point_at(-1)[:2] == pytest.approx((0, 0))


def test_open_path_encloses_nothing() -> None:
    path = Path((Vertex(0, 0), Vertex(1, 0), Vertex(1, 1)), closed=False)
    assert path.area == 0.0
    with pytest.raises(ValueError, match="open path"):
        path.to_polygon()


@pytest.mark.parametrize("tolerance", [0.0, -1.0, math.nan])
def test_flatten_refuses_a_tolerance_that_is_no_size(tolerance: float) -> None:
    with pytest.raises(ValueError, match="tolerance"):
        circle(0, 0, 1).flatten(tolerance)


@pytest.mark.parametrize("radius", [0.01, 0.5, 5, 50, 5000])
@pytest.mark.parametrize("tolerance", [0.1, 0.01, 0.001])
def test_chords_keep_within_the_tolerance(radius: float, tolerance: float) -> None:
    points = circle(0, 0, radius).flatten(tolerance)
    middles = (points[1:] + points[:-1]) / 2
    sagitta = radius - np.hypot(*middles.T)
    assert np.allclose(np.hypot(*points.T), radius, rtol=1e-12)
    assert sagitta.max() <= tolerance * (1 + 1e-9) or len(points) == 5


def test_chord_count_for_a_50_mm_circle_at_a_hundredth() -> None:
    """2 pi / (2 acos(1 - s/r)) chords for the sagitta s: 157.1 here, rounded up per half circle."""
    exact = math.pi / math.acos(1 - 0.01 / 50)
    assert len(circle(0, 0, 50).flatten(0.01)) - 1 == 2 * math.ceil(exact / 2)


@given(chains())
def test_reversing_keeps_length_and_turns_the_area(path: Path) -> None:
    back = path.reversed()
    assert back.length == pytest.approx(path.length, rel=1e-12)
    assert back.area == pytest.approx(-path.area, rel=1e-9, abs=1e-6)
    assert back.reversed().pieces() == path.pieces()


@given(chains(closed=True), st.floats(-720, 720), coordinates, coordinates)
def test_moving_turning_and_mirroring_keep_length_and_area(path: Path, angle: float, x: float, y: float) -> None:
    moved = translated(rotated(path, angle, x, y), y, x)
    flipped = mirrored(path, angle, x, y)
    assert moved.length == pytest.approx(path.length, rel=1e-9)
    assert moved.area == pytest.approx(path.area, rel=1e-7, abs=1e-4)
    assert flipped.area == pytest.approx(-path.area, rel=1e-7, abs=1e-4)


@given(chains())
def test_box_holds_the_chords_and_touches_them(path: Path) -> None:
    points = path.flatten(0.001)
    box = path.bounds
    assert box.left <= points[:, 0].min() + 1e-9
    assert box.top >= points[:, 1].max() - 1e-9
    assert points[:, 0].max() == pytest.approx(box.right, abs=0.0011)
    assert points[:, 1].min() == pytest.approx(box.bottom, abs=0.0011)


@given(chains(closed=True))
def test_area_and_length_agree_with_fine_chords(path: Path) -> None:
    points = path.flatten(1e-4)
    x, y = points[:-1].T
    shoelace = 0.5 * float(np.sum(x * points[1:, 1] - points[1:, 0] * y))
    assert path.area == pytest.approx(shoelace, abs=1e-4 * path.length + 1e-6)
    assert path.length == pytest.approx(float(np.hypot(*np.diff(points, axis=0).T).sum()), rel=1e-3)


@given(chains(), st.floats(0, 1))
def test_stations_lie_on_the_pieces(path: Path, share: float) -> None:
    from kitforge.geometry.biarc import distance_to_piece

    station = path.point_at(share * path.length)
    assert min(distance_to_piece(piece, station.x, station.y) for piece in path.pieces()) < 1e-6
    assert math.hypot(station.dx, station.dy) == pytest.approx(1)


@pytest.mark.parametrize(("a", "b"), [(2, 1), (1, 3), (10, 1), (0.3, 7)])
def test_stretched_circle_is_an_ellipse(a: float, b: float) -> None:
    """Area pi a b; perimeter by the complete elliptic integral 4 a E(e²) (NIST DLMF 19.9.9)."""
    from scipy.special import ellipe

    path = scaled(circle(0, 0, 10), a, b)
    big, small = 10 * max(a, b), 10 * min(a, b)
    assert path.area == pytest.approx(math.pi * big * small, abs=0.0005 * path.length)
    assert path.length == pytest.approx(4 * big * ellipe(1 - (small / big) ** 2), rel=1e-5)
    assert path.bounds == pytest.approx((-10 * a, -10 * b, 10 * a, 10 * b), abs=0.001)
    points = path.flatten(1e-5)
    off = np.abs(np.hypot(points[:, 0] / (10 * a), points[:, 1] / (10 * b)) - 1) * small
    assert off.max() < 0.0015


def test_similarities_keep_arcs_and_others_say_so() -> None:
    assert len(scaled(circle(0, 0, 5), 3).vertices) == 2
    assert is_circle(transformed(circle(1, 2, 5), scaling(-2, 2))) == pytest.approx((-2, 4, 10))
    assert len(scaled(circle(0, 0, 5), 3, 2).vertices) > 2


def test_transformation_to_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="flatten"):
        scaled(circle(0, 0, 1), 1.0, 0.0)
    with pytest.raises(ValueError, match="finite"):
        translated(circle(0, 0, 1), math.inf, 0)


@given(st.floats(-400, 400), coordinates, coordinates)
def test_affine_maps_compose(angle: float, x: float, y: float) -> None:
    both = rotation(angle) @ translation(x, y)
    one = rotation(angle)(*translation(x, y)(3, 4))
    assert both(3, 4) == pytest.approx(one, abs=1e-9)
    mirror = mirroring(angle, x, y)
    assert mirror(*mirror(3, 4)) == pytest.approx((3, 4), abs=1e-6)
    assert (mirror @ both).determinant == pytest.approx(-1)


def test_inside_corners_of_a_rounded_square() -> None:
    path = quarter_ring()
    assert inside_corner_radius(path) == pytest.approx(2)
    assert inside_corner_radius(path, "outside") == math.inf
    assert inside_corner_radius(path.reversed()) == pytest.approx(2)
    assert len(inside_corners(path)) == 4


def test_sharp_corner_has_radius_zero_on_its_inner_side() -> None:
    ell = Path(tuple(Vertex(*p) for p in [(0, 0), (10, 0), (10, 5), (5, 5), (5, 10), (0, 10)]))
    assert [corner.radius for corner in inside_corners(ell, "outside")] == [0.0]
    assert [(c.x, c.y) for c in inside_corners(ell, "outside")] == [(5, 5)]
    assert len(inside_corners(ell)) == 5


def test_chords_of_a_curve_count_as_the_curve() -> None:
    points = circle(0, 0, 8).flatten(0.01)[:-1]
    path = Path(tuple(Vertex(float(x), float(y)) for x, y in points))
    assert inside_corner_radius(path) == pytest.approx(8, rel=0.01)


def test_is_circle_knows_what_is_none() -> None:
    assert is_circle(quarter_ring()) is None
    assert is_circle(Path((Vertex(0, 0, 1.0), Vertex(1, 0, 0.5)))) is None
    assert is_circle(Path((Vertex(0, 0, 1.0), Vertex(1, 0)), closed=False)) is None


@pytest.mark.parametrize("radius", [0, -1, math.nan, math.inf])
def test_circle_refuses_a_radius_that_is_no_size(radius: float) -> None:
    with pytest.raises(ValueError, match="radius"):
        circle(0, 0, radius)


def test_starting_at_another_vertex_keeps_the_shape() -> None:
    path = quarter_ring()
    assert path.starting_at(3).area == pytest.approx(path.area)
    assert path.starting_at(3).start == (10, 8)


@st.composite
def _long_paths(draw: st.DrawFn) -> Path:
    """Paths of 64 to 90 pieces, some of them arcs of up to nearly a full turn."""
    count = draw(st.integers(64, 90))
    spots = st.tuples(st.integers(-400, 400), st.integers(-400, 400))
    bulges = st.sampled_from([0.0, 0.0, 0.3, -0.7, 1.0, 1e-5, 4.0, -0.01])
    vertices = [Vertex(x / 4, y / 4, draw(bulges)) for x, y in draw(st.lists(spots, min_size=count, max_size=count))]
    return Path(tuple(vertices), draw(st.booleans()))


@given(_long_paths())
def test_a_path_of_many_pieces_has_the_measures_of_its_pieces(path: Path) -> None:
    """Arrays and single pieces give the same length, box, area, chords and points."""
    pieces = path.pieces()
    x, y = path.start
    single = [((p.x0 - x) * (p.y1 - y) - (p.x1 - x) * (p.y0 - y)) / 2 + p.segment_area for p in pieces]
    chords = np.concatenate([[path.start], *([*p.inner_points(0.01), (p.x1, p.y1)] for p in pieces)])
    corners = [spot for p in pieces for spot in (p.bounds[:2], p.bounds[2:])]
    assert path.length == pytest.approx(math.fsum(p.length for p in pieces), rel=1e-12)
    assert path.area == pytest.approx(math.fsum(single) if path.closed else 0.0, rel=1e-9, abs=1e-9)
    assert path.bounds == pytest.approx((*np.min(corners, axis=0), *np.max(corners, axis=0)), abs=1e-9)
    assert path.flatten(0.01) == pytest.approx(chords, abs=1e-9)
    assert path.has_arcs == any(p.is_arc for p in pieces)
    place = path.point_at(pieces[0].length + pieces[1].length / 2)
    assert place == pytest.approx(pieces[1].at(0.5), abs=1e-6) or pieces[1].length == 0


@given(st.one_of(chains(), _long_paths()), st.lists(st.floats(-0.2, 1.2), max_size=20))
def test_many_places_on_a_path_are_those_of_each(path: Path, shares: list[float]) -> None:
    """To the last digit, beyond both ends and over pieces of no length too."""
    first, *others = path.vertices
    for way in (path, Path((first, first._replace(bulge=0.0), *others, others[-1]), path.closed)):
        places = [share * way.length for share in (0.0, *shares, 1.0)]
        found = way.points_at(np.array(places))
        assert found.tolist() == [list(way.point_at(place)) for place in places]


def test_a_path_of_one_point_has_no_places() -> None:
    with pytest.raises(ValueError, match="no direction"):
        Path((Vertex(1, 2),), closed=False).points_at(np.array([0.0]))
