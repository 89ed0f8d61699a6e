"""A part in plan with one step's cut picked out: this cut hatched in colour, earlier cuts grey, tabs black."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from shapely import LineString, MultiPolygon, Point, box, get_coordinates
from shapely.affinity import scale
from shapely.geometry.base import BaseGeometry

from kitforge.geometry.transform import mirrored
from kitforge.language import say
from kitforge.model.kit import Face, Grain, OperationKind
from kitforge.pictures.drawn.marks import zero_mark
from kitforge.pictures.drawn.placing import Box, Ground, words_width
from kitforge.pictures.drawn.plan_dimensions import ROOM, ROW, PlanGround, draw_dimensions, prepared
from kitforge.pictures.drawn.plan_sizes import PlanSizes, plan_sizes
from kitforge.pictures.drawn.views import zero_lies_on
from kitforge.pictures.drawn.visible import made_visible, width_of
from kitforge.pictures.drawn.ways import draw_way, way_of
from kitforge.planning.areas import filled, multi
from kitforge.planning.overall import part_extent
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
    from kitforge.print.figures import Units

_BODY = "#faf6ef"
_HATCHED = 1.2
"""Narrower than this on paper, mm, a cut is filled: hatching would not show."""
_FOOT = 5.5
"""Room below the part, mm of paper, in which the grain is told."""
_NARROW = 40.0
"""A picture no wider than this has a short arrow for the grain, mm."""
ZERO_RADIUS = 1.5
"""Radius on paper of the mark of the zero, mm."""


def step_picture(
    step: Step,
    earlier: Sequence[Step],
    width: float,
    height: float,
    clockwise: bool | None = None,
    units: Units | None = None,
) -> Picture:
    """Return the part of `step` with what the earlier steps took away in grey and this step's cut picked out.

    clockwise: which way round the cut runs, drawn as an arrow; None for no arrow. units: of the dimensions of what is
    cut; None for none.
    A step on the bottom face is drawn as the part then lies: turned over about its Y axis, like a page.
    """
    shown = _as_it_lies(step)
    sizes = plan_sizes(step, units) if units is not None else PlanSizes()
    canvas, complete = _plan(step, shown, earlier, (width, height), clockwise, sizes)
    if not complete:
        canvas, _ = _plan(step, shown, earlier, (width, height), clockwise, sizes, ROW)
    return canvas.finish(_words(step, earlier, sizes))


def _plan(
    step: Step,
    shown: Step,
    earlier: Sequence[Step],
    room: tuple[float, float],
    clockwise: bool | None,
    sizes: PlanSizes,
    row: float = 0.0,
) -> tuple[SvgCanvas, bool]:
    """Draw a step as it lies in a room, mm, with so much left below for words; return whether all figures fit."""
    view, height = _view_of(shown, *room, sizes, row)
    canvas = SvgCanvas(room[0], height)
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
    way = way_of(step, clockwise) if clockwise is not None else None
    draw_way(canvas, way, view, [(0.0, 0.0), *((tab.x, tab.y) for tab in shown.tabs)])
    _draw_datum(canvas, view, step.part, over_a_cut=_any_at_zero([*gone, shown.cut], view))
    if not (sizes.across or sizes.up or sizes.size):
        return canvas, True
    return canvas, draw_dimensions(canvas, _ground(canvas, shown, gone, way, view), sizes, view)


def _ground(
    canvas: SvgCanvas, step: Step, gone: Sequence[MultiPolygon | None], way: LineString | None, view: PlanView
) -> PlanGround:
    """Return what stands in a plan already."""
    ground = Ground(canvas.width, canvas.height)
    areas = [area for area in (step.cut, *gone) if area is not None and not area.is_empty]
    rings = [ring for area in areas for piece in area.geoms for ring in (piece.exterior, *piece.interiors)]
    for run in [LineString(step.part.outline.flatten(0.1 / view.scale)), *rings, *([way] if way is not None else [])]:
        points = get_coordinates(run)[:, :2] * (view.scale, -view.scale) + (view.left, view.bottom)
        ground.add_run(points)
    for tab in step.tabs:
        xs, ys = zip(*_tab_corners(tab, view, step.cutter.diameter), strict=True)
        ground.take(Box(min(xs), min(ys), max(xs), max(ys)))
    # words keep off the zero, leaders may start under it
    if zero_lies_on(step.part):
        zero = Point(view.x(0.0), view.y(0.0)).buffer(ZERO_RADIUS)
        ground.add_run(get_coordinates(zero.exterior))
    if step.part.stock.grain is not Grain.NONE:
        wide = _grain_width(step.part, canvas.width)
        ground.take(Box(canvas.width - wide, canvas.height - _FOOT + 1.0, canvas.width, canvas.height))
    left, bottom, right, top = _bounds(step)
    bounds = Box(view.x(left), view.y(top), view.x(right), view.y(bottom))
    return PlanGround(ground, prepared(step.cut), bounds, crowded=True)


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


_KEY_GAP, _KEY_ROW, _KEY_SIZE = 3.8, 6.0, 3.0
"""Least room between two entries of the key, height of a row of it, and size of its words, mm."""


def legend_picture(width: float = 174.0) -> Picture:
    """Return the key to the step pictures, in as many rows as its width asks for: this cut, cut before, tab, way of the
    cutter, zero of the part's drawing.
    """
    places: list[tuple[float, int]] = []
    at, row = 0.0, 0
    key = _key()
    for entry in key:
        at, row = (0.0, row + 1) if at and at + entry.width > width else (at, row)
        places.append((at, row))
        at += entry.width + _KEY_GAP
    canvas = SvgCanvas(width, _KEY_ROW * (row + 1))
    for (left, below), entry in zip(places, key, strict=True):
        entry.draw(canvas, left, below * _KEY_ROW)
        canvas.text(left + entry.sign, below * _KEY_ROW + 4.2, entry.words, size=_KEY_SIZE)
    return canvas.finish(
        say(
            "Key to the pictures: hatched and outlined in colour is cut in this step, grey was cut before, "
            "black bars are holding tabs, arrows show which way the cutter runs, the half-filled circle is the zero of "
            "the part's drawing; where something is cut there, the circle is open."
        )
    )


@dataclass(frozen=True, slots=True)
class _KeyEntry:
    """A sign of the key, how far from its left edge its words begin, mm, and these."""

    draw: Callable[[SvgCanvas, float, float], None]
    sign: float
    words: str

    @property
    def width(self) -> float:
        """Width of sign and words, mm."""
        return self.sign + words_width(self.words, _KEY_SIZE)


def _key() -> tuple[_KeyEntry, ...]:
    return (
        _KeyEntry(_cut_now, 10.0, say("cut in this step")),
        _KeyEntry(_cut_before, 10.0, say("cut before")),
        _KeyEntry(_tab, 10.0, say("holding tab")),
        _KeyEntry(_way, 9.5, say("path of the cutter")),
        _KeyEntry(_zero, 5.0, say("zero of the part's drawing")),
    )


def _cut_now(canvas: SvgCanvas, x: float, y: float) -> None:
    _draw_area(canvas, box(x + 0.3, 1.0, x + 8.0, 5.0), PlanView(1.0, 0.0, y + _KEY_ROW))


def _cut_before(canvas: SvgCanvas, x: float, y: float) -> None:
    canvas.box(x, y + 1, 8, 4, fill=PALE)


def _tab(canvas: SvgCanvas, x: float, y: float) -> None:
    canvas.box(x, y + 1.8, 8, 2.4, fill=INK)


def _way(canvas: SvgCanvas, x: float, y: float) -> None:
    draw_way(canvas, LineString([(x, 3), (x + 7, 3)]), PlanView(1.0, 0.0, y + _KEY_ROW))


def _zero(canvas: SvgCanvas, x: float, y: float) -> None:
    zero_mark(canvas, x + 2, y + 3.0, ZERO_RADIUS)


def _bounds(step: Step) -> tuple[float, float, float, float]:
    """Return the box around part and cut."""
    left, bottom, right, top = step.part.outline.bounds
    if step.cut is not None and not step.cut.is_empty:
        cut = step.cut.bounds
        left, bottom, right, top = min(left, cut[0]), min(bottom, cut[1]), max(right, cut[2]), max(top, cut[3])
    return left, bottom, right, top


def _view_of(step: Step, width: float, height: float, sizes: PlanSizes, row: float) -> tuple[PlanView, float]:
    """Return the view that shows part and cut, and the height of the picture, which shrinks to a wide part.

    row: room left below for words, mm.
    """
    left, bottom, right, top = _bounds(step)
    above, below = ROOM if sizes.across is not None else 1.0, _FOOT + row
    beside = ROOM if sizes.up is not None else 2.5
    scale = min((width - beside - 2.5) / (right - left), (height - above - below) / (top - bottom), 2.0)
    shown = (top - bottom) * scale
    return PlanView(scale, beside - left * scale, above + shown + bottom * scale), above + shown + below


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
    corners = _tab_corners(tab, view, groove)
    canvas.path("M" + "L".join(f"{num(a)} {num(b)}" for a, b in corners) + "Z", fill=INK)


def _tab_corners(tab: TabPlace, view: PlanView, groove: float) -> tuple[tuple[float, float], ...]:
    """Return the corners of the bar for a tab on paper."""
    along = math.radians(tab.angle)
    half = max(tab.width * view.scale, 1.6) / 2
    reach = max(groove * view.scale, 1.4) * 0.9
    x, y = view.x(tab.x), view.y(tab.y)
    dx, dy = math.cos(along) * half, -math.sin(along) * half
    nx, ny = math.sin(along) * reach, math.cos(along) * reach
    return (x - dx, y - dy), (x + dx, y + dy), (x + dx + nx, y + dy + ny), (x - dx + nx, y - dy + ny)


def _any_at_zero(cuts: Sequence[MultiPolygon | None], view: PlanView) -> bool:
    """Whether something that is shown as cut away lies under the mark of the zero."""
    mark = Point(0.0, 0.0).buffer(ZERO_RADIUS / view.scale)
    return any(cut is not None and cut.intersects(mark) for cut in cuts)


def _draw_datum(canvas: SvgCanvas, view: PlanView, part: Part, *, over_a_cut: bool) -> None:
    """Draw the zero of the part's drawing, where it lies on the part, and the grain."""
    if zero_lies_on(part):
        zero_mark(canvas, view.x(0.0), view.y(0.0), ZERO_RADIUS, hollow=over_a_cut)
    if part.stock.grain is not Grain.NONE:
        _draw_grain(canvas, part)


