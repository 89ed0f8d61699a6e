"""What each shape of an operation takes away, in plan view and in depth, as drawn and before anything is laid out.

Lengths mm; depths below the face as it came that an operation is cut from.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry

from kitforge.model.kit import Face, Operation, OperationKind, Part, Side
from kitforge.planning.areas import filled
from kitforge.planning.sizes import faced_beyond, follows_lines, hole_width, line_width


@dataclass(frozen=True, slots=True, eq=False)
class Removal:
    """What one shape of an operation takes away; index: of the shape among the sizes of the operation."""

    operation: str
    index: int
    area: BaseGeometry
    face: Face
    depth: float


def removals(operation: Operation, part: Part) -> Iterator[Removal]:
    """Yield what each hole and shape of an operation takes away, in the order of its sizes.

    Bevels and letterings, which leave every wall standing, take nothing.
    """
    if operation.does in (OperationKind.CHAMFER, OperationKind.ENGRAVE):
        return
    depth = part.stock.actual if operation.through else operation.datum.from_face(operation.depth)
    if operation.whole:
        yield Removal(operation.name, 0, filled([part.outline]), operation.face, depth)
    for index, area in enumerate(itertools.chain(_holes(operation), _areas(operation))):
        yield Removal(operation.name, index, area, operation.face, depth)


def _holes(operation: Operation) -> Iterator[BaseGeometry]:
    for spot in operation.points:
        yield Point(spot).buffer(hole_width(operation) / 2)


def _areas(operation: Operation) -> Iterator[BaseGeometry]:
    shapes = [path for path in operation.shapes if len(path.vertices) > 1]
    if follows_lines(operation):
        for path in shapes:
            yield LineString(path.flatten()).buffer(line_width(operation) / 2)
    elif operation.does is OperationKind.PROFILE and operation.side is Side.OUTSIDE:
        for path in shapes:
            area = filled([path])
            yield area.buffer(operation.cutter.diameter).difference(area)
    elif operation.does is OperationKind.PROFILE:
        yield from (filled([path]) for path in shapes)
    elif operation.does is OperationKind.FACE:
        yield from (area.buffer(faced_beyond(operation)) for area in filled(shapes).geoms)
    else:
        yield from filled(shapes).geoms
