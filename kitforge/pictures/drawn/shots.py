"""What the camera would see: every part and step as cut, made once for a plan and shared by all documents."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from kitforge.files.artefacts import current, kept_image
from kitforge.model.kit import Face
from kitforge.model.plan import Plan
from kitforge.pictures.same_cuts import SameCuts
from kitforge.print.parallel import DrawingPool, hands
from kitforge.print.raster import SHOP_QUALITY, encoded, jpeg, resized, shown_box, trimmed

if TYPE_CHECKING:
    from concurrent.futures import Future

    from PIL.Image import Image as Dots

    from kitforge.model.kit import Kit, Part
    from kitforge.pictures.shaded.make import LastPainting
    from kitforge.pictures.studio.relief import Relief
    from kitforge.surface.figures import Areas, FloorLeft
    from kitforge.surface.heightmap import Surface, SurfaceState

STEP_DOTS = 1200, 900
_DRAWN = 1440, 1080
_MESH = 6
"""Dots of a drawn picture after which its dots and those of the smaller one begin at the same place: five of them."""
_LARGER = 1.5
_BEFORE = 300, 225


@dataclass(frozen=True, slots=True, eq=False)
class CutPart:
    """A part as cut: its surface after the last step, its areas mm², and its thinnest flat floor.

    relief: what cutters left in its face that are not flat, None where all are.
    """

    part: Part
    surface: Surface
    areas: Areas
    floor: FloorLeft | None
    relief: Relief | None = None


@dataclass(frozen=True, slots=True)
class StepShot:
    """A step. after: the stock with the step's cut picked out, a JPEG of 1200 x 900 dots on white, as a shop takes it;
    before: the stock as the step finds it, a PNG of 300 x 225 dots, clear; box: left, top, right, bottom of what is
    shown after it, dots; larger: how much larger an inset shows the cut, 1 where there is none."""

    after: bytes
    before: bytes
    box: tuple[int, int, int, int]
    larger: float


@dataclass(frozen=True, slots=True, eq=False)
class Shots:
    """The parts as cut by key, and the pictures of the steps by theirs."""

    parts: Mapping[str, CutPart]
    steps: Mapping[str, StepShot]


def shots_of(kit: Kit, plan: Plan) -> Shots:
    """Return the pictures of a plan's steps and what they were cut from; the last plan's are kept."""
    return _shots(SameCuts(plan, kit.parts))


@lru_cache(maxsize=1)
def _shots(same: SameCuts) -> Shots:
    found: dict[str, CutPart] = {}
    steps: dict[str, Future[StepShot]] = {}
    with hands() as helping:
        for part in same.parts:
            found[part.key] = _cut(part, same.plan, helping, steps)
        return Shots(found, {key: shot.result() for key, shot in steps.items()})


def _cut(part: Part, plan: Plan, helping: DrawingPool, shots: dict[str, Future[StepShot]]) -> CutPart:
    """Cut a part; the pictures of its steps are handed out and added to `shots`."""
    from kitforge.pictures.shaded.make import LastPainting
    from kitforge.pictures.studio.relief import ReliefRecord
    from kitforge.surface.figures import areas_of, floor_left
    from kitforge.surface.heightmap import blank, simulate

    steps, record, last = plan.steps_of(part.key), ReliefRecord(), LastPainting()
    surface = blank(part, steps)
    for state in simulate(part, steps):
        surface = state.after
        record.take(state)
        if state.step.part.key == part.key:
            shots[state.step.key] = helping.give(_shot, state, last)
    free = surface.freed(part)
    return CutPart(part, surface, areas_of(surface, part), floor_left(free, part), record.relief())


def _shot(state: SurfaceState, last: LastPainting) -> StepShot:
    """Return the pictures of a step, kept or drawn anew. They read the maps before and after, and the wood's look."""
    from kitforge.pictures.shaded.wood import look_of

    store = current()
    if store is None:
        return _shot_drawn(state, last)
    parts = (state.before, state.after, look_of(state.step.part.stock), state.step.face)
    keys = store.keys(("step-after-jpeg", "step-before-png", "step-json"), *parts)
    after, before, said = (store.cache.get(key) for key in keys)
    if after is not None and before is not None and said is not None:
        left, top, right, bottom, larger = json.loads(said)
        return StepShot(after, before, (left, top, right, bottom), larger)
    store.missed()
    shot = _shot_drawn(state, last)
    more = json.dumps([*shot.box, shot.larger]).encode()
    for key, data in zip(keys, (shot.after, shot.before, more), strict=True):
        store.cache.put(key, data)
    return shot


