"""What is seen of a groove: both edges where paper can show them, not beyond the part nor across what lies deeper."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shapely import LineString, union_all
from shapely.geometry.base import BaseGeometry

from kitforge.pictures.drawn.features import drawn_width, is_area
from kitforge.planning.sizes import line_width

if TYPE_CHECKING:
    from kitforge.model.kit import Operation, Part
    from kitforge.model.path import Path

_FINE = 0.02


def seen_of_groove(operation: Operation, part: Part, scale: float) -> BaseGeometry:
    """Return the lines that are drawn for a groove at a scale, in the part's coordinates."""
    fine = _FINE / scale
    lines = union_all([LineString(path.flatten(fine)) for path in operation.shapes if len(path.vertices) > 1])
    if drawn_width(operation, scale):
        lines = lines.buffer(line_width(operation) / 2).boundary
    deeper = [
        one
        for one in part.operations
        if is_area(one) and one.datum.from_face(one.depth) >= operation.datum.from_face(operation.depth)
    ]
    gone = [found for one in deeper for path in one.shapes if (found := area_of(path, fine)) is not None]
    return lines.intersection(part.outline.to_polygon(fine).buffer(0)).difference(union_all(gone))


def area_of(path: Path, fine: float = 0.05) -> BaseGeometry | None:
    """Return the area in a closed path within `fine` mm, None where it encloses none."""
    if not path.closed or not path.vertices or abs(path.area) < _FINE * _FINE:
        return None
    area = path.to_polygon(fine)
    return area if area.is_valid else area.buffer(0)


def runs_of(lines: BaseGeometry) -> list[LineString]:
    """Return the single lines of a geometry."""
    return [line for line in getattr(lines, "geoms", (lines,)) if isinstance(line, LineString) and line.length > 0]
