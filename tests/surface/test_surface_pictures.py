"""Pictures: the same bytes every time, true to the part, readable in grey."""

from __future__ import annotations

import io
import math
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image
from scipy.ndimage import binary_dilation, binary_erosion
from surface_builders import clock, cutter, game_board, operation, outside, part, slotted_side, steps

from kitforge.geometry.shapes import circle, rectangle
from kitforge.model.kit import OperationKind, Part, Tabs
from kitforge.model.workshop import MaterialKind
from kitforge.pictures.shaded import windows
from kitforge.pictures.shaded.ink import ink_of, marks_of
from kitforge.pictures.shaded.layout import first_hits, image_of, laid, layout_for, points
from kitforge.pictures.shaded.light import slopes
from kitforge.pictures.shaded.make import PictureSize, after, cover, detail, from_above, picture, underside
from kitforge.pictures.shaded.palette import FULL_LIGHT, Style, table_palette
from kitforge.pictures.shaded.render import cells_lit, painted, scene_of
from kitforge.pictures.shaded.view import ABOVE, SLANT, PictureView, PixelCanvas, box_of, canvas_for
from kitforge.pictures.shaded.wood import Look, look_of, tone
from kitforge.surface.grid import Grid
from kitforge.surface.heightmap import Surface, SurfaceState, finished, simulate

SMALL = PictureSize(240)


def dots_of(data: bytes) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(data)).convert("RGBA")).astype(int)


def last_state(made: Part, cell: float = 0.6) -> SurfaceState:
    return list(simulate(made, steps(made), cell=cell))[-1]


def plate_with_pocket() -> tuple[Part, Surface]:
    outline = rectangle((100, 80))
    made = part(operation(OperationKind.POCKET, [rectangle((40, 30), at=(10, 40))], 8.0), outline=outline)
    return made, finished(made, steps(made), cell=0.5)


@pytest.mark.parametrize("made", [game_board(), slotted_side(), clock()], ids=["board", "side", "clock"])
def test_the_same_part_gives_the_same_bytes(made: Part) -> None:
    """Cover, step picture and underside repeat to the byte, simulated anew each time."""
    first, second = (last_state(made), last_state(made))
    assert cover(first.after, made, SMALL) == cover(second.after, made, SMALL)
    assert after(first, SMALL) == after(second, SMALL)
    assert underside(first.after, made, SMALL) == underside(second.after, made, SMALL)
    assert cover(first.after, made, SMALL).startswith(b"\x89PNG\r\n\x1a\n")


def test_picture_from_above_is_to_scale() -> None:
    """Seen from above, the share of the paper that is not white is the area of the outline."""
    outline = circle((50, 40), 80)
    made = part(outside(outline), outline=outline)
    grey = dots_of(from_above(finished(made, steps(made)), made, PictureSize(400, clear=True)))
    scale = 400 * 0.94 / 80
    assert math.pi * 40**2 * scale**2 == pytest.approx((grey[..., 3] == 255).sum(), rel=0.01)


def test_slant_hides_what_lies_behind() -> None:
    """A point on the floor close behind a wall is not seen, the face before it is; each dot shows a true point."""
    heights = np.full((60, 60), -10.0, dtype=np.float32)
    heights[20:30] = 0.0
    canvas = PixelCanvas(60, 80, 0.0, -10.0, 1.0)
    layout = layout_for(PictureView(0.0, 45.0), canvas, 0.0, 0.0, 1.0, -10.0)
    height = laid(layout, image_of(heights), -10.0)
    hit = first_hits(layout, height)
    seen = points(layout, height, np.arange(hit.size), hit.ravel())
    y, z = seen.y.reshape(hit.shape)[:, 30], seen.z.reshape(hit.shape)[:, 30]
    shown = (canvas.low + (np.arange(80) + 0.5) / canvas.scale) / math.sqrt(0.5)
    inner = (y > 2) & (y < 58)
    assert np.allclose((y + z)[inner], shown[inner], atol=0.75)
    behind = (y > 30.8) & (y < 38)
    assert not (behind & (z < -9)).any()
    assert ((np.abs(y - 20) < 1) & (z > -9) & (z < -1)).sum() >= 5


