"""What need not be worked out for a picture is left out, and not a dot tells. Invented shapes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from scipy.ndimage import uniform_filter
from surface_builders import cutter, game_board, operation, part, steps

from kitforge.geometry.shapes import circle, rectangle
from kitforge.model.kit import OperationKind, Part
from kitforge.pictures.drawn.shots import _DRAWN, STEP_DOTS, _for_shop
from kitforge.pictures.shaded import render, windows
from kitforge.pictures.shaded.layout import Layout
from kitforge.pictures.shaded.light import smoothed
from kitforge.pictures.shaded.palette import Style
from kitforge.pictures.shaded.render import LitScene, painted, scene_of
from kitforge.pictures.shaded.solids import axes_of
from kitforge.pictures.shaded.view import SLANT, PictureView, box_of, canvas_for
from kitforge.pictures.shaded.wood import look_of
from kitforge.pictures.studio.bodies import Plain, Stage
from kitforge.pictures.studio.camera import camera_for
from kitforge.pictures.studio.lamps import LitPoints, lit, strewn
from kitforge.pictures.studio.photograph import GroundPlane, _floor, lights_for
from kitforge.print.raster import shown_box
from kitforge.surface.heightmap import SurfaceState, simulate

WHITE = (255, 255, 255)


def drilled() -> Part:
    """A long board with holes of several depths, one after the other, near its edges and in its middle."""
    at = [((30.0, 20.0), 4.0), ((370.0, 25.0), 12.0), ((200.0, 75.0), 8.0), ((60.0, 130.0), 2.0)]
    holes = [operation(OperationKind.POCKET, [circle(where, 9)], deep, cutter(4)) for where, deep in at]
    return part(*holes, outline=rectangle((400, 150)))


def scenes_of(made: Part) -> list[LitScene]:
    """Return the scenes of a part's steps, each from the whole map."""
    return [_scene(state, made, None) for state in simulate(made, steps(made), cell=0.5)]


def _scene(state: SurfaceState, made: Part, like: LitScene | None) -> LitScene:
    return scene_of(state.after, look_of(made.stock), SLANT, state.changed(), like)


