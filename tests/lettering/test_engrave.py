"""V-cut engraving against inscribed circles known in closed form, and against the true distance to the outline."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point, Polygon, box, contains_xy, distance, points

from kitforge.geometry.region import area_of
from kitforge.geometry.shapes import circle, polyline, rectangle
from kitforge.lettering.axis import axis_of
from kitforge.lettering.engrave import Engraving, between, engrave
from kitforge.lettering.text import Lettering, text_on_line
from kitforge.lettering.typeface import LetteringError, shipped_typeface
from kitforge.model.findings import Source
from kitforge.model.kit import Cutter, CutterKind
from kitforge.model.path import Path
from kitforge.surface.cuts import CutterRun
from kitforge.surface.grid import Grid
from kitforge.surface.sloped import cone_depth

V60 = Cutter("v60", "V-bit", CutterKind.V_BIT, 30.0, 30.0, 6.0, 60.0, 2, Source("kit.yaml"), angle=60.0)
STEEP = 1 / math.tan(math.radians(30))


def cut_map(found: Engraving, tool: Cutter, size: tuple[float, float], cell: float) -> tuple[Grid, np.ndarray]:
    grid = Grid(-2.0, -2.0, cell, math.ceil((size[1] + 4) / cell), math.ceil((size[0] + 4) / cell))
    return grid, cone_depth(grid, CutterRun(tool, found.chains, found.deepest, sloped=True))


@settings(max_examples=12, deadline=None)
@given(st.floats(4, 30), st.floats(2, 30))
def test_rectangle_is_as_deep_as_half_its_width(width: float, height: float) -> None:
    """Inscribed circle of a rectangle: half its shorter side."""
    found = engrave([rectangle((width, height))], V60)
    assert min(width, height) / 2 * STEEP == pytest.approx(found.deepest, rel=5e-3)
    assert min(width, height) == pytest.approx(found.narrowest or min(width, height), rel=0.02)


@settings(max_examples=12, deadline=None)
@given(st.floats(3, 30), st.floats(3, 30))
def test_triangle_has_its_incircle(a: float, b: float) -> None:
    """Incircle of a right triangle: (a + b - c) / 2."""
    found = axis_of(Polygon([(0, 0), (a, 0), (0, b)]), 0.1)
    assert (a + b - math.hypot(a, b)) / 2 == pytest.approx(max(c[:, 2].max() for c in found.chains), rel=2e-3, abs=2e-3)


def test_branches_run_into_the_corners() -> None:
    """The middle line of a triangle ends in its three corners, at the face."""
    found = engrave([polyline([(0, 0), (30, 0), (0, 40)], closed=True)], V60)
    ends = {tuple(np.round(chain[end], 6)) for chain in found.chains for end in (0, -1) if chain[end, 2] == 0}
    assert {(0.0, 0.0, 0.0), (30.0, 0.0, 0.0), (0.0, 40.0, 0.0)} == ends


def test_disc_is_one_plunge_as_deep_as_its_radius() -> None:
    """A disc has one point as its middle line."""
    found = engrave([circle((10, 10), 12)], V60)
    assert pytest.approx(found.deepest, rel=2e-3) == 6 * STEEP
    assert all(np.allclose(chain[:, :2], 10, atol=0.05) for chain in found.chains)


def test_ring_has_a_circle_of_even_depth() -> None:
    """Between two circles the middle line is a circle half way, the inscribed radius half the gap."""
    found = axis_of(Polygon(Point(0, 0).buffer(10, 256).exterior, [Point(0, 0).buffer(6, 256).exterior]), 0.1)
    every = np.concatenate(found.chains)
    assert np.allclose(np.hypot(every[:, 0], every[:, 1]), 8, atol=0.01)
    assert np.allclose(every[:, 2], 2, atol=0.01)
    assert found.stroke is not None
    assert pytest.approx(found.stroke[2], abs=0.01) == 2.0


def test_engraved_rectangle_is_a_hipped_roof() -> None:
    """Volume under a hipped roof of half width h/2: steep (h² w / 4 - h³ / 12)."""
    found = engrave([rectangle((30, 10))], V60)
    _, depth = cut_map(found, V60, (30, 10), 0.05)
    assert pytest.approx(float(depth.sum()) * 0.05**2, rel=2e-3) == STEEP * (100 * 30 / 4 - 1000 / 12)


@pytest.mark.parametrize("tip", [0.0, 0.3])
@pytest.mark.parametrize("text", ["R", "&", "8"])
def test_cut_depth_is_the_distance_to_the_outline(text: str, tip: float) -> None:
    """Everywhere inside a letter the cut is as deep as the distance to its outline says; outside nothing is cut."""
    tool = replace(V60, tip=tip)
    paths = text_on_line(text, shipped_typeface("Bold"), Lettering(25.0), (1.0, 1.0))
    area = area_of(paths)
    grid, depth = cut_map(engrave(paths, tool), tool, (25, 27), 0.15)
    x, y = np.meshgrid(grid.x(), grid.y())
    away = np.asarray(distance(points(x, y), area.boundary))
    inner = contains_xy(area, x, y)
    cut = inner & (away > tip / 2 + 0.05)
    assert float(depth[~inner & (away > 0.02)].max()) < 0.02
    assert np.quantile(np.abs(depth[cut] - away[cut] * STEEP), 0.99) < 0.06 + tip
    assert bool((depth[cut] <= away[cut] * STEEP + 0.03).all())


def test_greatest_depth_is_kept_and_both_sides_are_cut() -> None:
    """Strokes too wide for the depth are cut along both sides; what stays between them is stated."""
    found = engrave([rectangle((40, 20))], V60, max_depth=3.0)
    reach = 3 / STEEP
    assert pytest.approx(found.deepest) == 3.0
    assert (40 - 2 * reach) * (20 - 2 * reach) == pytest.approx(found.wide, rel=1e-3)
    _, depth = cut_map(found, V60, (40, 20), 0.1)
    assert 3.0 - 0.05 * STEEP <= float(depth.max()) <= 3.0 + 1e-5


def test_bit_narrower_than_the_stroke_stays_within_its_own_radius() -> None:
    """The bit cannot cut deeper than its cone is wide."""
    slim = replace(V60, diameter=6.0)
    found = engrave([rectangle((40, 20))], slim)
    assert pytest.approx(found.deepest) == 3 * STEEP
    assert found.wide > 0


def test_stroke_narrower_than_the_tip_is_told() -> None:
    """A stroke of 0.4 mm under a tip of 0.5 mm is reported with its place and width, and not cut."""
    blunt = replace(V60, tip=0.5)
    found = engrave([rectangle((20, 0.4))], blunt)
    assert found.too_narrow is not None
    assert pytest.approx(found.too_narrow[2], rel=0.01) == 0.4
    assert found.chains == ()
    assert None is engrave([rectangle((20, 0.8))], blunt).too_narrow


def test_corners_are_not_taken_for_narrow_strokes() -> None:
    """A triangle tapers to nothing in its corners, and has no narrow stroke."""
    found = engrave([polyline([(0, 0), (30, 0), (10, 25)], closed=True)], replace(V60, tip=0.2))
    assert None is found.too_narrow


def test_pieces_of_a_chain_between_two_radii() -> None:
    """A chain is cut where its radius passes the bounds."""
    chain = np.array([[0, 0, 0], [10, 0, 10.0]])
    (piece,) = between(chain, 2.0, 6.0)
    assert piece.tolist() == [[2, 0, 2], [6, 0, 6]]
    assert between(chain, 11.0, 12.0) == []


@pytest.mark.parametrize(
    ("paths", "tool", "depth"),
    [
        ([rectangle((9, 9))], replace(V60, kind=CutterKind.UP_CUT), None),
        ([rectangle((9, 9))], replace(V60, angle=None), None),
        ([rectangle((9, 9))], V60, 0.0),
        ([polyline([(0, 0), (5, 5)])], V60, None),
    ],
)
def test_what_cannot_be_engraved_is_refused(paths: list[Path], tool: Cutter, depth: float | None) -> None:
    """A cutter without a point, no depth, no closed outline."""
    with pytest.raises(LetteringError):
        engrave(paths, tool, depth)


def test_outlines_of_endless_length_are_refused() -> None:
    """The number of boundary points is bounded."""
    with pytest.raises(LetteringError, match="at most"):
        axis_of(box(0, 0, 1000, 1000), 0.001)