def test_a_table_without_stock_is_lit_evenly() -> None:
    """A flat map is fully lit everywhere."""
    cells = cells_lit(np.zeros((50, 40), dtype=np.float32), 0.5, 24.0, grain_along_x=True)
    assert cells.shape == (50, 40, 4)
    assert np.unique(cells.reshape(-1, 4), axis=0).tolist() == [[round(255 / FULL_LIGHT), 255, 0, 0]]


def test_light_worked_out_some_rows_at_a_time_has_the_slopes_of_the_whole_map() -> None:
    height = np.random.RandomState(3).uniform(0, 2, (70, 33)).astype(np.float32)
    gx, gy = slopes(height, 0.5)
    found = cells_lit(height, 0.5, 24.0, grain_along_x=True)[..., 1] / 255
    assert np.allclose(found, 1 / np.sqrt(1 + gx * gx + gy * gy), atol=1 / 255)


def test_shadow_falls_away_from_the_lamp() -> None:
    """The lamp stands to the left: the ground to the right of a block is darker than to its left."""
    height = np.zeros((80, 120), dtype=np.float32)
    height[30:50, 50:70] = 12.0
    light = cells_lit(height, 0.5, 0.0, grain_along_x=True)[..., 0].astype(int)
    assert light[40, 76] < 0.8 * light[40, 40]


def test_a_pocket_is_darker_than_the_face() -> None:
    """Hollows see less of the sky; walls are seen from the slant and end in dark lines."""
    made, surface = plate_with_pocket()
    grey = dots_of(from_above(surface, made, PictureSize(400)))[..., :3].mean(axis=-1)
    scale, middle = 400 * 0.94 / 100, grey.shape[0] / 2
    row, column = round(middle - (55 - 40) * scale), round(200 + (13 - 50) * scale)
    face = grey[round(middle + 20 * scale), round(200 + 20 * scale)]
    assert grey[row, column] < 0.93 * face
    edge = grey[row, round(200 + (10 - 50) * scale) - 3 : round(200 + (10 - 50) * scale) + 4]
    assert edge.min() < 0.6 * face


def test_marked_cuts_are_told_apart_in_grey() -> None:
    """The cut of this step has an even tint, without hatching, and a light rim, so that it is told apart in grey too,
    on woods that are as bright as the tint."""
    made, _ = plate_with_pocket()
    rgb = dots_of(after(last_state(made), PictureSize(600)))[..., :3].astype(int)
    grey = rgb @ (0.299, 0.587, 0.114)
    marked = (rgb[..., 0] - rgb[..., 2]) > 80
    assert marked.sum() > 2000
    inner = binary_erosion(marked, iterations=6)
    assert np.abs(np.diff(grey, axis=1))[inner[:, 1:]].mean() < 3, "no lines"
    rim = binary_dilation(marked, iterations=4) & (grey > 240)
    assert rim.sum() > 300
    assert grey[rim].mean() - grey[inner].mean() > 90


def test_a_step_from_below_is_seen_from_below() -> None:
    """The picture of a step cut from the bottom shows the other face up, with its cut picked out."""
    made = clock()
    first = next(iter(simulate(made, steps(made), cell=0.6)))
    rgb = dots_of(after(first, PictureSize(400)))[..., :3]
    assert ((rgb[..., 0] - rgb[..., 2]) > 90).sum() > 500


