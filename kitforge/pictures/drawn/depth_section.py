"""The cut of a step in section: the wood, how thick it is and how deep the cut, with the cutter standing in it.

True to a scale of ISO 5455, which is said; cut wood is hatched as ISO 128-3 has it. Only one place of the cut is shown;
where the cut is wider than the picture, its other wall is left out. Lengths mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from shapely import Polygon, box, maximum_inscribed_circle

from kitforge.language import render_text, say
from kitforge.model.kit import OperationKind
from kitforge.pictures.drawn.cutter import draw_cutter
from kitforge.pictures.drawn.placing import Box, Ground
from kitforge.pictures.drawn.plan_dimensions import ROOM, WORDS, PlanGround, draw_dimensions
from kitforge.pictures.drawn.plan_sizes import Distance, PlanSizes
from kitforge.pictures.drawn.section_layout import SCALES
from kitforge.print.figures import scale_words
from kitforge.print.svg import GREY, INK, PAPER, Picture, PlanView, SvgCanvas, area_data, hatching, num
from kitforge.surface.cutter_shape import reach_at, rise

if TYPE_CHECKING:
    from kitforge.model.steps import Step
    from kitforge.print.figures import Units

_SCALES = tuple(scale for scale in reversed(SCALES) if 0.02 <= scale <= 2.0)
_WOOD, _CUTTER = 0.55, 0.72
"""The share of the picture's height that the wood may take, and of its width between the dimensions that the cutter
may."""
_FOOT, _SPOILBOARD, _ABOVE = 0.6, 2.2, 0.3
"""Room below the wood, and for the spoilboard where the cut reaches into it, and above the cutter, mm of paper."""
_HATCH, _POINTS, _WAVE, _BREAK = 1.3, 24, 0.5, 1.2
"""Between lines of hatching, mm of paper; points on the shape of a cutter; how the line of a break waves, how far below
the upper edge it stands, mm of paper."""
_TRACED = (OperationKind.ENGRAVE, OperationKind.GROOVE, OperationKind.CHAMFER, OperationKind.DRILL)
"""What the cutter makes as wide as it cuts there."""


@dataclass(frozen=True, slots=True)
class CutSection:
    """What is shown: how thick the wood is and how deep the tip goes, mm below the face that depths count from.

    width: of the cut at the face; out: how far the tip goes into the spoilboard.
    """

    wood: float
    depth: float
    width: float
    out: float


def section_of(step: Step) -> CutSection:
    """Return the section through the cut of a step."""
    own = 2 * reach_at(step.cutter, step.depth)
    wide = own if step.operation.does in _TRACED else max(own, _widest(step))
    return CutSection(step.wood, step.depth, wide, step.into_spoilboard)


def _widest(step: Step) -> float:
    """Return how wide the cut is where it is widest, mm."""
    pieces = [piece for piece in step.cut.geoms if not piece.is_empty] if step.cut is not None else []
    return max((2 * maximum_inscribed_circle(piece, 0.1).length for piece in pieces[:1]), default=0.0)


def depth_section(step: Step, units: Units, width: float, height: float) -> Picture:
    """Return the section through the cut of a step, at the largest scale for a room of `width` x `height` mm.

    It is lower than its room where the whole cutter is: so nothing is empty above it.
    """
    one = section_of(step)
    foot = _FOOT + (_SPOILBOARD if one.out else 0.0)
    scale = _scale(step, one, width - 2 * ROOM, height - foot)
    below = foot + one.wood * scale
    _, free = _drawn(step, one, units, (width, height), below, scale)
    canvas, _ = _drawn(step, one, units, (width, height - max(0.0, free)), below, scale)
    return canvas.finish(
        say(
            "Section through the cut, {scale}: {cutter}, {depth} below the face, in wood of {wood}.",
            scale=scale_words(scale),
            cutter=render_text(step.cutter.name),
            depth=units.length(one.depth),
            wood=units.length(one.wood),
        )
    )


def _drawn(
    step: Step, one: CutSection, units: Units, room: tuple[float, float], below: float, scale: float
) -> tuple[SvgCanvas, float]:
    """Return the section in a room of some width and height, and how much of it stays empty above, mm of paper.

    below: how far from its foot the face lies.
    """
    width, height = room
    left, right = ROOM, width - ROOM
    view = PlanView(scale, left, height - below)
    canvas = SvgCanvas(width, height)
    _draw_wood(canvas, step, one, view, right)
    axis = view.x(_wall(one, scale, right - left)) + reach_at(step.cutter, one.depth) * scale
    _draw_cutter(canvas, step, axis, view.y(-one.depth), scale)
    ground = Ground(width, height)
    _draw_sizes(canvas, ground, one, view, units, (left, right))
    # the scale stands where the cutter ends, above the words at the right
    upper = min(taken.top for taken in ground.taken if taken.right > right)
    top = view.y(-one.depth) - step.cutter.overall_length * scale
    beside = min(top + WORDS, upper - 1.0)
    canvas.text(width - 0.3, max(WORDS, beside), scale_words(scale), size=WORDS, anchor="end", halo=True)
    return canvas, min(beside - WORDS, *(taken.top for taken in ground.taken)) - _ABOVE


def _scale(step: Step, one: CutSection, wide: float, tall: float) -> float:
    """Return the largest scale at which wood and cutter have their share of the picture."""
    most = min(_WOOD * tall / one.wood, _CUTTER * wide / step.cutter.diameter)
    return next((scale for scale in _SCALES if scale <= most), _SCALES[-1])


def _wall(one: CutSection, scale: float, wide: float) -> float:
    """Return where the left wall of the cut stands, mm from the left end of the wood."""
    shown = wide / scale
    return max((shown - one.width) / 2, 0.14 * shown)


def _draw_wood(canvas: SvgCanvas, step: Step, one: CutSection, view: PlanView, right: float) -> None:
    shown = (right - view.left) / view.scale
    block, cut = box(0.0, -one.wood, shown, 0.0), _cut(step, one, _wall(one, view.scale, right - view.left))
    left = block.difference(cut)
    if one.out:
        below = box(0.0, -one.wood - _SPOILBOARD / view.scale, shown, -one.wood).difference(cut)
        canvas.path(area_data(below, view), fill="#ececea")
    canvas.path(area_data(left, view), fill="#faf6ef")
    canvas.path(area_data(hatching(left, _HATCH / view.scale), view), stroke=GREY, width=0.15)
    # the wood goes on at both ends: no edge is drawn there
    ends = box(-1.0, -one.wood * 3, 1e-6, one.wood).union(box(shown - 1e-6, -one.wood * 3, shown + 1.0, one.wood))
    canvas.path(area_data(left.boundary.difference(ends), view), stroke=INK, width=0.4)


def _cut(step: Step, one: CutSection, wall: float) -> Polygon:
    """Return what the cutter takes away, from the wall at the left to the one at the right, up to above the face."""
    reach = reach_at(step.cutter, one.depth)
    radii = np.linspace(reach, 0.0, _POINTS, dtype=np.float32)
    heights = np.minimum(rise(step.cutter, radii), one.depth) - one.depth
    left = [(wall + reach - float(r), float(h)) for r, h in zip(radii, heights, strict=True)]
    right = [(2 * wall + one.width - x, y) for x, y in reversed(left)]
    above = one.wood
    return Polygon([(wall, above), *left, *right, (wall + one.width, above)])


def _draw_cutter(canvas: SvgCanvas, step: Step, x: float, base: float, scale: float) -> None:
    """Draw the cutter, broken off where the picture ends (ISO 128-3, a narrow line drawn by hand)."""
    draw_cutter(canvas, step.cutter, x, base, scale)
    if base - step.cutter.overall_length * scale > _BREAK / 2:
        return
    half = max(step.cutter.diameter, step.cutter.shank) / 2 * scale + _WAVE
    canvas.path(f"M{num(x - half)} 0h{num(2 * half)}v{num(_BREAK)}h{num(-2 * half)}z", fill=PAPER)
    wave = f"q{num(half / 2)} {num(-2 * _WAVE)} {num(half)} 0t{num(half)} 0"
    canvas.path(f"M{num(x - half)} {num(_BREAK)}{wave}", stroke=INK, width=0.15)


def _draw_sizes(
    canvas: SvgCanvas, ground: Ground, one: CutSection, view: PlanView, units: Units, ends: tuple[float, float]
) -> None:
    """Draw how deep the cut is at the left and how thick the wood is at the right."""
    shown = (ends[1] - ends[0]) / view.scale
    bounds = Box(ends[0], view.y(0.0), ends[1], view.y(-one.wood))
    on = PlanGround(ground, None, bounds)
    deep = Distance(-one.depth, 0.0, 0.0, 0.0, units.length(one.depth))
    thick = Distance(-one.wood, 0.0, shown, shown, units.length(one.wood))
    draw_dimensions(canvas, on, PlanSizes(up=deep), view)
    draw_dimensions(canvas, on, PlanSizes(right=thick), view)
