"""A part in plan with one step's cut picked out: this cut hatched in colour, earlier cuts grey, tabs black."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from shapely import LineString, MultiPolygon, Point, box
from shapely.affinity import scale
from shapely.geometry.base import BaseGeometry

from kitforge.geometry.transform import mirrored
from kitforge.language import say
from kitforge.model.kit import Face, Grain, OperationKind
from kitforge.pictures.drawn.marks import zero_mark
from kitforge.pictures.drawn.visible import made_visible, width_of
from kitforge.pictures.drawn.ways import draw_way, way_of
from kitforge.planning.areas import filled, multi
from kitforge.planning.sizes import part_extent
from kitforge.print.figures import figure, step_title
from kitforge.print.svg import (
    CUT_TINT,
    GREY,
    INK,
    PALE,
    VERMILLION,
    Picture,
    PlanView,
    SvgCanvas,
    area_data,
    hatching,
    num,
    path_data,
)

if TYPE_CHECKING:
    from kitforge.model.kit import Part
    from kitforge.model.steps import Step, TabPlace

_BODY = "#faf6ef"
_HATCHED = 1.2
"""Narrower than this on paper, mm, a cut is filled: hatching would not show."""
_FOOT = 5.5
"""Room below the part, mm of paper, in which the grain is told."""
ZERO_RADIUS = 1.5
"""Radius on paper of the mark of the zero, mm."""


def step_picture(
    step: Step, earlier: Sequence[Step], width: float, height: float, clockwise: bool | None = None
) -> Picture:
    """Return the part of `step` with what the earlier steps took away in grey and this step's cut picked out.

    clockwise: which way round the cut runs, drawn as an arrow; None for no arrow.
    A step on the bottom face is drawn as the part then lies: turned over about its Y axis, like a page.
    """
    shown = _as_it_lies(step)
    view, height = _view_of(shown, width, height)
    canvas = SvgCanvas(width, height)
    canvas.path(path_data([shown.part.outline], view), fill=_BODY)
    seen = [before for before in earlier if before.face is step.face or before.through]
    gone = [_turned(before.cut, step) for before in seen if not before.operation.whole]
    for area in gone:
        for piece in made_visible(list(area.geoms) if area is not None else [], view.scale):
            canvas.path(area_data(piece, view), fill=PALE)
    canvas.path(path_data([shown.part.outline], view), stroke=INK, width=0.35)
    _draw_cut(canvas, shown, view)
    for tab in shown.tabs:
        _draw_tab(canvas, tab, view, step.cutter.diameter)
    if clockwise is not None:
        draw_way(canvas, way_of(step, clockwise), view, [(0.0, 0.0), *((tab.x, tab.y) for tab in shown.tabs)])
    _draw_datum(canvas, view, step.part, over_a_cut=_any_at_zero([*gone, shown.cut], view))
    return canvas.finish(_words(step, earlier))


def _as_it_lies(step: Step) -> Step:
    if step.operation.whole:
        over = filled([step.part.outline]).buffer(step.cutter.radius)
        step = replace(step, cut=multi([over]))
    if step.face is Face.TOP:
        return step
    middle = step.part.outline.bounds.centre[0]
    part = replace(step.part, outline=mirrored(step.part.outline, 90.0, middle, 0.0).counter_clockwise())
    tabs = tuple(replace(tab, x=2 * middle - tab.x, angle=-tab.angle) for tab in step.tabs)
    return replace(step, part=part, tabs=tabs, cut=_turned(step.cut, step))


def _turned(cut: MultiPolygon | None, step: Step) -> MultiPolygon | None:
    """Mirror an area left to right about the middle of the part when the step is cut from below."""
    if cut is None or step.face is Face.TOP:
        return cut
    return scale(cut, -1.0, 1.0, origin=(step.part.outline.bounds.centre[0], 0.0))


def legend_picture(width: float = 174.0) -> Picture:
    """Return the key to the step pictures: this cut, cut before, tab, zero of the part's drawing."""
    canvas = SvgCanvas(width, 6.0)
    view = PlanView(1.0, 0.0, 6.0)
    swatch = box(0.3, 1.0, 8.0, 5.0)
    _draw_area(canvas, swatch, view)
    canvas.text(10, 4.2, say("cut in this step"), size=3.0)
    canvas.box(37, 1, 8, 4, fill=PALE)
    canvas.text(47, 4.2, say("cut before"), size=3.0)
    canvas.box(69, 1.8, 8, 2.4, fill=INK)
    canvas.text(79, 4.2, say("holding tab"), size=3.0)
    draw_way(canvas, LineString([(100, 3), (107, 3)]), view)
    canvas.text(109.5, 4.2, say("path of the cutter"), size=3.0)
    zero_mark(canvas, 138, 3.0, ZERO_RADIUS)
    canvas.text(141, 4.2, say("zero of the part's drawing"), size=2.8)
    return canvas.finish(
        say(
            "Key to the pictures: hatched and outlined in colour is cut in this step, grey was cut before, "
            "black bars are holding tabs, arrows show which way the cutter runs, the half-filled circle is the zero of "
            "the part's drawing; where something is cut there, the circle is open."
        )
    )


