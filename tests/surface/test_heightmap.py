"""The height map against closed forms and against areas computed by shapely."""

from __future__ import annotations

import math
import tracemalloc

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, MultiLineString, distance, points
from surface_builders import (
    BALL,
    BOWL,
    clock,
    cutter,
    game_board,
    operation,
    outside,
    part,
    slotted_side,
    steps,
)

from kitforge.geometry.shapes import circle, polyline, rectangle
from kitforge.model.kit import Cutter, CutterKind, Face, OnionSkin, OperationKind, Part, Side, Tabs
from kitforge.model.path import Path
from kitforge.surface.cuts import CutterRun
from kitforge.surface.cutter_shape import reach_at, rise
from kitforge.surface.distance import distance_to
from kitforge.surface.grid import CEILING, Grid, grid_for
from kitforge.surface.heightmap import Surface, after_step, finished, simulate
from kitforge.surface.sloped import cone_depth

coordinate = st.floats(0, 40, allow_nan=False)
point = st.tuples(coordinate, coordinate)
chain = st.lists(point.map(lambda p: (round(p[0], 3), round(p[1], 3))), min_size=2, max_size=5, unique=True)


def cut_part(made: Part, cell: float | None = None) -> Surface:
    return finished(made, steps(made), cell=cell)


def line(y: float, x0: float = 10, x1: float = 90) -> Path:
    return polyline([(x0, y), (x1, y)])


def crest_between(apart: float, depth: float, tool: Cutter, cell: float) -> float:
    """Return the height of the crest that two passes leave, read from a row of cells that lies on it."""
    outline = rectangle((12, 8))
    crest = float(grid_for(part(outline=outline), (), cell).y()[int(8 / cell)])
    lines = [line(crest + side * apart / 2, 0, 12) for side in (-1, 1)]
    surface = cut_part(part(operation(OperationKind.GROOVE, lines, depth, tool), outline=outline), cell)
    return depth - float(surface.top[surface.grid.index(6, crest)])


@given(st.lists(chain, min_size=1, max_size=4), st.floats(0.5, 9))
def test_distances_are_those_of_shapely(chains: list[list[tuple[float, float]]], radius: float) -> None:
    """Every cell within the radius has its true distance to the nearest chain, and no other cell has one."""
    lines = MultiLineString([LineString(chain) for chain in chains])
    for grid in (Grid(-3.0, -2.0, 0.9, 48, 52), Grid(15.0, 17.0, 0.9, 12, 7)):
        expected = np.asarray(distance(points(*np.meshgrid(grid.x(), grid.y())), lines))
        found = distance_to(grid, [np.array(chain) for chain in chains], radius)
        sure = np.abs(expected - radius) > 1e-4
        assert np.array_equal(np.isfinite(found)[sure], (expected < radius)[sure])
        assert np.allclose(found[np.isfinite(found)], expected[np.isfinite(found)], atol=2e-5)


@pytest.mark.parametrize(
    ("radius", "stepover", "expected"),
    [
        (3, 0.5, 0.01043),
        (3, 0.6, 0.01504),
        (3, 1.2, 0.06061),
        (6.35, 1.0, 0.01972),
        (3, 0.4895, 0.01),
        (3, 1.0909, 0.05),
        (1.5, 0.3458, 0.01),
        (6.35, 1.5906, 0.05),
    ],
)
def test_ball_nose_passes_leave_the_tabled_scallop(radius: float, stepover: float, expected: float) -> None:
    """Two passes leave a crest of R - sqrt(R² - s²/4) (McGuirk, machining handbook table of scallop heights)."""
    tool = cutter(2 * radius, CutterKind.BALL_NOSE)
    assert expected == pytest.approx(crest_between(stepover, 2.0, tool, cell=0.05), abs=2e-5)


@pytest.mark.parametrize(("stepover", "expected"), [(8.0, 0.0538), (6.0, 0.0)])
def test_bowl_bit_leaves_a_cusp_beyond_its_flat(stepover: float, expected: float) -> None:
    """DC 19.05, RE 6.35: no cusp while the stepover is within the flat of 6.35 mm, else that of its corners."""
    assert expected == pytest.approx(crest_between(stepover, 8.0, BOWL, cell=0.05), abs=5e-5)


