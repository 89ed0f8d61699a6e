"""The dimensioned drawing of one face of a part, with the line habits of ISO 128 and ISO 129-1.

A wide line for the outline, narrower ones for the edges of cuts and for dimensions, long-dash-dot lines for centres and
for circles that holes stand on, figures above the dimension line and readable from below or from the right. What is cut
from the other face and does not come through is shown in the view of that face.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from shapely import get_coordinates

from kitforge.geometry.extent import Form
from kitforge.language import say
from kitforge.model.kit import Face, OperationKind
from kitforge.pictures.drawn.dimensions import draw_overall, draw_positions, draw_radii, draw_zero
from kitforge.pictures.drawn.features import is_feature, ring_of
from kitforge.pictures.drawn.grooves import runs_of, seen_of_groove
from kitforge.pictures.drawn.lettering import draw_letters
from kitforge.pictures.drawn.pen import Pen
from kitforge.pictures.drawn.placing import Ground
from kitforge.pictures.drawn.section_drawing import draw_plane, draw_section, section_words
from kitforge.pictures.drawn.section_layout import sheet_of
from kitforge.pictures.drawn.stations import DrawingFrame, frame_at
from kitforge.planning.sizes import hole_width, made_by
from kitforge.print.figures import scale_words
from kitforge.print.sizes import part_size
from kitforge.print.svg import INK, Picture, PlanView, SvgCanvas, area_data, circle_data, num, path_data

if TYPE_CHECKING:
    from kitforge.model.kit import Operation, Part
    from kitforge.model.path import Path
    from kitforge.pictures.drawn.part_section import PartSection
    from kitforge.pictures.drawn.section_layout import SectionFrame
    from kitforge.pictures.drawn.views import FaceView
    from kitforge.print.figures import Units

_RATIOS = (1.0, 2.0, 3.0, 5.0, 10.0, 20.0, 30.0, 50.0, 100.0)
"""ISO 5455 recommends 1:1, 1:2, 1:5, 1:10 and so on. 1:3 and 1:30 are the one step between that is worth it, which the
standard leaves to the maker of the drawing: a part of 400 mm would else be 80 mm wide on 150 mm of paper."""
_LEAST_HOLE = 0.4
"""Radius on paper of the smallest hole that is drawn, mm."""
_ENLARGED, _SMALL = (0.2, 0.5), 80.0
"""5:1 and 2:1 for parts that are no longer than this on paper then, mm."""


def next_scale(scale: float) -> float:
    """Return the next smaller scale."""
    return next((1 / ratio for ratio in (*_ENLARGED, *_RATIOS) if 1 / ratio < scale - 1e-9), scale)


def drawing_scale(view: FaceView, units: Units, width: float, height: float, grow: float = 1.0) -> float:
    """Return the largest scale at which the part with its dimensions fits the paper; `grow`: see `Pen`."""
    return _fitting(view.part, units, width, height, Pen(grow)).scale


def _fitting(part: Part, units: Units, width: float, height: float, pen: Pen) -> DrawingFrame:
    box = part.outline.bounds
    frame = None
    for ratio in (*_ENLARGED, *_RATIOS):
        if ratio < 1 and max(box.width, box.height) / ratio > _SMALL:
            continue
        frame = frame_at(part, 1 / ratio, units, pen)
        wide, tall = box.width * frame.scale, box.height * frame.scale
        if wide <= width - frame.left - frame.right and tall <= height - frame.above - frame.below:
            break
    assert frame is not None
    return frame


def dimensioned_drawing(
    view: FaceView,
    units: Units,
    width: float,
    height: float,
    grow: float = 1.0,
    scale: float | None = None,
    section: PartSection | None = None,
) -> Picture:
    """Return the drawing of one face of a part at a standard scale, inside `width` x `height` mm of paper.

    grow: how much larger than usual words, arrows and lines are; the scale stays true. scale: None for the largest that
    fits. section: shown below the plan or beside it, with its plane, if the width has room; it may go beyond `height`.
    """
    part, pen = view.part, Pen(grow)
    frame = frame_at(part, scale, units, pen) if scale else _fitting(part, units, width, height, pen)
    sheet = sheet_of(part, frame, width, None, units, pen)
    if section is not None:
        wider = frame_at(part, frame.scale, units, pen, section.along_x)
        cut = sheet_of(part, wider, width, section, units, pen)
        frame, sheet = (wider, cut) if cut.section is not None else (frame, sheet)
    canvas, seen = SvgCanvas(width, sheet.height), sheet.plan
    ground = Ground(canvas.width, canvas.height)
    _draw_part(canvas, ground, part, seen, pen)
    draw_overall(canvas, ground, part, frame, seen, units, pen)
    draw_positions(canvas, ground, part, frame, seen, pen)
    if section is not None and sheet.section is not None:
        draw_plane(canvas, ground, part, section, seen, pen)
        draw_section(canvas, ground, section, sheet.section, units, pen, _own_scale(sheet.section, frame))
    draw_zero(canvas, ground, part, seen, pen)
    draw_radii(canvas, ground, part, seen, units, pen)
    operations = {operation.name: operation for operation in part.operations}
    draw_letters(canvas, ground, part, seen, pen, [(one.letter, operations[one.name]) for one in view.features])
    words = _words(view, units, frame.scale)
    if section is not None and sheet.section is not None:
        words = f"{words} {section_words(section, units, scale_words(sheet.section.layout.scale))}"
    return canvas.finish(words)


def _own_scale(section: SectionFrame, frame: DrawingFrame) -> str:
    """Return the scale of a section in words where it is not that of the plan, which stands with the drawing."""
    scale = section.layout.scale
    return "" if math.isclose(scale, frame.scale) else scale_words(scale)


def _draw_part(canvas: SvgCanvas, ground: Ground, part: Part, view: PlanView, pen: Pen) -> None:
    canvas.path(path_data([part.outline], view), fill="#ffffff", stroke=INK, width=pen.wide)
    _add_run(ground, part.outline, view)
    for operation in part.operations:
        if is_feature(operation):
            _draw_operation(canvas, ground, operation, part, view, pen)
    for (x, y), arm in _centre_lines(part, view, pen).items():
        _draw_cross(canvas, ground, view.x(x), view.y(y), arm, pen)


def _draw_operation(
    canvas: SvgCanvas, ground: Ground, operation: Operation, part: Part, view: PlanView, pen: Pen
) -> None:
    if operation.does is OperationKind.GROOVE:
        _draw_groove(canvas, ground, operation, part, view, pen)
    else:
        canvas.path(path_data(operation.shapes, view), stroke=INK, width=pen.edge)
        for path in operation.shapes:
            _add_run(ground, path, view)
    radius = _hole_radius(operation, view)
    for x, y in operation.points:
        canvas.path(circle_data(view.x(x), view.y(y), radius), stroke=INK, width=pen.edge)
    ring = ring_of(operation)
    if ring is not None and operation.does is not OperationKind.GROOVE:
        x, y, reach = ring
        data = circle_data(view.x(x), view.y(y), reach * view.scale)
        canvas.path(data, stroke=INK, width=pen.centre, dash=pen.dashes)


def _draw_groove(canvas: SvgCanvas, ground: Ground, operation: Operation, part: Part, view: PlanView, pen: Pen) -> None:
    seen = seen_of_groove(operation, part, view.scale)
    canvas.path(area_data(seen, view), stroke=INK, width=pen.edge)
    for line in runs_of(seen):
        ground.add_run(_on_paper(get_coordinates(line), view))


def _hole_radius(operation: Operation, view: PlanView) -> float:
    return max(hole_width(operation) / 2 * view.scale, _LEAST_HOLE)


def _add_run(ground: Ground, path: Path, view: PlanView) -> None:
    if len(path.vertices) > 1:
        ground.add_run(_on_paper(path.flatten(0.2 / view.scale), view))


def _on_paper(points: NDArray[np.float64], view: PlanView) -> NDArray[np.float64]:
    """Return drawing coordinates, shape (n, 2), on the canvas."""
    return points * (view.scale, -view.scale) + (view.left, view.bottom)


def _centre_lines(part: Part, view: PlanView, pen: Pen) -> dict[tuple[float, float], float]:
    """Return the half length on paper of the centre lines of holes and closed shapes, the longest at each centre."""
    arms: dict[tuple[float, float], float] = {}
    for operation in part.operations:
        if not is_feature(operation) or operation.does in (OperationKind.ENGRAVE, OperationKind.CHAMFER):
            continue
        for one in made_by(operation).extents:
            if operation.does is OperationKind.GROOVE and one.form is not Form.ROUND:
                continue
            key = round(one.centre[0], 2) + 0.0, round(one.centre[1], 2) + 0.0
            arms[key] = max(arms.get(key, 0.0), max(one.shorter / 2 * view.scale, _LEAST_HOLE) + 1.2 * pen.grow)
    return arms


def _draw_cross(canvas: SvgCanvas, ground: Ground, x: float, y: float, arm: float, pen: Pen) -> None:
    data = f"M{num(x - arm)} {num(y)}h{num(2 * arm)}M{num(x)} {num(y - arm)}v{num(2 * arm)}"
    canvas.path(data, stroke=INK, width=pen.centre, dash=pen.dashes)
    ground.add_line(x - arm, y, x + arm, y)
    ground.add_line(x, y - arm, x, y + arm)


def _words(view: FaceView, units: Units, scale: float) -> str:
    part = view.part
    from_zero = say("positions from the zero of the part's drawing")
    return say(
        "Dimensioned drawing of {part}, {face}, {size}, at scale {scale}, {datum}.",
        part=part.title,
        face=face_words(view.face),
        size=part_size(part, units),
        scale=scale_words(scale),
        datum=from_zero if view.zero is None else say("positions from the lower left corner of the part"),
    )


def face_words(face: Face) -> str:
    """Return what a face of a part is called."""
    return say("underside") if face is Face.BOTTOM else say("upper face")