def _shot_drawn(state: SurfaceState, last: LastPainting) -> StepShot:
    """Return the pictures of a step; the large one is drawn larger with hard edges, which making it smaller smooths."""
    from kitforge.pictures.shaded.make import PictureSize, picture_after, picture_before

    image, larger = picture_after(state, PictureSize(*_DRAWN, finer=1), last=last)
    before = picture_before(state, PictureSize(*_BEFORE, clear=True), last=last)
    shop, box = _for_shop(image)
    return StepShot(jpeg(shop, SHOP_QUALITY), encoded(before, level=1), box, larger)


def _for_shop(image: Dots) -> tuple[Dots, tuple[int, int, int, int]]:
    """Return a picture on white at the size for the shop, and the box of what it shows; white is not made smaller."""
    from PIL import Image, ImageChops

    left, top, right, bottom = ImageChops.invert(image).getbbox() or (0, 0, *image.size)
    left, top = max(0, left // _MESH - 2) * _MESH, max(0, top // _MESH - 2) * _MESH
    right, bottom = (
        min(size, (end // _MESH + 3) * _MESH) for end, size in zip((right, bottom), image.size, strict=True)
    )
    size = (right - left) * STEP_DOTS[0] // _DRAWN[0], (bottom - top) * STEP_DOTS[1] // _DRAWN[1]
    small = image.crop((left, top, right, bottom)).resize(size, Image.Resampling.BICUBIC)
    x, y = left * STEP_DOTS[0] // _DRAWN[0], top * STEP_DOTS[1] // _DRAWN[1]
    shop = Image.new("RGB", STEP_DOTS, (255, 255, 255))
    shop.paste(small, (x, y))
    box = shown_box(small)
    if box == (0, 0, *small.size):
        return shop, shown_box(shop)
    return shop, (box[0] + x, box[1] + y, box[2] + x, box[3] + y)


def _drawn(free: Surface, part: Part, width: float, helping: DrawingPool, face: Face = Face.TOP) -> Dots:
    """Return a part alone on clear ground, its picture trimmed, about `width` dots wide, kept or drawn anew."""
    from kitforge.pictures.shaded.wood import look_of

    box = part.outline.bounds
    parts = (free, look_of(part.stock), (box.left, box.bottom, box.right, box.top), float(width), face)
    return kept_image("part", lambda: (_part_drawn(free, part, width, helping, face), None), *parts)[0]


def _part_drawn(free: Surface, part: Part, width: float, helping: DrawingPool, face: Face) -> Dots:
    """Return the picture of a part; drawn larger as steps are."""
    from kitforge.pictures.shaded.make import PictureSize, free_picture

    large = PictureSize(max(60, round(width * _LARGER)), clear=True, finer=1)
    return _smaller(trimmed(free_picture(free, part, large, helping.each, face)), 1 / _LARGER)


def _smaller(image: Dots, share: float) -> Dots:
    """Return a picture at a share of its size."""
    return resized(image, (max(1, round(image.width * share)), max(1, round(image.height * share))))


@lru_cache(maxsize=32)
def thumbnail(cut: CutPart, width: int, face: Face = Face.TOP) -> Dots:
    """Return a small clear picture of a part as cut, one of its faces up."""
    with hands() as helping:
        return _drawn(cut.surface.freed(cut.part), cut.part, width, helping, face)
