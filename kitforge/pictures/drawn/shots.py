"""What the camera would see: every part and step as cut, made once for a plan and shared by all documents."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from kitforge.files.artefacts import current, kept_image
from kitforge.model.identity import IdentityKey
from kitforge.model.kit import Face
from kitforge.model.plan import Plan
from kitforge.print.parallel import DrawingPool, hands
from kitforge.print.raster import encoded, levelled, resized, trimmed

if TYPE_CHECKING:
    from concurrent.futures import Future

    from PIL.Image import Image as Dots

    from kitforge.model.kit import Kit, Part
    from kitforge.surface.figures import Areas, FloorLeft
    from kitforge.surface.heightmap import Surface, SurfaceState

STEP_DOTS = 1200, 900
PORTRAIT_DOTS = 1840, 1380
"""The largest portrait that documents ask for: smaller ones are made from the same pieces."""
_DRAWN = 1440, 1080
_LARGER = 1.5
_BEFORE = 420, 315
_MOST_PIECES = 8
_GAP = 0.05


@dataclass(frozen=True, slots=True, eq=False)
class CutPart:
    """A part as cut: its surface after the last step, its areas mm², and its thinnest flat floor.

    portrait: the part alone on clear ground, `width` dots wide with the rim that is cut off; None for parts that a
    portrait of the kit does not show.
    """

    part: Part
    surface: Surface
    areas: Areas
    floor: FloorLeft | None
    portrait: Dots | None = None
    width: float = 0.0


@dataclass(frozen=True, slots=True)
class StepShot:
    """A step as PNG. after: the stock with the step's cut picked out, 1200 x 900 dots on white, as a shop takes it;
    before: the stock as the step finds it, 420 x 315 dots, clear; larger: how much larger an inset shows the cut, 1
    where there is none."""

    after: bytes
    before: bytes
    larger: float


@dataclass(frozen=True, slots=True, eq=False)
class Shots:
    """The parts as cut by key, and the pictures of the steps by theirs."""

    parts: Mapping[str, CutPart]
    steps: Mapping[str, StepShot]


def shots_of(kit: Kit, plan: Plan) -> Shots:
    """Return the pictures of a plan's steps and what they were cut from; the last plan's are kept."""
    return _shots(IdentityKey(plan), kit.parts)


@lru_cache(maxsize=1)
def _shots(same: IdentityKey[Plan], parts: tuple[Part, ...]) -> Shots:
    found: dict[str, CutPart] = {}
    steps: dict[str, Future[StepShot]] = {}
    shown = _shown(parts)
    keys = {part.key for part in shown}
    scale = _arranged([_size_of(part) for part in shown], *PORTRAIT_DOTS, _gap(shown, *PORTRAIT_DOTS))[0]
    with hands() as helping:
        for part in parts:
            width = _size_of(part)[0] * scale if part.key in keys else 0.0
            found[part.key] = _cut(part, same.one, width, helping, steps)
        return Shots(found, {key: shot.result() for key, shot in steps.items()})


def _cut(part: Part, plan: Plan, width: float, helping: DrawingPool, shots: dict[str, Future[StepShot]]) -> CutPart:
    """Cut a part; the pictures of its steps are handed out and added to `shots`."""
    from kitforge.surface.figures import areas_of, floor_left
    from kitforge.surface.heightmap import blank, simulate

    steps = plan.steps_of(part.key)
    surface = blank(part, steps)
    for state in simulate(part, steps):
        surface = state.after
        if state.step.part.key == part.key:
            shots[state.step.key] = helping.give(_shot, state)
    free = surface.freed(part)
    portrait = _drawn(free, part, width, helping) if width else None
    return CutPart(part, surface, areas_of(surface, part), floor_left(free, part), portrait, width)


def _shot(state: SurfaceState) -> StepShot:
    """Return the pictures of a step, kept or drawn anew. They read the maps before and after, and the wood's look."""
    from kitforge.pictures.shaded.wood import look_of

    store = current()
    if store is None:
        return _shot_drawn(state)
    parts = (state.before, state.after, look_of(state.step.part.stock), state.step.face)
    keys = [store.key(kind, *parts) for kind in ("step-after-png", "step-before-png", "step-json")]
    after, before, larger = (store.cache.get(key) for key in keys)
    if after is not None and before is not None and larger is not None:
        return StepShot(after, before, float(json.loads(larger)))
    store.missed()
    shot = _shot_drawn(state)
    for key, data in zip(keys, (shot.after, shot.before, json.dumps(shot.larger).encode()), strict=True):
        store.cache.put(key, data)
    return shot


def _shot_drawn(state: SurfaceState) -> StepShot:
    """Return the pictures of a step; the large one is drawn larger with hard edges, which making it smaller smooths."""
    from PIL import Image

    from kitforge.pictures.shaded.make import PictureSize, picture_after, picture_before

    image, larger = picture_after(state, PictureSize(*_DRAWN, finer=1))
    before = picture_before(state, PictureSize(*_BEFORE, clear=True))
    shop = levelled(image.resize(STEP_DOTS, Image.Resampling.LANCZOS))
    return StepShot(encoded(shop), encoded(before, level=1), larger)


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