def test_clear_paper_keeps_only_part_and_shadow() -> None:
    """On clear paper the corners are empty, the part is solid, and the shadow is in between."""
    made, surface = plate_with_pocket()
    alpha = dots_of(cover(surface, made, PictureSize(300, clear=True)))[..., 3]
    assert alpha[0, 0] == 0
    assert alpha[alpha.shape[0] // 2, 150] == 255
    assert ((alpha > 10) & (alpha < 200)).sum() > 500


def test_detail_is_round_and_cut_finely() -> None:
    """A detail is as wide as asked, round, and shows the same part."""
    made = game_board()
    image = Image.open(io.BytesIO(detail(made, steps(made), (20, 20), 40.0, 200)))
    assert image.size == (200, 200)
    alpha = np.asarray(image)[..., 3]
    assert (alpha[2, 2], alpha[100, 100]) == (0, 255)
    with pytest.raises(ValueError, match="beside the part"):
        detail(made, steps(made), (2000, 20), 40.0, 200)


@pytest.mark.parametrize("family", list(MaterialKind))
def test_every_kind_of_board_has_a_pattern(family: MaterialKind) -> None:
    """The tone of the wood varies over the face and stays within its scale."""
    look = Look("#d9b38c", family, along_x=True, thickness=18.0)
    x, y = (values.astype(np.float32).ravel() for values in np.meshgrid(np.arange(0, 200, 1.7), np.arange(0, 150, 1.3)))
    found = tone(look, x, y, np.zeros_like(x), 0.2)
    assert 0.01 < float(found.std()) < 0.3
    assert float(found.min()) > -0.3
    assert float(found.max()) < 1.2


def test_plywood_shows_its_plies_on_the_edge() -> None:
    """Along the thickness an odd number of plies of about 1.4 mm, each of one tone, with lines between."""
    look = look_of(slotted_side().stock)
    z = -np.linspace(0.01, 11.99, 1200).astype(np.float32)
    found = tone(look, np.full_like(z, 30.0), np.full_like(z, 40.0), z, 0.2)
    jumps = np.flatnonzero((found[1:] > 0.75) & (found[:-1] <= 0.75))
    assert len(jumps) in (8, 6)


def test_grain_runs_along_the_stock() -> None:
    """The pattern changes slowly along the grain and quickly across it."""
    look = Look("#d9b38c", MaterialKind.SOFTWOOD, along_x=True, thickness=18.0)
    line = np.arange(0, 150, 0.5, dtype=np.float32)
    flat = np.zeros_like(line)
    along = np.abs(np.diff(tone(look, line, flat + 120, flat, 0.1))).mean()
    across = np.abs(np.diff(tone(look, flat + 120, line, flat, 0.1))).mean()
    assert across > 3 * along


def test_ink_follows_outlines_and_walls() -> None:
    """Dots beside a jump in depth are outlines, dots where a wall begins are lines, smooth ground is free."""
    hit = np.tile(np.arange(20, dtype=np.int32)[:, None], (1, 20))
    hit[10:] += 40
    upright = np.full((20, 20), 255, dtype=np.uint8)
    upright[:, 15:] = 10
    ink = ink_of(hit, upright, np.ones((20, 20), dtype=bool), 0.5)
    assert (ink[9, 5], ink[5, 14], ink[4, 5]) == (3, 2, 0)


def test_hatching_leaves_plain_dots_alone() -> None:
    """Only marked dots carry hatching, and all of its lines are as far apart as asked."""
    marked = np.zeros((30, 30), dtype=np.uint8)
    marked[:, :20] = 255
    found = marks_of(marked, 10)
    assert not found[:, 20:].any()
    assert {1, 2} == set(np.unique(found[:, :20]).tolist())


def test_paper_is_as_high_as_the_part_needs() -> None:
    """Without a height the paper fits the view; with one the part is drawn smaller to fit."""
    box = (0.0, 0.0, 100.0, 50.0)
    free = canvas_for(ABOVE, box, 18.0, 400)
    assert pytest.approx(free.rows, abs=1) == 400 * 0.94 * 0.5 + 24
    assert canvas_for(SLANT, box, 18.0, 400, 120).scale < canvas_for(SLANT, box, 18.0, 400).scale


def test_tabs_are_seen_before_the_part_is_freed_and_not_after() -> None:
    """The picture after the freeing step has the waste around it, the finished part has not."""
    outline = rectangle((60, 40))
    made = part(outside(outline, cutter(6), hold=Tabs(2, 8, 3)), outline=outline)
    state = last_state(made, 0.3)
    look = look_of(made.stock)
    whole = dots_of(picture(state.after, look, ABOVE, PictureSize(300, clear=True)))
    freed = dots_of(picture(state.after.freed(made), look, ABOVE, PictureSize(300, clear=True)))
    assert (whole[..., 3] == 255).sum() > (freed[..., 3] == 255).sum() > 0


def test_a_wall_whose_slope_wavers_has_no_stripes() -> None:
    """The map is too coarse on a wall for a bend to be a crease; on a face the same bend is one."""
    hit = np.arange(20, dtype=np.int32)[:, None].repeat(20, 1)
    waver = np.where(np.arange(20) % 4 < 2, 0, 60).astype(np.uint8)
    wood = np.ones((20, 20), dtype=bool)
    assert ink_of(hit, np.tile(waver + np.uint8(40), (20, 1)), wood, 0.5).max() == 0
    assert ink_of(hit, np.tile(waver + np.uint8(180), (20, 1)), wood, 0.5).max() == 1


def test_around_a_piece_the_paper_is_white_but_for_its_shadow() -> None:
    """Faint shade all around, in which single directions of the sky show, took a third of the picture."""
    made, surface = plate_with_pocket()
    shown = dots_of(cover(surface, made, PictureSize(400, clear=True)))[..., 3]
    assert ((shown > 0) & (shown < 255)).mean() < 0.2


def test_a_paper_is_the_same_in_one_window_in_many_and_on_top_of_another_step(monkeypatch: pytest.MonkeyPatch) -> None:
    """Only windows are painted that show something else than the step before; not a dot may tell."""
    made = game_board()
    states = list(simulate(made, steps(made), cell=0.8))
    canvas = canvas_for(SLANT, box_of(states[0].after.grid), made.thickness, 500, 375)
    scenes = [scene_of(state.after, look_of(made.stock), SLANT, state.changed()) for state in states]
    many = [painted(scene, SLANT, canvas, Style()).paper for scene in scenes]
    on_top, last = [], None
    for scene in scenes:
        last = painted(scene, SLANT, canvas, Style(), like=last)
        on_top.append(last.paper)
    monkeypatch.setattr(windows, "_WIDE", 10_000)
    monkeypatch.setattr(windows, "_HIGH", 10_000)
    whole = [painted(scene, SLANT, canvas, Style()).paper for scene in scenes]
    for one, other, third in zip(whole, many, on_top, strict=True):
        assert np.array_equal(other, third)
        # In windows of another width the wood is met at places that are rounded otherwise.
        assert (one != other).mean() < 1e-3


def test_what_a_step_leaves_alone_is_not_painted_again() -> None:
    """A pocket in a corner takes few windows of the paper; another wood takes all of them."""
    made, surface = plate_with_pocket()
    bare = replace(surface, top=np.zeros_like(surface.top))
    canvas = canvas_for(SLANT, box_of(surface.grid), made.thickness, 600, 450)
    scene = scene_of(surface, look_of(made.stock), SLANT)
    layout = layout_for(SLANT, canvas, scene.x0, scene.y0, scene.cell, scene.floor)
    differs = scene.packed != scene_of(bare, look_of(made.stock), SLANT).packed
    few, every = (windows.windows_of(layout, one) for one in (differs, np.ones_like(differs)))
    assert 0 < sum(map(dots_in, few)) < 0.4 * sum(map(dots_in, every))


def dots_in(window: windows.PaperWindow) -> int:
    return (window.columns[1] - window.columns[0]) * (window.rows[1] - window.rows[0])


@pytest.mark.parametrize("thickness", [6.0, 12.0, 20.0, 40.0])
def test_no_shade_is_left_at_the_rim_of_a_map(thickness: float) -> None:
    """Beyond the map the table is in the open: a shade that still showed there would end at a straight edge."""
    surface = Surface(Grid(0.0, 0.0, 0.5, 300, 300), thickness, np.zeros((300, 300), dtype=np.float32))
    cells = scene_of(surface, look_of(clock().stock), SLANT).cells
    rim = np.concatenate([part.reshape(-1, 4) for part in (cells[0], cells[-1], cells[:, 0], cells[:, -1])])
    assert np.unique(table_palette(Style())[rim[:, 0] >> 1]).tolist() == [0xFFFFFFFF]
