"""The section of a part drawn: its plane in the plan, the cut wood hatched, thickness and depths as figures.

Lines after ISO 128-2 and ISO 128-3: the plane is a long-dash-dot line, wide at its ends, with arrows in the direction
of viewing and a letter; hatching is narrow, at 45 degrees. Only what lies in the plane is drawn, a section proper.
Dimensions after ISO 129-1. Coordinates are mm of paper.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from shapely import LineString
from shapely.affinity import affine_transform

from kitforge.language import say
from kitforge.pictures.drawn.placing import Box, LabelPlace, box_around, words_width
from kitforge.pictures.drawn.section_layout import LAST, TITLE, gaps, title_width
from kitforge.pictures.drawn.stations import REACH
from kitforge.print.svg import GREY, INK, PlanView, SvgCanvas, area_data, hatching, num

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from kitforge.model.kit import Part, Spot
    from kitforge.pictures.drawn.part_section import PartSection
    from kitforge.pictures.drawn.pen import Pen
    from kitforge.pictures.drawn.placing import Ground
    from kitforge.pictures.drawn.section_layout import PlacedDepth, SectionFrame
    from kitforge.print.figures import Measure, Units

_ON_PAPER = PlanView(1.0, 0.0, 0.0)
_HATCH = 1.3
_ARROW, _TAIL = 1.5, 2.6
"""Length of the arrows of a depth, and how far they reach where they stand outside of it."""
_WIDE_FROM, _WIDE_TO, _PLANE_ARROW = 0.8, 3.6, 5.0
"""From the part to the wide end of the line of the plane, to where that ends, and the length of the arrow at it."""
_TALL = 0.74


def draw_section(
    canvas: SvgCanvas, ground: Ground, section: PartSection, frame: SectionFrame, units: Units, pen: Pen, scale: str
) -> None:
    """Draw a section with its title, its thickness and its depths. scale: in words, empty for that of the plan."""
    _draw_wood(canvas, section, frame, pen)
    for below, found in ((False, frame.layout.up), (True, frame.layout.down)):
        for one in found:
            _draw_depth(canvas, ground, section, frame, one, pen, below=below)
    _draw_thickness(canvas, ground, frame, units.length(section.thickness), pen)
    _draw_title(canvas, ground, section.name, frame, scale, pen)
    layout = frame.layout
    ground.take(frame.box((0.0, layout.length + LAST * pen.grow), (-layout.above, layout.thick + layout.below)))


def _draw_wood(canvas: SvgCanvas, section: PartSection, frame: SectionFrame, pen: Pen) -> None:
    layout = frame.layout
    u, v = layout.scale * (-1 if layout.beside else 1), -layout.scale
    base = frame.start + layout.along(0.0)
    # area_data turns y downwards: the wood is given in paper with y up
    matrix = [0.0, v, -u, 0.0, frame.face, -base] if layout.beside else [u, 0.0, 0.0, -v, base, -frame.face]
    wood = affine_transform(section.wood, matrix)
    canvas.path(area_data(wood, _ON_PAPER), fill="#ffffff")
    canvas.path(area_data(hatching(wood, _HATCH * pen.grow), _ON_PAPER), stroke=GREY, width=0.13 * pen.grow)
    canvas.path(area_data(wood, _ON_PAPER), stroke=INK, width=pen.wide)


def _draw_depth(
    canvas: SvgCanvas,
    ground: Ground,
    section: PartSection,
    frame: SectionFrame,
    one: PlacedDepth,
    pen: Pen,
    *,
    below: bool,
) -> None:
    """Draw how deep a floor lies: from the face to the floor, the line goes on to the words outside."""
    layout, grow = frame.layout, pen.grow
    out, face = (1.0, layout.thick) if below else (-1.0, 0.0)
    floor, reach = face - out * one.depth.depth * layout.scale, face + out * REACH * grow
    _draw_opening(canvas, section, frame, one, pen, below=below)
    _line(canvas, ground, frame, (one.at, floor), (one.at, face + out * 1.4 * grow), pen)
    _line(canvas, ground, frame, (one.at, face + out * 1.4 * grow), (one.place, reach - out * 0.4), pen)
    if abs(floor - face) >= 2.4 * _ARROW * grow:
        _arrow(canvas, frame, (one.at, floor), -out, pen)
        _arrow(canvas, frame, (one.at, face), out, pen)
    else:
        behind = floor - out * min(_TAIL * grow, layout.thick - abs(floor - face))
        _line(canvas, ground, frame, (one.at, floor), (one.at, behind), pen)
        _arrow(canvas, frame, (one.at, floor), out, pen)
        _arrow(canvas, frame, (one.at, face), -out, pen)
    wide = words_width(one.words, pen.words)
    x, y = frame.spot(one.place, reach)
    if layout.beside:
        canvas.text(x, y + 0.35 * pen.words, one.words, size=pen.words, anchor="start" if below else "end")
    else:
        canvas.text(x + 0.35 * pen.words, y, one.words, size=pen.words, anchor="end" if below else "start", turn=-90)
    half = pen.words / 2
    ground.take(frame.box((one.place - half, one.place + half), (reach, reach + out * wide)))


def _draw_opening(
    canvas: SvgCanvas, section: PartSection, frame: SectionFrame, one: PlacedDepth, pen: Pen, *, below: bool
) -> None:
    """Draw the face across what is open above a floor, from the wood to beyond the dimension line."""
    layout = frame.layout
    level = -section.thickness if below else 0.0
    first, last = section.ends
    skin = LineString([(first, level), (last, level)]).difference(section.wood.buffer(0.02))
    at = first + (layout.length - one.at if layout.beside else one.at) / layout.scale
    found = [
        run.bounds
        for run in getattr(skin, "geoms", (skin,))
        if not run.is_empty and run.bounds[0] <= at <= run.bounds[2]
    ]
    v = layout.thick if below else 0.0
    for low, _, high, _ in found:
        ends = sorted((layout.along(low), layout.along(high)))
        pen.line(canvas, *frame.spot(ends[0], v), *frame.spot(ends[1], v))


def _draw_thickness(canvas: SvgCanvas, ground: Ground, frame: SectionFrame, size: Measure, pen: Pen) -> None:
    """Draw how thick the part is, beyond the end of the section."""
    layout, grow = frame.layout, pen.grow
    at = layout.length + 5.0 * grow
    for face in (0.0, layout.thick):
        _line(canvas, ground, frame, (layout.length + 0.8 * grow, face), (at + 1.0 * grow, face), pen)
    inside = layout.thick >= 2.4 * _ARROW * grow
    tail = 0.0 if inside else _TAIL * grow
    _line(canvas, ground, frame, (at, -tail), (at, layout.thick + tail), pen)
    _arrow(canvas, frame, (at, 0.0), -1.0 if inside else 1.0, pen)
    _arrow(canvas, frame, (at, layout.thick), 1.0 if inside else -1.0, pen)
    words = size.main
    foot = at + 1.5 * grow + _TALL * pen.words
    x, y = frame.spot(foot, layout.thick / 2)
    canvas.text(x, y, words, size=pen.words, anchor="middle", turn=0.0 if layout.beside else -90.0)
    half = words_width(words, pen.words) / 2
    ground.take(frame.box((foot - _TALL * pen.words, foot), (layout.thick / 2 - half, layout.thick / 2 + half)))


def _draw_title(canvas: SvgCanvas, ground: Ground, section: str, frame: SectionFrame, scale: str, pen: Pen) -> None:
    """Write the name of a section above it, its scale where it has one of its own, and the sign of a turned one."""
    layout, grow = frame.layout, pen.grow
    wide = title_width(section, scale, pen)
    name = words_width(section, pen.letter) + 1.6 * grow
    if layout.beside:
        x, y = frame.spot(-3.0 * grow, layout.thick / 2)
        left = x - wide / 2 + 2.5 * grow
    else:
        low, high = (0.0, layout.length) if layout.title_row else gaps(layout.up, layout.length, pen)[0]
        row = -layout.above + TITLE * grow - 2.0 * grow
        x, y = frame.spot((low + high) / 2, row)
        left = x - wide / 2
    canvas.text(left, y, section, size=pen.letter, bold=True)
    if scale:
        canvas.text(left + name, y, scale, size=pen.words)
    ground.take(Box(left, y - _TALL * pen.letter, left + wide - 5.0 * grow, y))
    if layout.turned:
        _draw_turned(canvas, ground, left + wide - 2.2 * grow, y - 1.3 * grow, pen, -1.0 if layout.beside else 1.0)


def _draw_turned(canvas: SvgCanvas, ground: Ground, x: float, y: float, pen: Pen, way: float) -> None:
    """Draw the sign of a turned view (ISO 128-3), an arc with an arrow; way: 1 for clockwise, -1 for the other way."""
    r = 1.5 * pen.grow
    arc = f"M{num(x - way * r)} {num(y + 0.5 * r)}A{num(r)} {num(r)} 0 0 {int(way > 0)} {num(x + way * r)} {num(y)}"
    canvas.path(arc, stroke=INK, width=pen.narrow)
    pen.arrow(canvas, x + way * r, y + 1.3 * pen.grow, -90.0, _ARROW)
    ground.take(box_around(x, y, 2 * r, 2 * r))


def draw_plane(canvas: SvgCanvas, ground: Ground, part: Part, section: PartSection, view: PlanView, pen: Pen) -> None:
    """Draw the cutting plane across the plan: its line, its wide ends, the arrows of the viewer and the letters."""
    box, grow = part.outline.bounds, pen.grow
    level = section.along_x
    ends = (view.x(box.left), view.x(box.right)) if level else (view.y(box.top), view.y(box.bottom))
    at = view.y(section.at) if level else view.x(section.at)

    def spot(along: float, off: float) -> Spot:
        return (along, at + off) if level else (at + off, along)

    (x0, y0), (x1, y1) = spot(ends[0] - _WIDE_FROM * grow, 0.0), spot(ends[1] + _WIDE_FROM * grow, 0.0)
    canvas.line(x0, y0, x1, y1, width=pen.narrow, dash=pen.plane_dashes)
    ground.add_line(x0, y0, x1, y1)
    for end, out in ((ends[0], -1.0), (ends[1], 1.0)):
        near, far = end + out * _WIDE_FROM * grow, end + out * _WIDE_TO * grow
        canvas.line(*spot(near, 0.0), *spot(far, 0.0), width=2 * pen.wide)
        ground.take(_around(spot(near, -0.6 * grow), spot(far, 0.6 * grow)))
        shaft = end + out * (_WIDE_TO - 0.6) * grow
        (ax, ay), (bx, by) = spot(shaft, 0.3 * grow), spot(shaft, _PLANE_ARROW * grow)
        canvas.line(ax, ay, bx, by, width=pen.edge)
        pen.arrow(canvas, ax, ay, 90.0 if level else 180.0)
        ground.take(_around(spot(shaft - 0.6 * grow, 0.3 * grow), spot(shaft + 0.6 * grow, _PLANE_ARROW * grow)))
        wide, tall = words_width(section.letter, pen.letter), _TALL * pen.letter
        place = ground.choose(_beside_arrow(spot, shaft, out, pen), wide, tall)
        if place is not None:
            canvas.text(
                place.x, place.y + tall / 2, section.letter, size=pen.letter, anchor="middle", bold=True, halo=True
            )


def _around(one: Spot, other: Spot) -> Box:
    return Box(min(one[0], other[0]), min(one[1], other[1]), max(one[0], other[0]), max(one[1], other[1]))


def _beside_arrow(spot: Callable[[float, float], Spot], shaft: float, out: float, pen: Pen) -> Iterator[LabelPlace]:
    """Yield places for the letter: behind the arrow first, then on the far side of the line, then farther off."""
    grow = pen.grow
    for cost, off in enumerate((_PLANE_ARROW + 2.2, -2.4, _PLANE_ARROW + 4.5, -4.5, _PLANE_ARROW + 7.0)):
        for more in (0.0, 0.6, -0.6):
            x, y = spot(shaft + out * more * grow, off * grow)
            yield LabelPlace(x, y, None, cost + abs(more))


def section_words(section: PartSection, units: Units, scale: str) -> str:
    """Return what a section shows in words."""
    parts = [
        say("Section {name} along X, at scale {scale}.", name=section.name, scale=scale)
        if section.along_x
        else say("Section {name} along Y, at scale {scale}.", name=section.name, scale=scale),
        say("Thickness: {size}.", size=units.length(section.thickness).main),
    ]
    for one in section.depths:
        size = units.length(one.depth).main
        if one.below:
            parts.append(say("{what}: {depth} deep, from the face that is turned away.", what=one.title, depth=size))
        else:
            parts.append(say("{what}: {depth} deep.", what=one.title, depth=size))
    return " ".join(parts)


def _line(canvas: SvgCanvas, ground: Ground, frame: SectionFrame, one: Spot, other: Spot, pen: Pen) -> None:
    (x0, y0), (x1, y1) = frame.spot(*one), frame.spot(*other)
    pen.line(canvas, x0, y0, x1, y1)
    ground.add_line(x0, y0, x1, y1)


def _arrow(canvas: SvgCanvas, frame: SectionFrame, tip: Spot, way: float, pen: Pen) -> None:
    """Draw an arrowhead across the section; way: 1 away from the plan, -1 towards it."""
    forward = 0.0 if frame.layout.beside else -90.0
    pen.arrow(canvas, *frame.spot(*tip), forward if way > 0 else forward + 180.0, _ARROW)
