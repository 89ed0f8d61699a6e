"""What is taken from a layer that holds several sorts of shapes."""

from __future__ import annotations

from kitforge.model.drawing import LayerShapes
from kitforge.model.path import Path, is_circle
from kitforge.model.piece import Bounds

CIRCLE = 0.005
"""A closed line that stays within this of a circle, in mm, is one."""

_SLACK = 0.05
SAME_DIAMETER = 0.05
"""Circles whose diameters differ by less, in mm, count as equal."""


def within(shapes: LayerShapes, box: Bounds | None) -> LayerShapes:
    """Return the shapes that lie wholly inside a box, all for None."""
    if box is None:
        return shapes
    left, bottom, right, top = box.left - _SLACK, box.bottom - _SLACK, box.right + _SLACK, box.top + _SLACK

    def inside(own: Bounds) -> bool:
        return left <= own.left and own.right <= right and bottom <= own.bottom and own.top <= top

    return LayerShapes(
        tuple(path for path in shapes.closed if inside(path.bounds)),
        tuple(path for path in shapes.open if inside(path.bounds)),
        tuple((x, y) for x, y in shapes.points if inside(Bounds(x, y, x, y))),
    )


def only(shapes: LayerShapes, sort: str | None, diameter: float | None = None) -> LayerShapes:
    """Return the shapes of one sort (see `DrawingLayer.only`), all for None; with a diameter only such circles."""
    if diameter is not None:
        found = (path for path in shapes.closed if abs(diameter_of(path) - diameter) <= SAME_DIAMETER)
        return LayerShapes(closed=tuple(found))
    if sort is None:
        return shapes
    if sort == "open":
        return LayerShapes(open=shapes.open)
    if sort == "points":
        return LayerShapes(points=shapes.points)
    return LayerShapes(closed=tuple(_closed(shapes, sort)))


def diameter_of(path: Path) -> float:
    """Return the diameter of a circle in mm, 0 for any other line."""
    found = is_circle(path, CIRCLE) if path.closed else None
    return 2 * found[2] if found else 0.0


def _closed(shapes: LayerShapes, sort: str) -> list[Path]:
    largest = max(shapes.closed, key=lambda path: abs(path.area), default=None)
    if sort == "largest":
        return [largest] if largest is not None else []
    if sort == "circles":
        return [path for path in shapes.closed if diameter_of(path)]
    return [path for path in shapes.closed if not diameter_of(path) and (sort == "closed" or path is not largest)]
