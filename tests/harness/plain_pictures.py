"""Pictures of the wood left plain, for tests that read words, figures and drawings: painting takes most of their time.

Everything else of a booklet is made as ever: the maps that sizes are measured on, the drawings, the assembly's letters.
A conftest takes `plain_pictures` over as its fixture; what is kept for other tests is made with `painted`.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import pytest
from smaller import forgotten, make_small

from kitforge.pictures.shaded import assembly, make
from kitforge.pictures.shaded.make import PictureSize
from kitforge.pictures.shaded.view import Box, PictureView, box_of, canvas_for
from kitforge.pictures.studio import hero
from kitforge.pictures.studio.camera import Camera
from kitforge.pictures.studio.photograph import GROUND_DOTS, Photo, photograph
from kitforge.surface.heightmap import Surface, SurfaceState

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_FEWER = 4
"""White paper of a quarter of the dots across and up is as white, and soon made smaller and packed."""
_PAINTED = (
    (make, "_dots", make._dots),
    (make, "_dots_before", make._dots_before),
    (make, "_dots_after", make._dots_after),
    (assembly, "_dots", assembly._dots),
    (hero, "photograph", photograph),
)


@pytest.fixture(scope="module", autouse=True)
def plain_pictures(request: pytest.FixtureRequest) -> Iterator[None]:
    """Leave the wood of pictures plain in the tests of a module that does not say `PAINTED = True`."""
    if getattr(request.module, "PAINTED", False):
        yield
    else:
        with left_plain():
            yield


@contextmanager
def left_plain() -> Iterator[None]:
    """Leave the wood of pictures plain until the block ends; in such a block nothing changes."""
    if make._dots is _plain:
        yield
        return
    with pytest.MonkeyPatch.context() as patch:
        make_small(patch.setattr, _FEWER)
        patch.setattr(make, "_dots", _plain)
        patch.setattr(make, "_dots_before", _plain_before)
        patch.setattr(make, "_dots_after", _plain_after)
        patch.setattr(assembly, "_dots", _plain_assembly)
        patch.setattr(hero, "photograph", _plain_photograph)
        forgotten()
        yield
    forgotten()


@contextmanager
def painted() -> Iterator[None]:
    """Paint pictures until the block ends, also where they are left plain; else nothing changes."""
    if make._dots is not _plain:
        yield
        return
    with pytest.MonkeyPatch.context() as patch:
        make_small(patch.setattr, 1)
        for module, name, painting in _PAINTED:
            patch.setattr(module, name, painting)
        forgotten()
        yield
    forgotten()


def _plain(
    surface: Surface,
    _look: object,
    view: PictureView,
    paper: PictureSize,
    _marked: object,
    box: Box | None,
    *_each: object,
) -> NDArray[np.uint8]:
    """Return white paper as large as the picture of a surface would be."""
    canvas = canvas_for(view, box or box_of(surface.grid), surface.thickness, paper.width, paper.height)
    return _white(canvas.rows * paper.finer, canvas.columns * paper.finer)


def _plain_before(
    surface: Surface, look: object, view: PictureView, paper: PictureSize, *_face_and_last: object
) -> NDArray[np.uint8]:
    return _plain(surface, look, view, paper, None, None)


def _plain_after(
    state: SurfaceState, paper: PictureSize, view: PictureView, *_last: object
) -> tuple[NDArray[np.uint8], float]:
    return _plain(state.after, None, view, paper, None, None), 1.0


def _plain_assembly(scene: assembly._Scene, *_leads_and_view: object) -> NDArray[np.uint8]:
    return _white(scene.eye.rows, scene.eye.columns)


def _plain_photograph(_stage: object, camera: Camera, *_rest: object) -> Photo:
    import numpy as np

    rows, columns = camera.rows, camera.columns
    ground = np.ones((-(-rows // GROUND_DOTS), -(-columns // GROUND_DOTS)), dtype=np.float32)
    white = _white(rows, columns)
    return Photo(white, ground, 0, (0, 0, columns, rows))


def _white(rows: int, columns: int) -> NDArray[np.uint8]:
    import numpy as np

    return np.full((rows, columns, 4), 255, dtype=np.uint8)
