"""What operations cut, against closed forms."""

from __future__ import annotations

import math

import pytest
from builders import cutter, drilled, groove, operation, pocket
from hypothesis import given
from hypothesis import strategies as st

from kitforge.geometry.shapes import rectangle
from kitforge.model.kit import CutterKind, OperationKind, Side
from kitforge.model.path import Path, Vertex, circle
from kitforge.planning.areas import area_of, filled, width_at

SQUARE = rectangle((60.0, 60.0), at=(0.0, 0.0))


def line(*points: tuple[float, float]) -> Path:
    return Path(tuple(Vertex(x, y) for x, y in points), closed=False)


def test_a_square_pocket_keeps_the_cutters_radius_in_its_corners() -> None:
    """A square of side a cut with radius r lacks (4 - pi) r2 in its corners."""
    tool = cutter(6.0)
    area = area_of(pocket(SQUARE, tool=tool), tool, 2.4, 0.0, floor=True)
    assert 3600 - (4 - math.pi) * 9 == pytest.approx(area.cut.area, rel=1e-4)


def test_stock_left_on_the_walls_makes_the_cut_smaller_all_round() -> None:
    tool = cutter(6.0)
    area = area_of(pocket(SQUARE, tool=tool), tool, 2.4, 0.5, floor=True)
    assert 59 * 59 - (4 - math.pi) * 9 == pytest.approx(area.cut.area, rel=1e-4)


def test_a_finishing_pass_on_the_walls_runs_once_round() -> None:
    tool = cutter(6.0)
    area = area_of(pocket(SQUARE, tool=tool), tool, 2.4, 0.0, floor=False)
    assert pytest.approx(area.travel.length, rel=1e-6) == 4 * 54
    assert area.travel.starts == 1


@given(st.floats(2.0, 12.0), st.floats(0.2, 0.9))
def test_clearing_travel_times_stepover_is_about_the_area(diameter: float, share: float) -> None:
    """Rounds at a distance s cover the floor: their length times s is the area of the centres' field within a round."""
    tool = cutter(diameter)
    step = share * diameter
    area = area_of(pocket(SQUARE, tool=tool), tool, step, 0.0, floor=True)
    field = (60 - diameter) ** 2
    rim = 4 * (60 - diameter) * step
    assert field - rim <= area.travel.length * step <= field + 2 * rim


def test_an_island_inside_a_pocket_stays() -> None:
    island = rectangle((20.0, 20.0), at=(20.0, 20.0))
    assert pytest.approx(filled([SQUARE, island]).area) == 3600 - 400


def test_an_outside_profile_runs_a_radius_away() -> None:
    tool = cutter(6.0)
    profile = operation(OperationKind.PROFILE, [circle(0, 0, 50.0)], 18.0, tool, side=Side.OUTSIDE)
    area = area_of(profile, tool, 6.0, 0.0, floor=True)
    assert 2 * math.pi * 53 == pytest.approx(area.travel.length, rel=1e-4)
    assert math.pi * (56**2 - 50**2) == pytest.approx(area.cut.area, rel=1e-3)


def test_an_inside_profile_as_wide_as_the_cutter_still_runs() -> None:
    """A slot of exactly the cutter's width can be cut."""
    tool = cutter(6.0)
    slot = rectangle((40.0, 6.0), at=(0.0, 0.0))
    profile = operation(OperationKind.PROFILE, [slot], 6.0, tool, side=Side.INSIDE)
    assert not area_of(profile, tool, 6.0, 0.0, floor=True).cut.is_empty


def test_holes_are_discs_of_the_drills_size() -> None:
    tool = cutter(8.0, CutterKind.DRILL, angle=118.0)
    area = area_of(drilled((0, 0), (50, 0), diameter=8.0, tool=tool), tool, 8.0, 0.0, floor=True)
    assert 2 * math.pi * 16 == pytest.approx(area.cut.area, rel=1e-3)
    assert area.plunges == 2
    assert area.travel.length == 0


def test_a_v_groove_is_as_wide_as_its_depth_says() -> None:
    """60 degrees, 3 mm deep: 2 d tan(A/2) = 3.464 mm (derived, checked in the cutting room as C12)."""
    tool = cutter(12.7, CutterKind.V_BIT, angle=60.0)
    assert width_at(tool, 3.0) == pytest.approx(3.4641, abs=1e-4)
    area = area_of(groove(line((0, 0), (100, 0)), depth=3.0, tool=tool), tool, 12.7, 0.0, floor=True)
    assert 100 * 3.4641 + math.pi * 1.732**2 == pytest.approx(area.cut.area, rel=1e-3)


def test_a_ball_nose_cuts_its_chord_until_it_is_half_in() -> None:
    """Effective diameter 2 sqrt(ap (D - ap)): 3.317 mm for 6 mm at 0.5 mm (milling catalogue, p. 253)."""
    tool = cutter(6.0, CutterKind.BALL_NOSE)
    assert width_at(tool, 0.5) == pytest.approx(3.317, abs=1e-3)
    assert width_at(tool, 3.0) == 6.0
    assert width_at(tool, 9.0) == 6.0


@given(st.floats(0.1, 6.0), st.floats(0.1, 6.0))
def test_deeper_never_cuts_narrower(one: float, other: float) -> None:
    for tool in (
        cutter(12.0, CutterKind.V_BIT, angle=60.0),
        cutter(12.0, CutterKind.BALL_NOSE),
        cutter(12.0, CutterKind.BOWL, corner_radius=4.0),
    ):
        assert (width_at(tool, max(one, other))) >= width_at(tool, min(one, other))


def test_dimples_are_cut_at_points() -> None:
    tool = cutter(12.0, CutterKind.BALL_NOSE)
    dish = operation(OperationKind.DISH, (), 2.0, tool, points=((0.0, 0.0), (30.0, 0.0)))
    area = area_of(dish, tool, 2.0, 0.0, floor=True)
    assert 2 * math.pi * width_at(tool, 2.0) ** 2 / 4 == pytest.approx(area.cut.area, rel=1e-3)
    assert area.plunges == 2


def test_shapes_that_cross_do_not_stop_the_plan() -> None:
    """The checks report them; the plan only has to live with them."""
    bow_tie = Path((Vertex(0, 0), Vertex(20, 20), Vertex(20, 0), Vertex(0, 20)))
    there_and_back = Path((Vertex(0, 0), Vertex(10, 0)))
    crossing = [rectangle((20, 20), at=(0, 0)), rectangle((20, 20), at=(10, 10))]
    assert filled([bow_tie]).area == pytest.approx(200.0)
    assert filled([there_and_back]).area == 0
    assert filled(crossing).area == pytest.approx(600.0)


def test_holes_that_overlap_are_one_area() -> None:
    tool = cutter(8.0, CutterKind.DRILL, angle=118.0)
    area = area_of(drilled((0, 0), (2, 0), diameter=8.0, tool=tool), tool, 8.0, 0.0, floor=True)
    assert area.cut.is_valid
    assert area.plunges == 2
