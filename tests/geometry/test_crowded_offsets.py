"""Offsets in steps are the offsets at once: compared with the library's own on outlines that it still manages."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely import (
    LinearRing,
    MultiPolygon,
    Point,
    Polygon,
    STRtree,
    box,
    get_coordinates,
    get_num_coordinates,
    get_parts,
    linestrings,
    points,
    union_all,
)
from shapely.geometry.base import BaseGeometry

from kitforge.geometry import crowded
from kitforge.geometry.crowded import buffered, covering, each_buffered, is_crowded, thinned
from kitforge.geometry.region import offset_rings


def toothed(count: int, depth: float, radius: float = 60) -> Polygon:
    """A round outline whose edge goes in and out by `depth` mm at every point."""
    spots = ((radius + depth * (k % 2), 2 * math.pi * k / count) for k in range(count))
    return Polygon([(r * math.cos(a), r * math.sin(a)) for r, a in spots])


def at_most_apart(shape: BaseGeometry, other: BaseGeometry) -> float:
    """Return how far a corner of either of two shapes lies from the edges of the other at most, mm."""
    far = 0.0
    for corners, line in ((shape, other), (other, shape)):
        rings = [get_coordinates(ring) for ring in get_parts(line.boundary if line.area else line)]
        edges = np.concatenate([np.stack([ring[:-1], ring[1:]], axis=1) for ring in rings])
        near = STRtree(np.asarray(linestrings(edges))).query_nearest(
            points(get_coordinates(corners)), return_distance=True, all_matches=False
        )
        far = max(far, float(near[1].max()))
    return far


@pytest.mark.parametrize("depth", [0.3, 2.0, 8.0])
@pytest.mark.parametrize("distance", [-8.0, -3.175, 3.175, *(pytest.param(d, marks=pytest.mark.soak) for d in (-1, 1))])
def test_steps_end_where_one_offset_does(depth: float, distance: float, monkeypatch: pytest.MonkeyPatch) -> None:
    """Within 0.002 mm everywhere: a dozen steps of arcs within 0.0005 mm do not add up to more where they meet."""
    shape = toothed(200, depth, radius=20)
    at_once = shape.buffer(distance, quad_segs=64)
    monkeypatch.setattr(crowded, "MANY", 100)
    monkeypatch.setattr(crowded, "CROWD", 1.0)
    assert is_crowded(shape, distance)
    in_steps = buffered(shape, distance)
    assert in_steps.is_valid
    assert at_most_apart(in_steps, at_once) < 0.002
    assert in_steps.area == pytest.approx(at_once.area, abs=crowded.CHORD * at_once.length)


def test_a_row_of_round_notches_that_the_cutter_fills_is_offset_as_at_once() -> None:
    """Dog-bones a hair rounder than the cutter, whose chords all end at about one point: outside, and the way swept."""
    radius = 3.175
    notches = [Point(12.0 * number + 6, 0).buffer(radius + 0.05, quad_segs=48) for number in range(24)]
    bar = box(0, 0, 12 * len(notches), 20).difference(union_all(notches))
    ring = LinearRing(bar.buffer(radius, quad_segs=64).exterior)
    assert is_crowded(bar, radius)
    assert is_crowded(ring, radius)
    for shape in (bar, ring):
        at_once = shape.buffer(radius, quad_segs=64)
        in_steps = buffered(shape, radius, 64)
        assert at_most_apart(in_steps, at_once) < 0.002
        assert in_steps.area == pytest.approx(at_once.area, abs=crowded.CHORD * at_once.length)


def test_parts_of_a_crowd_are_offset_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    from shapely import affinity

    pair = MultiPolygon([toothed(200, 2, radius=20), affinity.translate(toothed(200, 2, radius=20), 46)])
    at_once = pair.buffer(3, quad_segs=64)
    monkeypatch.setattr(crowded, "MANY", 100)
    monkeypatch.setattr(crowded, "CROWD", 1.0)
    assert is_crowded(pair.geoms[0], 3)
    together = buffered(pair, 3, 64)
    assert at_most_apart(together, at_once) < 0.002
    assert together.geom_type == "Polygon"


def test_what_is_no_crowd_is_offset_at_once_and_stays_the_same() -> None:
    for shape in (box(0, 0, 300, 200), toothed(1000, 2)):
        assert buffered(shape, -3, 64).equals_exact(shape.buffer(-3, quad_segs=64))


def test_rounds_of_a_toothed_pocket_lie_where_they_should(monkeypatch: pytest.MonkeyPatch) -> None:
    """The sum of their lengths decides the time: within a thousandth of the rounds worked out from the outline."""
    shape = toothed(300, 2)
    plain = offset_rings(shape, 2.0, 6.0)
    monkeypatch.setattr(crowded, "MANY", 100)
    monkeypatch.setattr(crowded, "CROWD", 1.0)
    steps = offset_rings(shape, 2.0, 6.0)
    assert [ring.level for ring in steps] == [ring.level for ring in plain]
    assert sum(ring.line.length for ring in steps) == pytest.approx(sum(ring.line.length for ring in plain), rel=1e-3)


def test_ten_thousand_teeth_stay_small() -> None:
    """The result has a few points for each tooth, not a hundred."""
    assert get_num_coordinates(buffered(toothed(10_000, 2), 3.175)) < 80_000


@pytest.mark.parametrize(("teeth", "distance"), [(2000, 9.4), (2000, 3.2), (5000, 1.0)])
def test_what_covers_an_offset_does_so_and_is_worked_out_from_a_few_corners(teeth: int, distance: float) -> None:
    """It lies nowhere inside of the offset by more than its chords, and less than a tenth of a millimetre beyond it.
    The notches are filled before anything is offset: thousands of corners become dozens, which bounds the time."""
    shape = toothed(teeth, 2)
    assert is_crowded(shape, distance)
    found, exact = covering(shape, distance, 64), buffered(shape, distance, 64)
    assert found.buffer(0.002).covers(exact)
    assert at_most_apart(found, exact) < 0.1
    filled = crowded._notches_filled(shape, distance)
    assert filled.covers(shape.buffer(-1e-6))
    assert get_num_coordinates(filled.simplify(crowded.NOTCH)) < 200


def test_a_notch_in_which_something_stands_is_left_as_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """The tip of an arm reaches into a narrow notch from above: an edge over its mouth would cross the arm."""
    monkeypatch.setattr(crowded, "MANY", 3)
    monkeypatch.setattr(crowded, "CROWD", 0.0)
    arm = [(50, 42), (24.95, 42), (25, 12), (25.05, 40), (45, 40), (45, 20)]
    hooked = Polygon([(0, 0), (50, 0), *arm, (25.3, 20), (25, 5), (24.7, 20), (0, 20)])
    assert hooked.is_valid
    assert crowded._notches_filled(hooked, 4.0).equals(hooked)
    assert covering(hooked, 4.0).buffer(0.01).covers(hooked.buffer(4.0))
    alone = Polygon([(0, 0), (50, 0), (50, 20), (25.3, 20), (25, 5), (24.7, 20), (0, 20)])
    assert crowded._notches_filled(alone, 4.0).equals(box(0, 0, 50, 20))


def test_what_is_no_crowd_is_covered_by_its_offset() -> None:
    shape = box(0, 0, 300, 200)
    assert covering(shape, 5.0, 8).equals_exact(shape.buffer(5.0, quad_segs=8))


@pytest.mark.parametrize("tolerance", [0.0005, 0.02, 0.5])
@pytest.mark.parametrize("depth", [0.0, 0.3, 2.0])
def test_thinned_areas_stay_where_they_were(depth: float, tolerance: float) -> None:
    """Also those whose edges cross when each of them is thinned alone: a wall thinner than the tolerance."""
    wall = Point(0, 0).buffer(30, quad_segs=64).difference(Point(0.1, 0).buffer(29.85, quad_segs=7))
    holed = toothed(600, depth).difference(Point(3, 4).buffer(20, quad_segs=64))
    apart = union_all([holed, box(200, 0, 201, 1)])
    for shape in (holed, toothed(600, depth), wall, apart):
        found = thinned(shape, tolerance)
        assert found.is_valid
        assert get_num_coordinates(found) <= get_num_coordinates(shape)
        assert at_most_apart(found, shape) <= 1.01 * tolerance + 1e-9
        assert abs(found.area - shape.area) <= tolerance * shape.length


def test_many_shapes_are_offset_as_each_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whether or not one of them is crowded; none at all gives none."""
    shapes = [toothed(200, 2.0, radius=20), box(0, 0, 3, 0.01), Point(5, 5).buffer(2)]
    assert each_buffered([], -0.01) == []
    assert each_buffered(shapes, -0.01) == [buffered(one, -0.01) for one in shapes]
    monkeypatch.setattr(crowded, "MANY", 100)
    monkeypatch.setattr(crowded, "CROWD", 1.0)
    assert [is_crowded(one, -3.0) for one in shapes] == [True, False, False]
    assert each_buffered(shapes, -3.0) == [buffered(one, -3.0) for one in shapes]
