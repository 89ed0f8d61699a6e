"""What a step cuts is found at a glance: in colour, in grey, on dark and on light wood, and however small it is."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from surface_builders import cutter, operation, part, steps

from kitforge.geometry.shapes import circle, rectangle
from kitforge.model.kit import OperationKind, Part
from kitforge.model.path import Path
from kitforge.pictures.shaded.make import PictureSize, picture_after, picture_before
from kitforge.pictures.shaded.pointing import grown
from kitforge.surface.heightmap import SurfaceState, simulate

PAPER = PictureSize(800, 600, finer=1)


def state_of(shapes: list[Path], depth: float, colour: str = "#8a5a3c", wide: float = 3.0) -> SurfaceState:
    """Return a board of 400 x 300 mm after one pocket, in a wood of a colour."""
    made = part(
        operation(OperationKind.POCKET, shapes, depth, cutter(wide)), outline=rectangle((400, 300), centre=(0, 0))
    )
    return next(iter(simulate(coloured(made, colour), steps(coloured(made, colour)), cell=0.5)))


def coloured(made: Part, colour: str) -> Part:
    stock = replace(made.stock, material=replace(made.stock.material, colour=colour))
    return replace(made, stock=stock)


def grey_of(state: SurfaceState) -> np.ndarray:
    return np.asarray(picture_after(state, PAPER)[0].convert("L")).astype(int)


@pytest.mark.parametrize("colour", ["#3b2417", "#a0522d", "#f2e3c6"], ids=["dark", "red", "pale"])
@pytest.mark.parametrize("shape", [circle((120, 60), 5), rectangle((150, 120), centre=(0, 0))], ids=["hole", "pocket"])
def test_the_cut_of_a_step_stands_out_in_grey_on_every_wood(colour: str, shape: Path) -> None:
    """Where the cut is the picture has both much lighter and much darker dots, side by side."""
    before, after = grey_of(state_of([], 6.0, colour)), grey_of(state_of([shape], 6.0, colour))
    row, column = np.nonzero(np.abs(after - before) > 40)
    found = after[row.min() : row.max() + 1, column.min() : column.max() + 1]
    assert np.percentile(found, 99) - np.percentile(found, 5) > 60


def test_a_small_hole_gets_an_inset_and_a_large_pocket_none() -> None:
    """A hole of 5 mm in a board of 400 mm is shown five times as large, a pocket of half its width as it is."""
    assert picture_after(state_of([circle((120, 60), 5)], 6.0), PAPER)[1] == 5.0
    assert picture_after(state_of([rectangle((200, 150), centre=(0, 0))], 6.0), PAPER)[1] == 1.0


def test_small_cuts_close_together_share_an_inset() -> None:
    """Two holes side by side are shown together, so not as large as one of two that lie far apart."""
    near = [circle((0, 0), 5), circle((25, 0), 5)]
    far = [circle((-150, 0), 5), circle((150, 0), 5)]
    together, apart = (picture_after(state_of(shapes, 6.0), PAPER)[1] for shapes in (near, far))
    assert 2.0 <= together < apart == 5.0


def test_the_inset_hides_no_cut() -> None:
    """Four holes far from each other are all seen, and one of them once more in the inset."""
    from scipy.ndimage import label

    holes = [circle((x, y), 5) for x in (-150, 150) for y in (-100, 100)]
    rgb = np.asarray(picture_after(state_of(holes, 6.0, "#f2e3c6"), PAPER)[0].convert("RGB")).astype(int)
    _, count = label(grown(rgb[..., 0] - rgb[..., 2] > 90, 1.0))
    assert count == 5


def test_the_picture_before_shows_what_the_step_finds() -> None:
    """Before a board's first step it is bare; after a pocket the same dots are covered and the pocket is seen."""
    state = state_of([rectangle((150, 120), centre=(0, 0))], 6.0)
    paper = PictureSize(420, 315, clear=True)
    before = np.asarray(picture_before(state, paper)).astype(int)
    later = np.asarray(picture_before(replace(state, before=state.after), paper)).astype(int)
    assert (before.shape, later.shape) == ((315, 420, 4), (315, 420, 4))
    assert np.array_equal(before[..., 3] == 255, later[..., 3] == 255)
    bare = np.asarray(picture_before(state_of([], 6.0), paper)).astype(int)
    assert np.array_equal(before, bare)
    assert np.abs(before - later).max() > 40


def test_grown_masks_are_octagons_of_the_asked_size() -> None:
    """A single dot grows by the distance along and across, and by no more than 15 % beyond it anywhere."""
    mask = np.zeros((61, 61), dtype=bool)
    mask[30, 30] = True
    row, column = np.nonzero(grown(mask, 10.0))
    far = np.hypot(row - 30, column - 30)
    assert 10 <= far.max() <= 14
    assert np.array_equal(grown(mask, 0.0), mask)