@pytest.mark.parametrize(
    ("angle", "tip", "depth", "width"),
    [(60, 0, 5.196, 6.0), (90, 0, 3.0, 6.0), (30, 0, 11.196, 6.0), (60, 0.2, 5.023, 6.0), (60, 0, 3.0, 3.464)],
)
def test_v_groove_is_as_wide_as_its_depth_says(angle: float, tip: float, depth: float, width: float) -> None:
    """Width = t + 2 d tan(A/2): the area of the section and the width at the face, from the geometry of the point."""
    tool = cutter(12.7, CutterKind.V_BIT, angle=float(angle), tip=float(tip))
    surface = cut_part(part(operation(OperationKind.GROOVE, [line(40.03)], depth, tool)), cell=0.05)
    section = np.asarray(surface.top)[:, surface.grid.index(50, 40)[1]]
    assert width == pytest.approx(float((section > 0.001).sum()) * 0.05, abs=0.1)
    assert depth * (width + tip) / 2 == pytest.approx(float(section.sum()) * 0.05, rel=2e-3)


def test_drilled_hole_has_the_volume_of_a_cylinder_and_a_cone() -> None:
    """Point length of 118 degrees is 0.300 DC; the depth is that of the tip."""
    tool = cutter(8, CutterKind.DRILL, angle=118.0)
    made = part(operation(OperationKind.DRILL, (), 12.0, tool, points=((30.1, 40.2), (60, 40))))
    (state,) = simulate(made, steps(made), cell=0.05)
    length = 4 / math.tan(math.radians(59))
    assert pytest.approx(length, abs=0.005) == 0.300 * 8
    assert 2 * math.pi * 16 * (12 - length + length / 3) == pytest.approx(state.removed, rel=2e-3)


def test_ball_dimple_is_a_spherical_cap() -> None:
    """Volume of a cap: pi h² (3 R - h) / 3."""
    made = part(operation(OperationKind.DISH, (), 2.5, BALL, points=((50.07, 40.03),)))
    (state,) = simulate(made, steps(made), cell=0.05)
    assert math.pi * 2.5**2 * (3 * 3 - 2.5) / 3 == pytest.approx(state.removed, rel=2e-3)


@settings(max_examples=12, deadline=None)
@given(st.floats(12, 60), st.floats(12, 50), st.floats(0, 5), st.sampled_from([3.0, 6.0, 6.35]), st.floats(0.5, 9))
def test_pocket_volume_is_area_times_depth(
    width: float, height: float, corner: float, diameter: float, depth: float
) -> None:
    """A pocket takes away what shapely says its reachable area is, times its depth, within 0.5 %."""
    shape = rectangle((width, height), centre=(50, 40), corner_radius=corner)
    made = part(operation(OperationKind.POCKET, [shape], depth, cutter(diameter)))
    (step,) = steps(made)
    (state,) = simulate(made, [step], cell=0.25)
    assert step.cut is not None
    assert step.cut.area * depth == pytest.approx(state.removed, rel=5e-3)


