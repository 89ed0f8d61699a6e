"""The parts from above as they come off the machine: wood, grain, and pockets shaded by their depth."""

from __future__ import annotations

import hashlib
import random
from collections.abc import Sequence
from typing import TYPE_CHECKING

from shapely import LineString, MultiLineString, Polygon, union_all
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from kitforge.language import say
from kitforge.model.kit import Grain, OperationKind
from kitforge.print.svg import Picture, PlanView, SvgCanvas, area_data, path_data

if TYPE_CHECKING:
    from kitforge.model.kit import Part
    from kitforge.model.steps import Step

_GAP = 8.0


def cover_picture(parts: Sequence[Part], steps: Sequence[Step], width: float, height: float) -> Picture:
    """Return up to six different parts, largest first, at one scale in rows that fill the box."""
    shown = sorted(parts, key=lambda part: (-abs(part.outline.area), part.key))[:6]
    scale, rows = _arrange(shown, width, height)
    canvas = SvgCanvas(width, height)
    block = sum(max(part.outline.bounds.height for part in row) * scale for row in rows) + _GAP * (len(rows) - 1)
    y = (height - block) / 2
    for row in rows:
        tall = max(part.outline.bounds.height for part in row) * scale
        x = (width - sum(part.outline.bounds.width * scale for part in row) - _GAP * (len(row) - 1)) / 2
        for part in row:
            box = part.outline.bounds
            bottom = y + (tall + box.height * scale) / 2
            draw_finished(canvas, part, steps, PlanView(scale, x - box.left * scale, bottom + box.bottom * scale))
            x += box.width * scale + _GAP
        y += tall + _GAP
    names = ", ".join(part.title for part in shown)
    return canvas.finish(say("The finished parts from above: {names}.", names=names))


def draw_finished(canvas: SvgCanvas, part: Part, steps: Sequence[Step], view: PlanView) -> None:
    """Draw one part as cut: wood, pockets by depth, holes, then the grain over what is left, then edges and shade."""
    outline = part.outline.to_polygon(0.05).buffer(0)
    wood = part.stock.material.colour
    canvas.path(area_data(translate(outline, 1.1 / view.scale, -1.1 / view.scale), view), fill="#000000", opacity=0.13)
    canvas.path(path_data([part.outline], view), fill=wood)
    cuts = [(step, step.cut.intersection(outline)) for step in _shown(part, steps) if step.cut is not None]
    for step, area in cuts:
        canvas.path(area_data(area, view), fill=_floor_colour(step, wood))
    left = outline.difference(union_all([area for step, area in cuts if step.operation.through]))
    canvas.path(area_data(_grain(part, left, view), view), stroke=_darker(wood, 0.6), width=0.16, opacity=0.42)
    deeper: BaseGeometry = Polygon()
    for step, area in reversed(cuts):
        _draw_edges(canvas, area.difference(deeper), _depth_share(step), view, wood)
        deeper = deeper.union(area)
    canvas.path(path_data([part.outline], view), stroke=_darker(wood, 0.4), width=0.3)


def _shown(part: Part, steps: Sequence[Step]) -> list[Step]:
    """The steps that leave a mark on the part, shallow ones first."""
    mine = [step for step in steps if step.part.key == part.key and step.operation.does is not OperationKind.FACE]
    return sorted(mine, key=lambda step: (step.depth, step.number))


def _depth_share(step: Step) -> float:
    return min(1.0, step.depth / max(step.wood, 1e-9))


def _floor_colour(step: Step, wood: str) -> str:
    """A pocket is darker the deeper it is; a hole shows the paper."""
    return "#ffffff" if step.operation.through else _darker(wood, 0.9 - 0.32 * _depth_share(step))


def _draw_edges(canvas: SvgCanvas, area: BaseGeometry, depth: float, view: PlanView, wood: str) -> None:
    """Light from the upper left: the near wall lies in shade, the far one catches light."""
    reach = min(1.2, 0.4 + 1.4 * depth) / view.scale
    shade = area.difference(translate(area, reach, -reach))
    canvas.path(area_data(shade, view), fill="#000000", opacity=0.3)
    glow = area.difference(translate(area, -reach * 0.5, reach * 0.5))
    canvas.path(area_data(glow, view), fill="#ffffff", opacity=0.22)
    canvas.path(area_data(area, view), stroke=_darker(wood, 0.4), width=0.13)


def _arrange(parts: Sequence[Part], width: float, height: float) -> tuple[float, list[list[Part]]]:
    """Return the largest scale, up to full size, and the rows of parts that go with it."""
    best: tuple[float, list[list[Part]]] = (0.0, [list(parts)])
    for count in range(1, len(parts) + 1):
        rows = _rows(parts, count)
        across = max(sum(p.outline.bounds.width for p in row) for row in rows)
        down = sum(max(p.outline.bounds.height for p in row) for row in rows)
        most = max(len(row) for row in rows)
        free = (width - _GAP * (most - 1) - 4) / across, (height - _GAP * (len(rows) - 1) - 4) / down
        best = max(best, (min(*free, 1.0), rows), key=lambda found: found[0])
    return best


def _rows(parts: Sequence[Part], count: int) -> list[list[Part]]:
    """Cut the list into `count` rows of about equal width."""
    share = sum(part.outline.bounds.width for part in parts) / count
    rows: list[list[Part]] = [[]]
    for part in parts:
        used = sum(p.outline.bounds.width for p in rows[-1])
        if rows[-1] and used + part.outline.bounds.width / 2 > share and len(rows) < count:
            rows.append([])
        rows[-1].append(part)
    return rows


def _grain(part: Part, outline: BaseGeometry, view: PlanView) -> BaseGeometry | None:
    """Fine wandering lines along the grain, the same for the same part every time."""
    if part.stock.grain is Grain.NONE:
        return None
    seed = int.from_bytes(hashlib.sha256(part.key.encode()).digest()[:8], "big")
    dice = random.Random(seed)
    left, bottom, right, top = outline.bounds
    along_x = part.stock.grain is Grain.LENGTH
    start, end, low, high = (left, right, bottom, top) if along_x else (bottom, top, left, right)
    lines: list[list[tuple[float, float]]] = []
    at = low
    while at < high and len(lines) < 400:
        at += dice.uniform(0.7, 2.6) / view.scale
        lines.append(_wander(dice, start, end, at, 0.5 / view.scale))
    runs = [[(x, y) if along_x else (y, x) for x, y in line] for line in lines]
    return MultiLineString([LineString(run) for run in runs]).intersection(outline)


def _wander(dice: random.Random, start: float, end: float, at: float, reach: float) -> list[tuple[float, float]]:
    count = 14
    step, drift = (end - start) / count, 0.0
    points: list[tuple[float, float]] = []
    for index in range(count + 1):
        drift = drift * 0.8 + dice.uniform(-reach, reach) * 0.6
        points.append((start + index * step, at + drift))
    return points


def _darker(colour: str, share: float) -> str:
    """Return a '#rrggbb' colour darkened to `share`, warmer as it darkens, as wood is."""
    powers = zip((1, 3, 5), (0.85, 1.0, 1.25), strict=True)
    channels = (int(colour[index : index + 2], 16) * share**power for index, power in powers)
    return "#" + "".join(f"{min(255, round(value)):02x}" for value in channels)
