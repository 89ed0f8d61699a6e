"""The curves that single DXF entities draw, as paths in mm."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from kitforge.drawings.dxf_records import Record
from kitforge.drawings.limits import within_reach
from kitforge.geometry.affine import Affine, scaling
from kitforge.geometry.bspline import BSpline, uniform_closed
from kitforge.geometry.ellipse import EllipticArc, from_circular
from kitforge.geometry.transform import transformed
from kitforge.model.drawing import MisfitError, Point
from kitforge.model.messages import msg
from kitforge.model.path import Path, Vertex

_FLAT = 1e-6
_LEVEL = 0.01
_FULL = 2 * math.pi
_SAME = 1e-9
# flags of POLYLINE and VERTEX (DXF reference)
_CLOSED, _IN_SPACE, _MESH, _FACES = 1, 8, 16, 64
_FRAME_POINT = 16


class NotFlatError(Exception):
    """The entity does not lie parallel to the drawing plane."""


def frame_of(entity: Record) -> Affine:
    """Return object to world coordinates: extrusion +Z leaves all as it is, -Z mirrors x (arbitrary axis algorithm)."""
    x, y, z = entity.number(210, 0.0), entity.number(220, 0.0), entity.number(230, 1.0)
    size = math.sqrt(x * x + y * y + z * z)
    if not (math.isfinite(size) and size > 0) or math.hypot(x, y) > _FLAT * size:
        raise NotFlatError
    return Affine() if z > 0 else scaling(-1.0, 1.0)


def heights_of(entity: Record) -> list[float]:
    """Return the heights of an entity that has several, in the drawing's unit."""
    if entity.kind == "LINE":
        return [entity.number(30, 0.0), entity.number(31, 0.0)]
    if entity.kind == "POLYLINE" and entity.whole(70) & _IN_SPACE:
        return [vertex.number(30, 0.0) for vertex in entity.vertices]
    if entity.kind == "SPLINE":
        return entity.numbers(30)
    return []


def _line(entity: Record, matrix: Affine) -> Iterator[Path]:
    yield Path((Vertex(*matrix(*entity.point(10))), Vertex(*matrix(*entity.point(11)))), closed=False)


def _circle(entity: Record, matrix: Affine) -> Iterator[Path]:
    yield from _round(entity, 0.0, _FULL, matrix)


def _arc(entity: Record, matrix: Affine) -> Iterator[Path]:
    start, end = entity.number(50), entity.number(51)
    yield from _round(entity, math.radians(start), math.radians((end - start) % 360) or _FULL, matrix)


def _round(entity: Record, start: float, sweep: float, matrix: Affine) -> Iterator[Path]:
    (x, y), radius = entity.point(), entity.number(40)
    if radius < 0:
        raise MisfitError(msg("its radius is below 0"))
    if radius == 0:
        yield _nothing_at(frame_of(entity)(x, y), matrix)
    else:
        yield _elliptic(from_circular(x, y, radius, start, sweep), frame_of(entity), matrix)


def _nothing_at(at: Point, matrix: Affine) -> Path:
    """Return a path without length, which whoever asked for it tells of and leaves out."""
    spot = Vertex(*matrix(*at))
    return Path((spot, spot), closed=False)


def _ellipse(entity: Record, matrix: Affine) -> Iterator[Path]:
    (x, y), major, ratio = entity.point(), entity.point(11), entity.number(40)
    start, end = entity.number(41, 0.0), entity.number(42, _FULL)
    side = frame_of(entity).a
    if major == (0.0, 0.0) or ratio == 0:
        yield _nothing_at((x, y), matrix)
        return
    frame = Affine(major[0], major[1], -major[1] * ratio * side, major[0] * ratio * side, x, y)
    sweep = (end - start) % _FULL
    whole = sweep < _SAME or _FULL - sweep < _SAME
    yield _elliptic(EllipticArc(frame, start, _FULL if whole else sweep), Affine(), matrix)


def _elliptic(arc: EllipticArc, frame: Affine, matrix: Affine) -> Path:
    image = arc.transformed(matrix @ frame)
    if not math.isfinite(sum(image.frame)) or abs(image.frame.determinant) < 1e-18:
        raise MisfitError(msg("a round shape has no size"))
    within_reach(*image.frame)
    vertices = image.vertices()
    if abs(arc.sweep) >= _FULL:
        return Path(tuple(vertices))
    return Path((*vertices, Vertex(*image.end())), closed=False)


