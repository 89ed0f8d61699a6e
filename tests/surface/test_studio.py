"""The studio: geometry of the camera, what hides what, light and shadow, and wood as a solid. Invented shapes."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from surface_builders import cutter, operation, part, steps, stock

from kitforge.geometry.shapes import rectangle
from kitforge.model.kit import CutterKind, OperationKind
from kitforge.pictures.shaded.solids import Placed, axes_of
from kitforge.pictures.shaded.view import PictureView
from kitforge.pictures.studio.bodies import Plain, Stage, smooth_runs
from kitforge.pictures.studio.camera import camera_for
from kitforge.pictures.studio.colours import linear, printed
from kitforge.pictures.studio.lamps import LightShares, LitPoints, lit, strewn
from kitforge.pictures.studio.photograph import (
    GROUND_DOTS,
    GroundPlane,
    Photo,
    _covered,
    _ground,
    lights_for,
    packed,
    photograph,
    unpacked,
)
from kitforge.pictures.studio.relief import LitRelief, ReliefRecord, met
from kitforge.pictures.studio.series import busiest
from kitforge.pictures.studio.timber import timber_of, tone
from kitforge.pictures.studio.visible import _several, seen_by
from kitforge.planning.areas import filled, multi
from kitforge.surface.grid import Grid
from kitforge.surface.heightmap import simulate
from kitforge.surface.layers import WoodLayer
from kitforge.surface.outline import CrossingTable, inside_between

UP = np.array([0.0, 0.0, 1.0])
GREY = Plain("#808080")
VIEW = axes_of(PictureView(20.0, 35.0))


def slab(side: float, z: float, thick: float) -> Stage:
    """A stage with a square plate, its lower face at z."""
    stage = Stage()
    stage.add_slab(square(side), np.array([0.0, 0.0, z]), np.eye(3), thick, GREY)
    return stage


def square(side: float) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    h = side / 2
    return np.array([[-h, -h], [h, -h], [h, h], [-h, h], [-h, -h]])


def test_the_camera_sees_a_point_where_its_way_leads() -> None:
    """A dot, taken back into space at the nearness of a plane, is the point that was seen there."""
    points = np.array([[10.0, -20.0, 5.0], [-30.0, 12.0, 5.0], [0.0, 0.0, 5.0]])
    camera = camera_for(VIEW, slab(100, 0, 20).corners(), (400, 400))
    seen = camera.seen(points)
    a, b, c = camera.nearness(UP, points[0])
    x, y = seen[:, 0].astype(np.float32), seen[:, 1].astype(np.float32)
    back = np.array(camera.points(x, y, (a + b * x + c * y).astype(np.float32))).T
    assert back == pytest.approx(points, abs=0.01)


def test_the_object_fills_its_paper_and_the_perspective_is_mild() -> None:
    """The longer side takes 32 degrees: with a rim of 15 % the frame is 35 to 40 degrees wide, as asked for."""
    camera = camera_for(VIEW, slab(100, 0, 20).corners(), (400, 400))
    seen = camera.seen(slab(100, 0, 20).corners())
    assert max(np.ptp(seen[:, 0]), np.ptp(seen[:, 1])) == pytest.approx(400, abs=1)
    half = math.degrees(math.atan(200 / camera.scale / 0.85))
    assert 35 <= 2 * half <= 40


def test_what_is_nearer_hides_what_is_behind() -> None:
    stage = slab(100, 0, 2)
    stage.add_ball(np.array([0.0, 0.0, 12.0]), 10.0, GREY)
    camera = camera_for(VIEW, stage.corners(), (300, 300))
    seen = seen_by(camera, stage)
    x, y = camera.seen(np.array([[0.0, 0.0, 12.0]]))[0].astype(int)
    assert seen.piece[y, x] == len(stage.patches)
    far = float(camera.axes[2] @ (np.array([0.0, 0.0, 12.0]) - camera.at))
    assert 1 / float(seen.near[y, x]) == pytest.approx(far - 10, abs=0.2)


def test_edges_are_looked_at_nine_times_a_dot() -> None:
    """The share of dots on an edge takes more than two values, and all shares together are the area."""
    stage = slab(100, 0, 2)
    camera = camera_for(axes_of(PictureView(9.0, 90.0)), stage.corners(), (200, 200))
    seen = seen_by(camera, stage)
    shares = np.unique((seen.looks >= 0).sum(axis=1))
    assert len(shares) > 4
    assert seen.looks.shape[1] == 9


def test_what_lies_under_a_roof_sees_neither_lamp_nor_sky() -> None:
    stage = slab(100, 30, 2)
    points = np.array([[0.0, 0.0, 0.0], [300.0, 0.0, 0.0]], dtype=np.float32).T
    level = [np.zeros(2, np.float32), np.zeros(2, np.float32), np.ones(2, np.float32)]
    (light,) = lit(strewn(stage), [LitPoints(list(points), level)], UP)
    assert light.key[0] < 0.05
    assert light.key[1] == 1
    assert light.sky[0] < 0.45
    assert light.sky[1] > 0.97


def test_points_are_lit_alike_whether_alone_or_with_others() -> None:
    stage, dice = slab(100, 30, 2), np.random.RandomState(5)
    sets = [
        LitPoints(list(dice.uniform(-80, 80, (3, count)).astype(np.float32)), [np.full(count, 0.6, np.float32)] * 3)
        for count in (7, 400)
    ]
    for alone, one in zip(sets, lit(strewn(stage), sets, UP), strict=True):
        (expected,) = lit(strewn(stage), [alone], UP)
        assert np.array_equal(expected.key, one.key)
        assert np.array_equal(expected.sky, one.sky)


def test_dots_with_several_surfaces_are_those_whose_nine_looks_differ() -> None:
    """Patches of one surface, as the sides of a round wall are, count as one."""
    dice = np.random.RandomState(8)
    surfaces = np.array([0, 0, 1, 2, -1], dtype=np.int32)  # the last is that of the ground, number -1
    number = np.repeat(np.repeat(dice.randint(-1, 4, (15, 20)), 4, axis=0), 5, axis=1)[:60, :99].astype(np.int32)
    row, column, looks = _several(number, surfaces)
    nine = surfaces[number].reshape(20, 3, 33, 3).transpose(0, 2, 1, 3).reshape(20, 33, 9)
    expected = np.nonzero((nine != nine[..., :1]).any(axis=2))
    assert 0 < len(row) < 20 * 33
    assert (row.tolist(), column.tolist()) == (expected[0].tolist(), expected[1].tolist())
    assert np.array_equal(looks, nine[expected])


def test_shapes_of_one_table_cover_the_dots_whose_middles_lie_inside() -> None:
    """Expected: what an independent library says of every dot's middle; also of a shape with a hole, of one without
    sides, and of one that lies partly beyond the rows."""
    from shapely import Polygon, contains_xy

    dice, turn = np.random.RandomState(11), np.linspace(0, 2 * np.pi, 9)
    star = np.column_stack([np.cos(turn), np.sin(turn)])
    shapes = [[star * dice.uniform(5, 30, 2) + dice.uniform(5, 60, 2)] for _ in range(6)]
    shapes[2].append(shapes[2][0] * 0.5 + shapes[2][0][:-1].mean(axis=0) * 0.5)
    shapes.insert(3, [])
    whose, row, column = CrossingTable(shapes).between(10, 50)
    x, y = np.meshgrid(np.arange(70) + 0.5, np.arange(10, 50) + 0.5)
    for number, rings in enumerate(shapes):
        own = whose == number
        found = inside_between((40, 70), row[own] - 10, np.clip(column[own], 0, 70))
        expected = contains_xy(Polygon(rings[0], rings[1:]), x, y) if rings else np.zeros(x.shape, dtype=bool)
        assert np.array_equal(expected, found)
    assert [len(one) for one in CrossingTable([]).between(0, 9)] == [0, 0, 0]


def test_a_round_side_has_no_edges_and_a_square_one_four() -> None:
    turn = np.linspace(0, 2 * np.pi, 61)
    circle = np.column_stack([np.cos(turn), np.sin(turn)])
    assert len(list(smooth_runs(circle))) == 1
    assert len(list(smooth_runs(square(10)))) == 4
    run = next(iter(smooth_runs(circle)))
    for start, end, first, last in run:
        assert first == pytest.approx(start, abs=0.01)
        assert last == pytest.approx(end, abs=0.01)


def test_a_way_meets_a_v_groove_where_it_is() -> None:
    """A groove of 90 degrees along y, 4 mm deep: straight down at 1 mm beside its middle the wood is 3 mm deep."""
    grid = Grid(-10.0, -10.0, 0.1, 200, 200)
    depth = np.maximum(4 - np.abs(grid.x()), 0)[None, :].repeat(200, 0).astype(np.float32)
    relief = LitRelief(grid, depth, depth, depth, depth, depth, depth > 0)
    x = np.array([1.0, -1.0, 6.0], dtype=np.float32)
    zero = np.zeros(3, dtype=np.float32)
    _, _, down = met(relief, x, zero, (zero, zero))
    assert down == pytest.approx([3, 3, 0], abs=0.06)
    # A way that runs 1 mm along x for each mm down enters at -5 and touches the wall that leans as it does at the foot.
    x, _, down = met(relief, np.array([-3.0], np.float32), zero[:1], (np.ones(1, np.float32), zero[:1]))
    assert x - down == pytest.approx([-3.0], abs=1e-4)


def test_the_grain_of_a_board_runs_on_through_its_parts() -> None:
    """A point of the stock looks the same, whichever part it went to."""
    board = stock()
    one, other = timber_of(board, (20.0, 30.0)), timber_of(board, (220.0, 80.0))
    x, y = np.linspace(0, 50, 40, dtype=np.float32), np.linspace(0, 30, 40, dtype=np.float32)
    z = np.zeros(40, dtype=np.float32)
    assert tone(one, x + 200, y + 50, z, 0.2) == pytest.approx(tone(other, x, y, z, 0.2), abs=1e-3)


@pytest.mark.parametrize("wood", ["sugar_maple", "white_oak", "black_walnut", "eastern_white_pine", "birch_plywood"])
def test_wood_shows_more_than_one_tone_and_none_is_black(wood: str) -> None:
    grid = np.linspace(0, 120, 200, dtype=np.float32)
    x, y = (part.ravel() for part in np.meshgrid(grid, grid))
    dark = tone(timber_of(stock(wood)), x, y, np.zeros_like(x), 0.2)
    assert dark.std() > 0.01
    assert dark.min() > -0.2
    assert dark.max() < 1.2


def test_grain_does_not_flicker_where_dots_are_large() -> None:
    """Far away rings melt into the mean tone instead of being drawn thinner than a dot."""
    x = np.arange(0, 4000, 3.0, dtype=np.float32)
    timber = timber_of(stock("eastern_white_pine"))
    near, far = (tone(timber, x, x, np.zeros_like(x), dot).std() for dot in (0.2, 3.0))
    assert far < near


def test_the_print_curve_is_that_of_the_standard() -> None:
    """IEC 61966-2-1: linear 0.2140 is byte 127 or 128; bytes come back from linear light below the shoulder."""
    assert abs(int(printed(np.array([0.2140], dtype=np.float32))[0]) - 127.5) <= 1
    for byte in (20, 60, 120, 200):
        light = linear(f"#{byte:02x}{byte:02x}{byte:02x}")[0]
        assert abs(int(printed(np.array([light], dtype=np.float32))[0]) - byte) <= 1


def board_stage() -> tuple[Stage, list[Any]]:
    """A small board on the stage."""
    made = part()
    stage = Stage()
    layers = (WoodLayer(multi([filled([made.outline])]), 0.0, 18.0),)
    stage.add_board(Placed(made, (0.0, 0.0, 18.0), layers=layers), None, 0.05)
    return stage, [timber_of(made.stock)]


def test_a_photograph_is_the_same_twice_and_keeps_its_bytes() -> None:
    """No black outline, no clipped shadow: the darkest dot of a maple board stays far from black."""
    found = []
    for _ in range(2):
        stage, timbers = board_stage()
        camera = camera_for(VIEW, stage.corners(), (300, 300))
        ground = GroundPlane(np.zeros(3), UP)
        found.append(photograph(stage, camera, lights_for(camera.axes, 154, 40), timbers, ground))
    one, other = found
    assert (one.colour == other.colour).all()
    assert (one.ground == other.ground).all()
    whole = one.colour[one.share == 255]
    assert whole.min() > 40
    assert 0.2 <= one.ground.min() < 0.8
    assert one.ground[0, 0] == pytest.approx(1, abs=0.01)
    again = unpacked(*packed(one))
    assert (again.colour == one.colour).all()
    assert again.box == one.box
    assert again.ground == pytest.approx(one.ground, abs=1e-4)


def test_a_close_up_shows_where_most_is_to_be_seen() -> None:
    """Not the grain, which is even everywhere, but what is cut; the same place each time."""
    shade = np.full((400, 600), 120, dtype=np.uint8)
    shade[:, ::2] = 140
    shade[220:260, 400:440] = 20
    dots = np.dstack([shade, shade, shade, np.full_like(shade, 255)])
    photo = Photo(dots, np.ones((80, 120), np.float32), 0, (0, 0, 600, 400))
    left, top, across = busiest(photo)
    assert left <= 400 / 600
    assert left + across >= 440 / 600
    assert top <= 220 / 400 <= top + across * 600 * 0.75 / 400


def test_a_window_of_the_paper_shows_its_own_part() -> None:
    """A point lies in the window where it lay on the paper."""
    camera = camera_for(VIEW, slab(100, 0, 20).corners(), (400, 400))
    near = camera.window(0.25, 0.5, 0.2, (800, 600))
    point = np.array([[5.0, 3.0, 20.0]])
    x, y = camera.seen(point)[0]
    across, up = near.seen(point)[0]
    times = 800 / (0.2 * camera.columns)
    assert across == pytest.approx((x - 0.25 * camera.columns) * times)
    assert 600 - up == pytest.approx((camera.rows * 0.5 - y) * times)


def test_a_shadow_on_the_ground_ends_softly_wherever_it_ends() -> None:
    """Away from the object no straight edge is seen: neither of what one lamp of the sky leaves dark, nor where the
    paper ends. Planted: a shade over the whole sky, and one lamp's shadow."""
    camera = camera_for(axes_of(PictureView(9.0, 60.0)), slab(100, 0, 2).corners(), (1000, 1000))
    stage = slab(100, 0, 2)
    seen, rim = seen_by(camera, stage), 420
    wide = camera.wider(rim)
    rows, columns = -(-wide.rows // GROUND_DOTS), -(-wide.columns // GROUND_DOTS)
    level = [np.full(rows * columns, part, np.float32) for part in (0, 0, 1)]
    floor = LitPoints([np.zeros(rows * columns, np.float32)] * 3, level)
    covered = _covered(seen, rim, (rows, columns))
    assert covered.mean() == pytest.approx((seen.surface >= 0).sum() / (wide.rows * wide.columns), rel=0.02)
    lights = lights_for(camera.axes, 154, 40)
    key = np.ones(rows * columns, np.float32)
    shade = np.full((rows, columns), 0.6, np.float32)
    shade[:, : columns // 8] = 0.7
    light = _ground(wide, lights, floor, LightShares(key, shade.ravel()), covered)
    assert light.min() < 0.93
    assert light[0].min() > 0.999
    step = max(float(np.abs(np.diff(light, axis=axis)).max()) for axis in (0, 1))
    assert step < 0.004, "one level of 255 in two large dots at most"


def test_a_face_that_was_taken_down_is_flat_and_a_dish_in_it_as_deep_as_it_is() -> None:
    """Counted as carved, a faced board was seen as high as its stock, its face sunk below its edges."""
    face = operation(OperationKind.FACE, [], 1.0, cutter(22, CutterKind.SURFACING))
    dish = operation(OperationKind.DISH, [], 2.0, cutter(12, CutterKind.BALL_NOSE), points=((50.0, 40.0),))
    made = part(face, dish, outline=rectangle((100, 80)))
    record = ReliefRecord()
    for state in simulate(made, steps(made), cell=0.5):
        record.take(state)
    relief = record.relief()
    assert relief is not None
    assert (relief.depth > 0).mean() < 0.05
    assert relief.depth.max() == pytest.approx(2.0, abs=0.1)