@pytest.mark.parametrize("made", [drilled(), game_board()], ids=["holes", "board"])
def test_light_is_the_same_on_top_of_any_other_step(made: Part, monkeypatch: pytest.MonkeyPatch) -> None:
    """Light is worked out anew only near what changed: whichever step was painted last, not a bit may tell."""
    whole = scenes_of(made)
    lit_cells: list[int] = []
    work = render.cells_lit

    def counted(height: NDArray[np.float32], *args: float, **more: float) -> NDArray[np.uint8]:
        lit_cells.append(height.size)
        return work(height, *args, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(render, "cells_lit", counted)
    for one, state in zip(whole, simulate(made, steps(made), cell=0.5), strict=True):
        for other in whole:
            again = _scene(state, made, other)
            assert np.array_equal(again.cells, one.cells)
            assert np.array_equal(again.height, one.height)
    assert min(lit_cells) < 0.7 * whole[0].height.size


def test_light_of_other_wood_is_not_taken() -> None:
    """End grain lies otherwise where the grain does: such a scene is worked out from the start."""
    made = drilled()
    other = replace(look_of(made.stock), along_x=not look_of(made.stock).along_x)
    for state in simulate(made, steps(made), cell=0.5):
        turned = scene_of(state.after, other, SLANT)
        assert np.array_equal(scene_of(state.after, look_of(made.stock), SLANT, like=turned).cells,
                              scene_of(state.after, look_of(made.stock), SLANT).cells)  # fmt: skip


def test_a_blur_is_that_of_the_library_and_of_a_piece_that_of_the_whole() -> None:
    values = np.random.RandomState(3).uniform(0, 1, (60, 80)).astype(np.float32)
    for radius in (1, 2, 5):
        size = 2 * radius + 1
        blurred = smoothed(values, radius)
        assert blurred == pytest.approx(uniform_filter(uniform_filter(values, size), size), abs=2e-4)
        room = slice(2 * radius, -2 * radius)
        assert np.array_equal(smoothed(values[20:, 10:], radius)[room, room], blurred[20:, 10:][room, room])


@pytest.mark.parametrize("made", [drilled(), game_board()], ids=["holes", "board"])
@pytest.mark.parametrize("style", [Style(), Style(clear=True, hatch=0)], ids=["white", "clear"])
def test_table_and_face_have_the_dots_that_all_cells_would_give(
    made: Part, style: Style, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The open table is not drawn, and nothing is looked for on the uncut face; both are most of a paper."""
    scenes = scenes_of(made)
    canvas = canvas_for(
        SLANT, box_of(next(iter(simulate(made, steps(made), cell=0.5))).after.grid), made.thickness, 700
    )
    few = [painted(scene, SLANT, canvas, style).paper for scene in scenes]
    shown: list[windows.PaperWindow] = []
    found = windows.windows_of

    def all_of_them(layout: Layout, wanted: NDArray[np.bool_], level: object) -> list[windows.PaperWindow]:
        shown.extend(found(layout, wanted, level))  # type: ignore[arg-type]
        return found(layout, np.ones_like(wanted))

    monkeypatch.setattr(render, "windows_of", all_of_them)
    for paper, scene in zip(few, scenes, strict=True):
        assert np.array_equal(painted(scene, SLANT, canvas, style).paper, paper)
    sizes = [(_dots(one.columns, one.rows), one.level) for one in shown]
    assert sum(size for size, _ in sizes) < 0.9 * len(scenes) * canvas.columns * canvas.rows
    assert sum(size for size, level in sizes if level) > 0


def _dots(columns: tuple[int, int], rows: tuple[int, int]) -> int:
    return (columns[1] - columns[0]) * (rows[1] - rows[0])


def pictures() -> Iterator[Image.Image]:
    """Yield pictures on white: one that reaches the edges, ones that do not, and an empty one."""
    dice = np.random.RandomState(8)
    for box in ((0, 0, *_DRAWN), (400, 300, 1000, 700), (7, 11, 1433, 500), (721, 539, 722, 540)):
        image = Image.new("RGB", _DRAWN, WHITE)
        noise = dice.randint(0, 255, (box[3] - box[1], box[2] - box[0], 3)).astype(np.uint8)
        image.paste(Image.fromarray(noise), box[:2])
        ImageDraw.Draw(image).rectangle((box[0], box[1], box[0] + 9, box[1] + 3), fill=(254, 253, 255))
        yield image
    yield Image.new("RGB", _DRAWN, WHITE)


def test_a_picture_for_the_shop_is_that_of_the_whole_paper_made_smaller() -> None:
    for image in pictures():
        shop, box = _for_shop(image)
        whole = image.resize(STEP_DOTS, Image.Resampling.BICUBIC)
        assert np.array_equal(np.asarray(shop), np.asarray(whole))
        assert box == shown_box(whole)


@pytest.mark.parametrize("wall", [False, True], ids=["floor", "wall"])
@pytest.mark.parametrize("rise", [20.0, 42.0, 75.0])
def test_the_ground_is_lit_as_if_every_point_were_looked_at(wall: bool, rise: float) -> None:
    """What can be in no shadow of a lamp is not looked up; the bits are those of points of any kind."""
    stage = Stage()
    ring = np.array([[-60.0, -40.0], [60, -40], [60, 40], [-60, 40], [-60, -40]])
    for low, thick in ((0.0, 8.0), (70.0, 5.0)):
        stage.add_slab(ring, np.array([0.0, 0.0, low]), np.eye(3), thick, Plain("#808080"))
    camera = camera_for(axes_of(PictureView(24.0, rise)), stage.corners(), (500, 500)).wider(200)
    point, way = (np.array([0.0, 40.0, 0.0]), [0.0, -1.0, 0.0]) if wall else (np.zeros(3), [0.0, 0.0, 1.0])
    floor = _floor(camera, GroundPlane(point, np.array(way)))
    lights, count = lights_for(camera.axes, 154.0, 40.0), len(floor.place[0])
    any_points = LitPoints(floor.place, [np.full(count, part, dtype=np.float32) for part in way])
    sparing, every = lit(strewn(stage), [floor, any_points], lights.key)
    assert np.array_equal(sparing.key, every.key)
    assert np.array_equal(sparing.sky, every.sky)
    assert every.key.min() < 0.5