def portrait(shots: Shots, kit: Kit, width: int, height: int, *, clear: bool = False) -> bytes:
    """Return a PNG of the finished parts, `width` x `height` dots: a single part fills it, several share one scale."""
    return encoded(portrait_dots(shots, kit, width, height, clear=clear))


def portrait_dots(shots: Shots, kit: Kit, width: int, height: int, *, clear: bool = False) -> Dots:
    """Return the picture of `portrait`, not yet as PNG."""
    from PIL import Image

    ground = Image.new("RGBA", (width, height), (255, 255, 255, 0 if clear else 255))
    for image, x, y in _pieces(shots, kit, width, height):
        ground.alpha_composite(image, (max(0, x), max(0, y)))
    return ground if clear else ground.convert("RGB")


def _gap(shown: Sequence[Part], width: int, height: int) -> float:
    return _GAP * min(width, height) if len(shown) > 1 else 0.0


def _shown(parts: Sequence[Part]) -> list[Part]:
    """Every copy while there are few, else every different part, largest first."""
    parts = sorted(parts, key=lambda part: (-abs(part.outline.area), part.key))
    copies = [part for part in parts for _ in range(part.count)]
    return copies if len(copies) <= _MOST_PIECES else parts[:_MOST_PIECES]


def _pieces(shots: Shots, kit: Kit, width: int, height: int) -> list[tuple[Dots, int, int]]:
    """Return the pictures of the pieces with where their upper left corners lie."""
    shown = _shown(kit.parts)
    sizes = {part.key: _size_of(part) for part in shown}
    gap = _gap(shown, width, height)
    scale, rows = _arranged([sizes[part.key] for part in shown], width, height, gap)
    images = {key: _portrait_of(shots.parts[key], size[0] * scale) for key, size in sizes.items()}
    placed, at = [], 0
    tall = [max(images[shown[i].key].height for i in row) for row in rows]
    y = (height - sum(tall) - gap * (len(rows) - 1)) / 2
    for row, down in zip(rows, tall, strict=True):
        own = [images[shown[i].key] for i in row]
        x = (width - sum(image.width for image in own) - gap * (len(own) - 1)) / 2
        for image in own:
            placed.append((image, round(x), round(y + (down - image.height) / 2)))
            x += image.width + gap
            at += 1
        y += down + gap
    return placed


def _size_of(part: Part) -> tuple[float, float]:
    """Return how wide and how high a part is seen from the slant, mm."""
    from kitforge.pictures.shaded.view import SLANT

    box, thick = part.outline.bounds, part.stock.actual
    corners = [SLANT.turned(x, y) for x in (box.left, box.right) for y in (box.bottom, box.top)]
    across = max(u for u, _ in corners) - min(u for u, _ in corners)
    up = max(v for _, v in corners) - min(v for _, v in corners)
    # The shadow reaches about as far beside the part as the part is thick.
    return across + thick, up * SLANT.lift + thick * (1 + SLANT.height)


def _portrait_of(cut: CutPart, width: float) -> Dots:
    """Return a part alone, its picture trimmed, about `width` dots wide: made from the one there is if it can be."""
    if cut.portrait is None or width > cut.width * 1.01:
        with hands() as helping:
            return _drawn(cut.surface.freed(cut.part), cut.part, width, helping)
    share = width / cut.width
    return cut.portrait if share > 0.99 else _smaller(cut.portrait, share)


def _arranged(sizes: list[tuple[float, float]], width: int, height: int, gap: float) -> tuple[float, list[list[int]]]:
    """Return the largest scale, dots per mm, at which the pieces stand in rows, and the rows."""
    best: tuple[float, list[list[int]]] = 0.0, []
    for count in range(1, len(sizes) + 1):
        rows = _rows(sizes, count)
        across = max(sum(sizes[i][0] for i in row) for row in rows)
        down = sum(max(sizes[i][1] for i in row) for row in rows)
        most = max(len(row) for row in rows)
        scale = min((width - gap * (most - 1)) / across, (height - gap * (len(rows) - 1)) / down)
        best = max(best, (scale, rows), key=lambda found: found[0])
    return best


def _rows(sizes: list[tuple[float, float]], count: int) -> list[list[int]]:
    """Cut the run of pieces into at most `count` rows of about equal width."""
    share = sum(size[0] for size in sizes) / count
    rows: list[list[int]] = [[]]
    for index, size in enumerate(sizes):
        used = sum(sizes[i][0] for i in rows[-1])
        if rows[-1] and used + size[0] / 2 > share and len(rows) < count:
            rows.append([])
        rows[-1].append(index)
    return rows


def thumbnail(shots: Shots, part: Part, width: int, face: Face = Face.TOP) -> Dots:
    """Return a small clear picture of a part as cut, one of its faces up."""
    cut = shots.parts[part.key]
    return _portrait_of(cut, width) if face is Face.TOP else _turned_over(cut, width)


@lru_cache(maxsize=8)
def _turned_over(cut: CutPart, width: int) -> Dots:
    with hands() as helping:
        return _drawn(cut.surface.freed(cut.part), cut.part, width, helping, Face.BOTTOM)
