"""What the camera would see: every part and step as cut, made once for a plan and shared by all documents."""

from __future__ import annotations

import io
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from kitforge.plan import Plan
from kitforge.print.pictures.raster import encoded, trimmed

if TYPE_CHECKING:
    from PIL.Image import Image as Dots

    from kitforge.kit import Kit, Part
    from kitforge.surface.figures import Areas, FloorLeft
    from kitforge.surface.heightmap import Surface

STEP_DOTS = 1600, 1200
_MOST_PIECES = 8
_GAP = 0.05


@dataclass(frozen=True, slots=True, eq=False)
class CutPart:
    """A part as cut: its surface after the last step, its areas mm², and its thinnest floor."""

    part: Part
    surface: Surface
    areas: Areas
    floor: FloorLeft | None


@dataclass(frozen=True, slots=True, eq=False)
class Shots:
    """The parts as cut by key, and by step key a PNG of the stock after that step with its cut picked out,
    1600 x 1200 dots with hard edges: it is made smaller for every use, which smooths them."""

    parts: Mapping[str, CutPart]
    steps: Mapping[str, bytes]


class _Same:
    """A plan that is equal to itself alone, so that it can be looked up without comparing all of it."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan

    def __hash__(self) -> int:
        return id(self.plan)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.plan is self.plan


def shots_of(kit: Kit, plan: Plan) -> Shots:
    """Return the pictures of a plan's steps and what they were cut from; the last plan's are kept."""
    return _shots(_Same(plan), kit.parts)


@lru_cache(maxsize=1)
def _shots(same: _Same, parts: tuple[Part, ...]) -> Shots:
    found: dict[str, CutPart] = {}
    steps: dict[str, bytes] = {}
    for part in parts:
        found[part.key], shots = _cut(part, same.plan)
        steps |= shots
    return Shots(found, steps)


def _cut(part: Part, plan: Plan) -> tuple[CutPart, dict[str, bytes]]:
    from kitforge.surface.figures import areas_of, floor_left
    from kitforge.surface.heightmap import blank, simulate
    from kitforge.surface.pictures.make import Paper, after

    steps = plan.steps_of(part.key)
    surface = blank(part, steps)
    shots = {}
    for state in simulate(part, steps):
        surface = state.after
        shots[state.step.key] = after(state, Paper(*STEP_DOTS, finer=1))
    free = surface.freed(part)
    return CutPart(part, surface, areas_of(surface, part), floor_left(free, part)), shots


def portrait(shots: Shots, kit: Kit, width: int, height: int, *, clear: bool = False) -> bytes:
    """Return a PNG of the finished parts, `width` x `height` dots: a single part fills it, several share one scale."""
    from PIL import Image

    ground = Image.new("RGBA", (width, height), (255, 255, 255, 0 if clear else 255))
    pieces = _pieces(shots, kit, width, height)
    for image, x, y in pieces:
        ground.alpha_composite(image, (max(0, x), max(0, y)))
    return encoded(ground if clear else ground.convert("RGB"))


def _shown(kit: Kit) -> list[Part]:
    """Every copy while there are few, else every different part, largest first."""
    parts = sorted(kit.parts, key=lambda part: (-abs(part.outline.area), part.key))
    copies = [part for part in parts for _ in range(part.count)]
    return copies if len(copies) <= _MOST_PIECES else parts[:_MOST_PIECES]


def _pieces(shots: Shots, kit: Kit, width: int, height: int) -> list[tuple[Dots, int, int]]:
    """Return the pictures of the pieces with where their upper left corners lie."""
    shown = _shown(kit)
    sizes = {part.key: _size_of(part) for part in shown}
    gap = _GAP * min(width, height) if len(shown) > 1 else 0.0
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
    from kitforge.surface.pictures.view import SLANT

    box, thick = part.outline.bounds, part.stock.actual
    corners = [SLANT.turned(x, y) for x in (box.left, box.right) for y in (box.bottom, box.top)]
    across = max(u for u, _ in corners) - min(u for u, _ in corners)
    up = max(v for _, v in corners) - min(v for _, v in corners)
    # The shadow reaches about as far beside the part as the part is thick.
    return across + thick, up * SLANT.lift + thick * (1 + SLANT.height)


def _portrait_of(cut: CutPart, width: float) -> Dots:
    """Return a part alone, its picture trimmed, about `width` dots wide."""
    from PIL import Image

    from kitforge.surface.pictures.make import Paper, cover

    png = cover(cut.surface, cut.part, Paper(max(40, round(width)), clear=True))
    return trimmed(Image.open(io.BytesIO(png)))


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


def thumbnail(shots: Shots, part: Part, width: int) -> bytes:
    """Return a small clear PNG of a part as cut."""
    return encoded(_portrait_of(shots.parts[part.key], width))