def _grain_long(width: float) -> float:
    """Return how long the arrow along the grain is in a picture of some width, mm."""
    return 12.0 if width > _NARROW else 7.0


def _grain_width(part: Part, width: float) -> float:
    """Return how far from the right edge of a picture arrow and word for the grain reach, mm."""
    along = _grain_long(width) + 1.2 if part.stock.grain is Grain.LENGTH else 1.5
    return 2.5 + along + words_width(say("grain"), 2.8)


def _draw_grain(canvas: SvgCanvas, part: Part) -> None:
    """A two-headed arrow along the grain below the part, with the word beside it."""
    x, y = canvas.width - 2.5, canvas.height - 1.6
    if part.stock.grain is Grain.LENGTH:
        long = _grain_long(canvas.width)
        heads = f"m-1.5 -0.8l1.5 0.8l-1.5 0.8m{num(3 - long)} -1.6l-1.5 0.8l1.5 0.8"
        canvas.path(f"M{num(x - long)} {num(y)}h{num(long)}{heads}", stroke=GREY, width=0.2)
        canvas.text(x - long - 1.2, y + 0.9, say("grain"), size=2.8, anchor="end", fill=GREY)
    else:
        long = _FOOT - 1.1  # within the foot: a wide part reaches as far to the right as the arrow
        canvas.path(
            f"M{num(x)} {num(y + 1)}v-{num(long)}m-0.8 1.5l0.8 -1.5l0.8 1.5m-1.6 {num(long - 3)}l0.8 1.5l0.8 -1.5",
            stroke=GREY,
            width=0.2,
        )
        canvas.text(x - 1.5, y + 0.9, say("grain"), size=2.8, anchor="end", fill=GREY)


def _words(step: Step, earlier: Sequence[Step], sizes: PlanSizes) -> str:
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
    plan = say("{plan}, earlier cuts in grey.", plan=plan) if earlier else f"{plan}."
    return " ".join([plan, *_figures_in_words(sizes)])


def _figures_in_words(sizes: PlanSizes) -> list[str]:
    """Return what the dimensions of a plan say."""
    found = []
    if sizes.size is not None:
        found.append(say("Size: {size}.", size=sizes.size))
    for axis, one in (("X", sizes.across), ("Y", sizes.up)):
        if one is not None and sizes.placed:
            found.append(say("From the datum along {axis}: {distance}.", axis=axis, distance=one.words))
        elif one is not None:
            found.append(say("Over all along {axis}: {distance}.", axis=axis, distance=one.words))
    return found