@pytest.mark.parametrize("angle", [0, 13, 45, 80])
def test_slot_volume_is_the_same_in_every_direction(angle: float) -> None:
    """A flat cutter along a line takes a round-ended slot away, however the line lies on the grid."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    made = part(
        operation(OperationKind.GROOVE, [polyline([(50 - 25 * c, 40 - 25 * s), (50 + 25 * c, 40 + 25 * s)])], 5.0)
    )
    (state,) = simulate(made, steps(made), cell=0.25)
    assert 5 * (50 * 6 + math.pi * 9) == pytest.approx(state.removed, rel=2e-3)


def test_tabs_stand_as_wide_and_high_as_asked() -> None:
    """Along the middle of the cut a tab is its width long, and its height is left under it."""
    outline = rectangle((100, 80))
    made = part(outside(outline, hold=Tabs(1, 8.0, 3.0, at=((50.0, 0.0),))), outline=outline)
    surface = cut_part(made, cell=0.1)
    left = surface.remaining()[surface.grid.index(50, -3)[0]]
    assert pytest.approx(float(left[surface.grid.index(50, -3)[1]]), abs=1e-4) == 3.0
    middle = left[surface.grid.index(0, 0)[1] : surface.grid.index(100, 0)[1]]
    assert pytest.approx(float(middle.sum()) * 0.1 / 3.0, abs=0.05) == 8.0


def test_onion_skin_stays_under_a_through_cut() -> None:
    """A through cut with an onion skin leaves that thickness everywhere."""
    outline = rectangle((60, 40))
    surface = cut_part(part(outside(outline, hold=OnionSkin(0.4)), outline=outline), cell=0.25)
    assert pytest.approx(float(surface.remaining().min()), abs=1e-5) == 0.4


def test_profile_frees_the_part_and_keeps_its_size() -> None:
    """What is left inside the cut has the area of the outline, within 0.1 %."""
    outline = circle((20, 10), 70)
    made = part(outside(outline), outline=outline)
    surface = cut_part(made).freed(made)
    assert math.pi * 35**2 * 18 == pytest.approx(surface.volume(), rel=1e-3)


def test_finishing_takes_what_roughing_left() -> None:
    """Roughing and finishing together cut what one pass cuts, and finishing finds the allowance."""
    from dataclasses import replace

    from kitforge.model.kit import PassOptions

    one = operation(OperationKind.POCKET, [rectangle((40, 30), at=(20, 20))], 6.0)
    two = replace(one, roughing=PassOptions(cutter(), leave_walls=0.5, leave_floor=0.5))
    rough, *finish = simulate(part(two), steps(part(two)))
    (whole,) = simulate(part(one), steps(part(one)))
    last = sum(one.removed for one in finish)
    assert len(finish) == 2, "the floor and the walls are finished apart"
    assert rough.removed > 5 * last > 0
    assert whole.removed == pytest.approx(rough.removed + last, rel=1e-4)


def test_cuts_from_both_faces_that_meet_make_a_hole() -> None:
    """A cell cut from both sides through the stock is gone, beside it the thickness less the cut is left."""
    made = part(
        operation(OperationKind.POCKET, [rectangle((40, 30), at=(20, 20))], 10.0),
        operation(OperationKind.POCKET, [rectangle((40, 30), at=(40, 20))], 9.0, face=Face.BOTTOM),
    )
    left = cut_part(made).remaining()
    grid = cut_part(made).grid
    assert tuple(left[grid.index(x, 35)] for x in (50, 30, 70)) == (0.0, 8.0, 9.0)


def test_turning_over_swaps_the_faces_and_the_sides() -> None:
    """The stock turned over about y shows the bottom; turned twice it is as before."""
    made = part(operation(OperationKind.POCKET, [rectangle((20, 20), at=(5, 5))], 4.0, face=Face.BOTTOM))
    surface = cut_part(made)
    over = surface.turned_over()
    assert over.top[over.grid.index(-15, 15)] == 4.0
    assert np.array_equal(over.turned_over().top, surface.top)
    assert surface.grid.x0 == pytest.approx(over.turned_over().grid.x0)


@settings(max_examples=15, deadline=None)
@given(st.floats(1, 10), st.floats(0.5, 8), st.sampled_from(list(CutterKind)), st.sampled_from([Side.ON, Side.INSIDE]))
def test_nothing_is_ever_put_back(depth: float, more: float, kind: CutterKind, side: Side) -> None:
    """A step never adds material, and cutting the same again deeper leaves no more than before."""
    tool = cutter(6, kind, angle=90.0 if kind in (CutterKind.V_BIT, CutterKind.DRILL) else None)
    shape = circle((50, 40), 40)
    made = part(*(operation(OperationKind.PROFILE, [shape], d, tool, side=side) for d in (depth, depth + more)))
    first, second = simulate(made, steps(made), cell=0.5)
    assert first.removed >= 0
    assert second.removed >= 0
    assert bool((second.after.top >= first.after.top).all())


def test_the_order_of_cuts_does_not_matter_for_flat_walls() -> None:
    """Deep then shallow leaves the same stock as shallow then deep, but for the cells that a wall runs through."""
    pair = [
        operation(OperationKind.POCKET, [rectangle((40, 30), at=(20, 20))], 4.0),
        operation(OperationKind.POCKET, [rectangle((20, 14), at=(30, 28))], 9.0),
    ]
    one, other = cut_part(part(*pair)), cut_part(part(*reversed(pair)))
    assert one.volume() == pytest.approx(other.volume(), rel=2e-4)
    assert float((np.abs(one.top - other.top) > 1e-5).mean()) < 0.002


@settings(max_examples=25, deadline=None)
@given(st.tuples(point, st.floats(0.2, 5)), st.tuples(point, st.floats(0.2, 5)), st.sampled_from([0.0, 0.3, 1.0]))
def test_sloping_v_cut_is_the_envelope_of_its_cones(
    start: tuple[tuple[float, float], float], end: tuple[tuple[float, float], float], tip: float
) -> None:
    """The cut along a falling line is what many cones on that line cut together."""
    tool = cutter(20, CutterKind.V_BIT, angle=60.0, tip=tip)
    a, b = np.array([*start[0], start[1]]), np.array([*end[0], end[1]])
    if abs(a[2] - b[2]) > 1.5 * np.hypot(*(a - b)[:2]):
        b[2] = a[2]
    grid = Grid(-5.0, -5.0, 1.3, 40, 40)
    x, y = np.meshgrid(grid.x(), grid.y())
    stamps = np.linspace(a, b, 400)
    radius = np.hypot(x[..., None] - stamps[:, 0], y[..., None] - stamps[:, 1])
    expected = np.maximum(stamps[:, 2] - np.maximum(radius - tip / 2, 0) / math.tan(math.radians(30)), 0)
    expected[radius > 10] = 0
    found = cone_depth(grid, CutterRun(tool, (np.array([a, b]),), 0.0, sloped=True))
    apart = float(np.hypot(*(a - b)[:2])) / 399
    assert bool((found >= expected.max(axis=-1) - 1e-4).all())
    assert bool((found <= expected.max(axis=-1) + 2 * apart + 1e-4).all())


@given(st.sampled_from(list(CutterKind)), st.floats(2, 20), st.floats(0.1, 12), st.floats(0, 0.9))
def test_reach_and_rise_agree(kind: CutterKind, diameter: float, depth: float, corner: float) -> None:
    """At the radius that a cutter reaches at a depth, its surface stands that depth above the tip, or it is the rim."""
    tool = cutter(diameter, kind, angle=60.0, corner_radius=corner * diameter / 2, tip=diameter / 20)
    reach = reach_at(tool, depth)
    if reach < tool.radius * (1 - 1e-6):
        assert depth == pytest.approx(float(rise(tool, np.array([reach], np.float32))[0]), abs=2e-3 * diameter)
    else:
        assert tool.radius == pytest.approx(reach)


def test_small_parts_get_finer_cells_and_large_ones_stay_under_the_ceiling() -> None:
    """0.25 mm by default, finer for a small part, coarser rather than more cells than the ceiling."""
    plain = rectangle((400, 300))
    assert grid_for(part(outline=plain), ()).cell == 0.25
    assert grid_for(part(outline=rectangle((50, 40))), ()).cell < 0.1
    large = grid_for(part(outline=rectangle((2400, 1200))), (), cell=0.1)
    assert large.rows * large.columns <= CEILING
    assert large.cell > 0.4
    with pytest.raises(ValueError, match="above 0 mm"):
        grid_for(part(outline=plain), (), cell=0.0)


def test_memory_stays_under_forty_bytes_a_cell() -> None:
    """Simulating a whole board without keeping its states takes a bounded number of bytes per cell of the map."""
    made = game_board()
    order = steps(made)
    for _ in simulate(made, order, cell=1.0):
        pass
    tracemalloc.start()
    for state in simulate(made, order, cell=0.12):
        cells = state.after.grid.rows * state.after.grid.columns
        del state
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert cells > 3_000_000
    assert peak < 40 * cells + 60_000_000


@pytest.mark.parametrize("made", [game_board(), slotted_side(), clock()], ids=["board", "side", "clock"])
def test_removed_volumes_add_up(made: Part) -> None:
    """The volumes of the steps are together what is missing in the end."""
    states = list(simulate(made, steps(made), cell=0.5))
    assert sum(state.removed for state in states) == pytest.approx(
        states[0].before.volume() - states[-1].after.volume(), rel=1e-9
    )
    assert all(state.removed > 0 for state in states)


def test_states_share_what_did_not_change() -> None:
    """A step from below leaves the map of the top as it is, and no map can be written to."""
    made = clock()
    order = steps(made)
    state = after_step(next(iter(simulate(made, order, cell=1.0))).before, order[0])
    assert state.after.top is state.before.top
    with pytest.raises(ValueError, match="read-only"):
        state.after.top[0, 0] = 1.0


def test_cutter_type_is_checked_for_sloped_cuts() -> None:
    """Only a pointed cutter can follow a line of changing depth."""
    flat: Cutter = cutter()
    with pytest.raises(ValueError, match="pointed"):
        cone_depth(Grid(0, 0, 1, 4, 4), CutterRun(flat, (np.array([[1.0, 1, 1], [2, 2, 2]]),), 1.0, sloped=True))