def _view_of(step: Step, width: float, height: float) -> tuple[PlanView, float]:
    """Return the view that shows part and cut, and the height of the picture, which shrinks to a wide part."""
    left, bottom, right, top = step.part.outline.bounds
    if step.cut is not None and not step.cut.is_empty:
        cut = step.cut.bounds
        left, bottom, right, top = min(left, cut[0]), min(bottom, cut[1]), max(right, cut[2]), max(top, cut[3])
    scale = min((width - 5.0) / (right - left), (height - 1.0 - _FOOT) / (top - bottom), 2.0)
    shown = (top - bottom) * scale
    return PlanView(scale, 2.5 - left * scale, 1.0 + shown + bottom * scale), 1.0 + shown + _FOOT


def _draw_cut(canvas: SvgCanvas, step: Step, view: PlanView) -> None:
    if step.cut is None or step.cut.is_empty:
        return
    if step.operation.does is OperationKind.ENGRAVE:
        # letters stay readable without hatching, and their strokes are no dots to look for
        canvas.path(area_data(step.cut, view), fill=VERMILLION)
        return
    pieces = list(step.cut.geoms)
    small = [piece for piece in pieces if width_of(piece) * view.scale < _HATCHED]
    _draw_area(canvas, MultiPolygon([piece for piece in pieces if width_of(piece) * view.scale >= _HATCHED]), view)
    # hatching does not show on small pieces: they are filled
    for piece in made_visible(small, view.scale):
        canvas.path(area_data(piece, view), fill=VERMILLION)


def _draw_area(canvas: SvgCanvas, shape: BaseGeometry, view: PlanView) -> None:
    data = area_data(shape, view)
    canvas.path(data, fill=CUT_TINT)
    canvas.path(area_data(hatching(shape, 1.1 / view.scale), view), stroke=VERMILLION, width=0.22)
    canvas.path(data, stroke=VERMILLION, width=0.35)


def _draw_tab(canvas: SvgCanvas, tab: TabPlace, view: PlanView, groove: float) -> None:
    """A black bar across the groove, as wide as the tab; the bar lies outwards of the edge."""
    along = math.radians(tab.angle)
    half = max(tab.width * view.scale, 1.6) / 2
    reach = max(groove * view.scale, 1.4) * 0.9
    x, y = view.x(tab.x), view.y(tab.y)
    dx, dy = math.cos(along) * half, -math.sin(along) * half
    nx, ny = math.sin(along) * reach, math.cos(along) * reach
    corners = ((x - dx, y - dy), (x + dx, y + dy), (x + dx + nx, y + dy + ny), (x - dx + nx, y - dy + ny))
    canvas.path("M" + "L".join(f"{num(a)} {num(b)}" for a, b in corners) + "Z", fill=INK)


def _any_at_zero(cuts: Sequence[MultiPolygon | None], view: PlanView) -> bool:
    """Whether something that is shown as cut away lies under the mark of the zero."""
    mark = Point(0.0, 0.0).buffer(ZERO_RADIUS / view.scale)
    return any(cut is not None and cut.intersects(mark) for cut in cuts)


def _draw_datum(canvas: SvgCanvas, view: PlanView, part: Part, *, over_a_cut: bool) -> None:
    zero_mark(canvas, view.x(0.0), view.y(0.0), ZERO_RADIUS, hollow=over_a_cut)
    if part.stock.grain is not Grain.NONE:
        _draw_grain(canvas, part)


def _draw_grain(canvas: SvgCanvas, part: Part) -> None:
    """A two-headed arrow along the grain below the part, with the word beside it."""
    x, y = canvas.width - 2.5, canvas.height - 1.6
    if part.stock.grain is Grain.LENGTH:
        canvas.path(
            f"M{num(x - 12)} {num(y)}h12m-1.5 -0.8l1.5 0.8l-1.5 0.8m-9 -1.6l-1.5 0.8l1.5 0.8", stroke=GREY, width=0.2
        )
        canvas.text(x - 13.2, y + 0.9, say("grain"), size=2.8, anchor="end", fill=GREY)
    else:
        long = _FOOT - 1.1  # within the foot: a wide part reaches as far to the right as the arrow
        canvas.path(
            f"M{num(x)} {num(y + 1)}v-{num(long)}m-0.8 1.5l0.8 -1.5l0.8 1.5m-1.6 {num(long - 3)}l0.8 1.5l0.8 -1.5",
            stroke=GREY,
            width=0.2,
        )
        canvas.text(x - 1.5, y + 0.9, say("grain"), size=2.8, anchor="end", fill=GREY)


def _words(step: Step, earlier: Sequence[Step]) -> str:
    extent = part_extent(step.part)
    plan = say(
        "Plan of {part}, {width} by {height} mm, with the cut “{cut}” picked out",
        part=step.part.title,
        width=figure(extent.along),
        height=figure(extent.across),
        cut=step_title(step),
    )
    if step.tabs:
        plan = say("{plan} and {count} holding tabs marked", plan=plan, count=len(step.tabs))
    return say("{plan}, earlier cuts in grey.", plan=plan) if earlier else f"{plan}."
