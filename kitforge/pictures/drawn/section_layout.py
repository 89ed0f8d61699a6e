"""Where the section of a part and its figures stand on paper: below the plan, or beside it at the right.

Beside the plan the upper face is turned towards it and Y keeps its direction; below it the upper face is up and X keeps
its direction. Where that takes more room, a section along Y stands below the plan and one along X beside it, turned,
which is marked. All lie as reference arrows allow (ISO 5456-2). Distances along the section, and across it from the
upper face away from the plan, are mm of paper.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from kitforge.pictures.drawn.placing import Box, words_width
from kitforge.pictures.drawn.stations import REACH, spread
from kitforge.print.svg import PlanView

if TYPE_CHECKING:
    from kitforge.model.kit import Part, Spot
    from kitforge.pictures.drawn.part_section import PartSection, SectionDepth
    from kitforge.pictures.drawn.pen import Pen
    from kitforge.pictures.drawn.stations import DrawingFrame
    from kitforge.print.figures import Units

SCALES = (0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0)
"""ISO 5455, reductions and enlargements."""
_THICK = 3.0
"""Wood thinner than this on paper, mm, is drawn at a larger scale where there is room, up to four times that."""
LAST, TITLE = 9.6, 6.0
"""Beyond the end of the section for the dimension of the thickness, and for the row of the title, mm of paper."""
_GAP, _EDGE, _SIDE, _APART = 1.15, 0.6, 2.0, 2.5
_SLACK = 1e-6
_LONGEST = "1 : 100"
"""The longest words of a scale."""


@dataclass(frozen=True, slots=True)
class PlacedDepth:
    """A depth of a section: where its dimension line stands along the section, where its words do, what they say."""

    depth: SectionDepth
    at: float
    place: float
    words: str


@dataclass(frozen=True, slots=True)
class SectionLayout:
    """How a section stands: at which scale, below the plan or beside it, from where the part begins along it.

    length, thick: of the part on paper; above, below: room across it before the upper face and after the lower one;
    up, down: the depths of both faces. turned: X runs up the page, or Y to the right. title: how wide it may be.
    """

    scale: float
    beside: bool
    turned: bool
    first: float
    length: float
    thick: float
    above: float
    below: float
    up: tuple[PlacedDepth, ...]
    down: tuple[PlacedDepth, ...]
    title_row: bool
    title: float

    @property
    def across(self) -> float:
        """Room across the section, mm of paper."""
        return self.above + self.thick + self.below

    def along(self, value: float) -> float:
        """Return where a coordinate of the part lies along the section; beside the plan, Y rises up the page."""
        run = (value - self.first) * self.scale
        return self.length - run if self.beside else run


@dataclass(frozen=True, slots=True)
class SectionFrame:
    """A section on its place: the corner of its room nearest to the plan and to the beginning of the section."""

    layout: SectionLayout
    start: float
    face: float

    def spot(self, along: float, across: float) -> Spot:
        """Return the point on paper so far along the section and so far below the upper face."""
        u, v = self.start + along, self.face + across
        return (v, u) if self.layout.beside else (u, v)

    def box(self, along: Spot, across: Spot) -> Box:
        """Return the box between two distances along the section and two across it."""
        (x0, y0), (x1, y1) = self.spot(along[0], across[0]), self.spot(along[1], across[1])
        return Box(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))


@dataclass(frozen=True, slots=True)
class DrawingSheet:
    """How a drawing stands on paper: its height, the plan, and the section where there is one."""

    height: float
    plan: PlanView
    section: SectionFrame | None = None


def sheet_of(
    part: Part, frame: DrawingFrame, width: float, section: PartSection | None, units: Units, pen: Pen
) -> DrawingSheet:
    """Return how plan and section of a part stand on paper of some width, the section as large as there is room.

    Without a section where there is none or no room for it beside the part in its frame.
    """
    wide = frame.left + part.outline.bounds.width * frame.scale + frame.right
    if section is None or wide > width + _SLACK:
        return DrawingSheet(*_plan(part, frame, width))
    wood = section.thickness * frame.scale
    wanted = [scale for scale in SCALES if scale > frame.scale and scale * section.thickness <= 4 * _THICK * pen.grow]
    larger = wanted[::-1] if wood < _THICK * pen.grow else []
    smaller = [scale for scale in reversed(SCALES) if scale < frame.scale]
    for scale in (*larger, frame.scale, *smaller):
        found = [
            _beside(part, frame, width, laid_out(section, scale, units, pen, beside=True), pen),
            _below(part, frame, width, laid_out(section, scale, units, pen, beside=False), pen),
        ]
        fit = [one for one in found if one is not None]
        if fit:
            return min(fit, key=lambda one: one.height)
    return DrawingSheet(*_plan(part, frame, width))


def _plan(part: Part, frame: DrawingFrame, width: float) -> tuple[float, PlanView]:
    """Return the height of a drawing and where its plan stands, in the middle of a width if it can."""
    box, scale = part.outline.bounds, frame.scale
    wide, tall = box.width * scale, box.height * scale
    left = max(frame.left, min((width - wide) / 2, width - frame.right - wide))
    view = PlanView(scale, left - box.left * scale, frame.above + tall + box.bottom * scale)
    return tall + frame.above + frame.below, view


def _below(part: Part, frame: DrawingFrame, width: float, layout: SectionLayout, pen: Pen) -> DrawingSheet | None:
    """Return plan and section one above the other, None where the section is too long."""
    height, plan = _plan(part, frame, width)
    room = width - LAST * pen.grow - _SIDE - max(layout.length, layout.title)
    if room < 0:
        return None
    in_line = layout.scale == plan.scale and not layout.turned
    start = plan.x(layout.first) if in_line else max(_SIDE, min((width - layout.length) / 2, _SIDE + room))
    face = height + _APART + layout.above
    return DrawingSheet(face + layout.thick + layout.below, plan, SectionFrame(layout, start, face))


def _beside(part: Part, frame: DrawingFrame, width: float, layout: SectionLayout, pen: Pen) -> DrawingSheet | None:
    """Return plan and section side by side, None where they are too wide, or a larger section is too long."""
    box = part.outline.bounds
    across = max(layout.across, layout.title)
    left_over = width - across - _APART
    if frame.left + box.width * frame.scale + frame.right > left_over:
        return None
    height, plan = _plan(part, frame, left_over)
    middle = (plan.y(box.top) + plan.y(box.bottom)) / 2
    start = max(middle - layout.length / 2, (TITLE + _EDGE) * pen.grow)
    face = plan.x(box.right) + frame.right + _APART + (across - layout.across) / 2 + layout.above
    foot = start + layout.length + LAST * pen.grow
    if layout.scale > frame.scale and foot > height:  # a larger scale is to cost no room
        return None
    return DrawingSheet(max(height, foot), plan, SectionFrame(layout, start, face))


def laid_out(section: PartSection, scale: float, units: Units, pen: Pen, *, beside: bool) -> SectionLayout:
    """Return how a section is laid out at a scale."""
    first, last = section.ends
    length = (last - first) * scale
    blank = SectionLayout(
        scale,
        beside,
        section.along_x is beside,
        first,
        length,
        section.thickness * scale,
        0,
        0,
        (),
        (),
        False,
        title_width(section.name, _LONGEST, pen),
    )
    up, down = (
        _placed([one for one in section.depths if one.below is below], blank, units, pen) for below in (False, True)
    )
    reach = REACH * pen.grow
    above, below = (
        max((reach + words_width(one.words, pen.words) for one in found), default=0.0) for found in (up, down)
    )
    title_row = beside or not up or not _has_gap(up, blank, pen)
    return replace(
        blank,
        above=above + _EDGE + (TITLE * pen.grow if title_row and not beside else 0.0),
        below=max(below, words_width(units.length(section.thickness).main, pen.words) / 2 - blank.thick / 2) + _EDGE,
        up=up,
        down=down,
        title_row=title_row,
    )


def title_width(name: str, words: str, pen: Pen) -> float:
    """Return how wide the title of a section is, mm of paper: name, scale in words, the sign for one that is turned."""
    own = 1.6 * pen.grow + words_width(words, pen.words) if words else 0.0
    return words_width(name, pen.letter) + own + 5.0 * pen.grow


def gaps(placed: Sequence[PlacedDepth], length: float, pen: Pen) -> list[tuple[float, float]]:
    """Return where no figures stand above a section, the widest first, from and to along it."""
    half = 0.6 * pen.words
    ends = [0.0, *(end for one in placed for end in (one.place - half, one.place + half)), length]
    found = list(zip(ends[::2], ends[1::2], strict=True))
    return sorted(found, key=lambda gap: (round(gap[0] - gap[1], 2), gap[0]))


def _has_gap(placed: Sequence[PlacedDepth], on: SectionLayout, pen: Pen) -> bool:
    low, high = gaps(placed, on.length, pen)[0]
    return high - low >= on.title + 2.0


def _placed(depths: Sequence[SectionDepth], on: SectionLayout, units: Units, pen: Pen) -> tuple[PlacedDepth, ...]:
    """Return the depths of one face in their order along the section, no words nearer to others than a line of them."""
    gap = _GAP * pen.words
    chosen: list[tuple[float, float, float, SectionDepth]] = []
    for one in sorted(depths, key=lambda depth: len(depth.runs)):
        spans = [tuple(sorted((on.along(low), on.along(high)))) for low, high in one.runs]
        free = [span for span in spans if all(abs(sum(span) / 2 - other[0]) >= gap for other in chosen)]
        low, high = (free or spans)[0]
        chosen.append(((low + high) / 2, low, high, one))
    chosen.sort(key=lambda one: one[0])
    places = spread([one[0] for one in chosen], gap)
    return tuple(
        PlacedDepth(one, min(max(place, low), high), place, units.length(one.depth).main)
        for (_, low, high, one), place in zip(chosen, places, strict=True)
    )