def _lwpolyline(entity: Record, matrix: Affine) -> Iterator[Path]:
    places = entity.points()
    bulges = [0.0] * len(places)
    for index, bulge in _bulges(entity):
        bulges[index] = bulge
    rows = [(x, y, bulge) for (x, y), bulge in zip(places, bulges, strict=True)]
    yield from _vertices(rows, bool(entity.whole(70) & _CLOSED), matrix @ frame_of(entity))


def _bulges(entity: Record) -> Iterator[tuple[int, float]]:
    """Yield the number of a vertex and its bulge, which stands between its place and the next one."""
    index, before, certain = -1, 0, True
    for code, value in entity.pairs():
        if code in (10, 20):
            certain = certain and code != before
            index, before = (index, 0) if before else (index + 1, code)
        elif code == 42 and entity.checked(42, value):
            if index < 0 or before or not certain:
                raise MisfitError(msg("a bulge stands where it belongs to no vertex"))
            yield index, entity.checked(42, value)


def _polyline(entity: Record, matrix: Affine) -> Iterator[Path]:
    flags = entity.whole(70)
    if flags & (_MESH | _FACES):
        raise NotFlatError
    frame = matrix if flags & _IN_SPACE else matrix @ frame_of(entity)
    # a frame point belongs to the control frame of a curve that was drawn as many short lines beside it
    drawn = [vertex for vertex in entity.vertices if not vertex.whole(70) & _FRAME_POINT]
    rows = [(*vertex.point(), vertex.number(42, 0.0)) for vertex in drawn]
    yield from _vertices(rows, bool(flags & _CLOSED), frame)


def _vertices(rows: list[tuple[float, float, float]], closed: bool, frame: Affine) -> Iterator[Path]:
    if rows:
        yield transformed(Path(tuple(Vertex(*row) for row in rows), closed), frame)


def _spline(entity: Record, matrix: Affine) -> Iterator[Path]:
    curve = _curve(entity).transformed(matrix)
    vertices, (x, y) = curve.vertices(), curve.end_point()
    closed = bool(entity.whole(70) & _CLOSED) and math.hypot(x - vertices[0].x, y - vertices[0].y) <= _LEVEL
    yield Path(tuple(vertices)) if closed else Path((*vertices, Vertex(x, y)), closed=False)


def _curve(entity: Record) -> BSpline:
    points, knots, weights = entity.points(), entity.numbers(40), entity.numbers(41)
    for code, count in ((72, len(knots)), (73, len(points))):
        if entity.whole(code, count) != count:
            raise MisfitError(
                msg("it says {said} in code {code} and has {count}", said=entity.whole(code), code=code, count=count)
            )
    if not points:
        return _through_fit_points(entity)
    degree = entity.whole(71, 3)
    if not knots and entity.whole(70) & _CLOSED:
        return uniform_closed(degree, points, weights or None)
    return BSpline(degree, knots, points, weights or None)


def _through_fit_points(entity: Record) -> BSpline:
    """Return the cubic curve through the fit points of a spline without control points."""
    from ezdxf.math import Vec3, fit_points_to_cad_cv

    fit = entity.points(11)
    if len(fit) < 2:
        raise MisfitError(msg("a spline has no points"))
    tangents = [Vec3(entity.number(code, 0.0), entity.number(code + 10, 0.0)) for code in (12, 13)]
    ends = tangents if all(tangent.magnitude > _SAME for tangent in tangents) else None
    try:
        curve = fit_points_to_cad_cv(fit, tangents=ends)
    except (ValueError, ArithmeticError, LookupError, TypeError) as error:
        raise MisfitError(msg("no curve goes through its points")) from error
    return BSpline(curve.degree, list(curve.knots()), [(p.x, p.y) for p in curve.control_points])


CURVES = ("ELLIPSE", "SPLINE")
"""The entities that are fitted with arcs, which costs most."""

READERS: dict[str, Callable[[Record, Affine], Iterator[Path]]] = {
    "LINE": _line,
    "CIRCLE": _circle,
    "ARC": _arc,
    "ELLIPSE": _ellipse,
    "LWPOLYLINE": _lwpolyline,
    "POLYLINE": _polyline,
    "SPLINE": _spline,
}
"""For each entity that draws lines, the function from its record and a transformation to mm to its paths."""
