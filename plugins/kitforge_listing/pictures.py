"""Shop pictures of fixed sizes from the surface as cut."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING

from kitforge.files.artefacts import kept_bytes
from kitforge.pictures.drawn.shots import shots_of
from kitforge.pictures.studio.frames import FRAMES, framed
from kitforge.pictures.studio.hero import hero
from kitforge.pictures.studio.series import series
from kitforge.print.raster import SHOP_QUALITY, jpeg

if TYPE_CHECKING:
    from kitforge.model.kit import Kit
    from kitforge.model.plan import Plan
    from kitforge.pictures.studio.frames import Frame
    from kitforge.pictures.studio.photograph import Photo


def cover_pictures(kit: Kit, plan: Plan) -> Iterator[tuple[str, bytes]]:
    """Yield (name, JPEG) of the finished piece, or else its parts: on a warm floor and on white, in three formats."""
    photo = hero(kit, plan, shots_of(kit, plan))
    for frame in FRAMES:
        yield frame.name, kept_bytes("cover", partial(_cover, photo, frame), photo, frame)


def _cover(photo: Photo, frame: Frame) -> bytes:
    return jpeg(framed(photo, frame), SHOP_QUALITY)


def more_pictures(kit: Kit, plan: Plan) -> Iterator[tuple[str, bytes]]:
    """Yield (name, JPEG), 1200 x 900 dots: all parts on a table, the piece pulled apart, a place of it close by."""
    for name, image in series(kit, plan, shots_of(kit, plan)):
        yield name, jpeg(image, SHOP_QUALITY)


def step_pictures(kit: Kit, plan: Plan) -> Iterator[tuple[str, bytes]]:
    """Yield (name, JPEG) for each step in order, 1200 x 900 dots: 'step-01', 'step-02', ..."""
    shots = shots_of(kit, plan)
    digits = max(2, len(str(len(plan.steps))))
    for step in plan.steps:
        yield f"step-{step.number:0{digits}d}", shots.steps[step.key].after
