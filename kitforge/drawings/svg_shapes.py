"""SVG's basic shapes as runs of the pen in the file's own units (SVG 1.1 chapter 9)."""

from __future__ import annotations

import math
from collections.abc import Callable

from kitforge.drawings.svg_path import Subpath, parse_path_data
from kitforge.drawings.svg_tree import SvgElement
from kitforge.drawings.svg_values import parse_length, parse_numbers
from kitforge.geometry.affine import Affine
from kitforge.geometry.ellipse import EllipticArc
from kitforge.model.drawing import reason_of
from kitforge.model.messages import msg

Viewport = tuple[float, float]


def _length(node: SvgElement, name: str, whole: float, default: float = 0.0) -> float:
    text = node.attributes.get(name)
    if text is None or text.strip() == "auto":
        return default
    try:
        return parse_length(text).px(whole)
    except ValueError as error:
        raise node.fault(msg("{name}: {reason}", name=name, reason=reason_of(error))) from error


def _size(node: SvgElement, name: str, whole: float, default: float = 0.0) -> float:
    value = _length(node, name, whole, default)
    if value < 0:
        raise node.fault(msg("{name} must not be negative", name=name))
    return value


def _diagonal(view: Viewport) -> float:
    """Return what 100 % of a radius means: the viewport's diagonal over root 2 (SVG 1.1 section 7.10)."""
    return math.hypot(*view) / math.sqrt(2)


def _rect(node: SvgElement, view: Viewport) -> list[Subpath]:
    x, y = _length(node, "x", view[0]), _length(node, "y", view[1])
    width, height = _size(node, "width", view[0]), _size(node, "height", view[1])
    if width == 0 or height == 0:
        return []
    rx = _size(node, "rx", view[0]) if _given(node, "rx") else None
    ry = _size(node, "ry", view[1]) if _given(node, "ry") else None
    rx, ry = (rx if rx is not None else ry or 0.0), (ry if ry is not None else rx or 0.0)
    rx, ry = min(rx, width / 2), min(ry, height / 2)
    if rx == 0 or ry == 0:
        return [Subpath((x, y), [(x + width, y), (x + width, y + height), (x, y + height)], closed=True)]
    subpath = Subpath((x + rx, y), closed=True)
    corners = (
        ((x + width - rx, y), (x + width - rx, y + ry), -90),
        ((x + width, y + height - ry), (x + width - rx, y + height - ry), 0),
        ((x + rx, y + height), (x + rx, y + height - ry), 90),
        ((x, y + ry), (x + rx, y + ry), 180),
    )
    here = subpath.start
    for reach, (cx, cy), start in corners:
        if math.hypot(reach[0] - here[0], reach[1] - here[1]) > 1e-12:
            subpath.segments.append(reach)
        arc = EllipticArc(Affine(rx, 0.0, 0.0, ry, cx, cy), math.radians(start), math.pi / 2)
        subpath.segments.append(arc)
        here = arc.end()
    return [subpath]


def _given(node: SvgElement, name: str) -> bool:
    return node.attributes.get(name, "auto").strip() != "auto"


def _circle(node: SvgElement, view: Viewport) -> list[Subpath]:
    radius = _size(node, "r", _diagonal(view))
    return _oval(node, view, radius, radius)


def _ellipse(node: SvgElement, view: Viewport) -> list[Subpath]:
    rx = _size(node, "rx", view[0]) if _given(node, "rx") else None
    ry = _size(node, "ry", view[1]) if _given(node, "ry") else None
    return _oval(node, view, rx if rx is not None else ry or 0.0, ry if ry is not None else rx or 0.0)


def _oval(node: SvgElement, view: Viewport, rx: float, ry: float) -> list[Subpath]:
    if rx == 0 or ry == 0:
        return []
    cx, cy = _length(node, "cx", view[0]), _length(node, "cy", view[1])
    arc = EllipticArc(Affine(rx, 0.0, 0.0, ry, cx, cy), 0.0, 2 * math.pi)
    return [Subpath((cx + rx, cy), [arc], closed=True)]


def _line(node: SvgElement, view: Viewport) -> list[Subpath]:
    start = (_length(node, "x1", view[0]), _length(node, "y1", view[1]))
    return [Subpath(start, [(_length(node, "x2", view[0]), _length(node, "y2", view[1]))])]


def _points(node: SvgElement, view: Viewport) -> list[Subpath]:  # noqa: ARG001
    try:
        numbers = parse_numbers(node.attributes.get("points", ""))
    except ValueError as error:
        raise node.fault(msg("points: {reason}", reason=reason_of(error))) from error
    if len(numbers) % 2:
        raise node.fault(msg("points: the last point has no y"))
    points = list(zip(numbers[::2], numbers[1::2], strict=True))
    return [Subpath(points[0], list(points[1:]), closed=node.tag == "polygon")] if len(points) > 1 else []


def _path(node: SvgElement, view: Viewport) -> list[Subpath]:  # noqa: ARG001
    try:
        return parse_path_data(node.attributes.get("d", ""))
    except ValueError as error:
        raise node.fault(reason_of(error)) from error


SHAPES: dict[str, Callable[[SvgElement, Viewport], list[Subpath]]] = {
    "rect": _rect,
    "circle": _circle,
    "ellipse": _ellipse,
    "line": _line,
    "polyline": _points,
    "polygon": _points,
    "path": _path,
}
"""For each element that draws lines, the function from element and viewport (in user units) to runs of the pen."""
