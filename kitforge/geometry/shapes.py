"""Shapes by their measures, in mm and degrees, as paths of lines and true arcs.

Every function checks its measures and raises ValueError in plain words. Closed shapes run counter-clockwise.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal, NamedTuple

from kitforge.geometry.affine import mirroring, rotation, translation
from kitforge.geometry.transform import rotated, transformed, translated
from kitforge.model.errors import RefusedValueError
from kitforge.model.messages import Quantity, Value, later, msg, term
from kitforge.model.path import Path, Vertex
from kitforge.model.path import circle as circle_by_radius
from kitforge.model.piece import Piece

Point = tuple[float, float]

LARGEST = 1e6
"""Largest coordinate or size in mm that a shape or drawing may have."""

_QUARTER = math.tan(math.pi / 8)
_SLACK = 1e-9


class PolylineVertex(NamedTuple):
    """A vertex of a polyline: where it lies, a point that an arc to it passes, a fillet radius, a bulge to the next."""

    x: float
    y: float
    through: Point | None = None
    radius: float = 0.0
    bulge: float = 0.0


def _number(value: float, what: str) -> float:
    if not math.isfinite(value):
        raise RefusedValueError(msg("{what} must be a finite number, not {value}", what=term(what), value=str(value)))
    if abs(value) > LARGEST:
        raise RefusedValueError(
            msg(
                "{what} is {value} mm; nothing may lie beyond {largest} mm",
                what=term(what),
                value=Quantity(value, "", 6),
                largest=Quantity(LARGEST, "", 6),
            )
        )
    return float(value)


def _at(x: float, y: float) -> dict[str, Value]:
    return {"x": Quantity(x, "", 6), "y": Quantity(y, "", 6)}


def _size(value: float, what: str) -> float:
    if _number(value, what) <= 0:
        raise RefusedValueError(
            msg("{what} must be above 0 mm, not {value} mm", what=term(what), value=Quantity(value, "", 6))
        )
    return float(value)


def _point(point: Sequence[float], what: str) -> Point:
    if len(point) != 2:
        raise RefusedValueError(msg("{what} needs two numbers, x and y", what=term(what)))
    return _number(point[0], f"x of {what}"), _number(point[1], f"y of {what}")


def rectangle(
    size: Sequence[float],
    *,
    at: Sequence[float] | None = None,
    centre: Sequence[float] | None = None,
    corner_radius: float = 0.0,
    angle: float = 0.0,
) -> Path:
    """Return a rectangle by its lower left corner `at` (0, 0 unless given) or its `centre`, turned about its centre."""
    if at is not None and centre is not None:
        raise RefusedValueError(msg("give a rectangle either its lower left corner or its centre, not both"))
    width, height = (
        _size(size[0], later("the width of a rectangle")),
        _size(size[1], later("the height of a rectangle")),
    )
    radius = _number(corner_radius, "the corner radius")
    if not 0 <= radius <= min(width, height) / 2 + _SLACK:
        half = min(width, height) / 2
        raise RefusedValueError(
            msg(
                "the corner radius must lie between 0 and half the shorter side, {half} mm, not {radius} mm",
                half=Quantity(half, "", 6),
                radius=Quantity(radius, "", 6),
            )
        )
    if centre is not None:
        cx, cy = _point(centre, "the centre of a rectangle")
        left, bottom = cx - width / 2, cy - height / 2
    else:
        left, bottom = _point(at if at is not None else (0.0, 0.0), "the corner of a rectangle")
    path = _rounded_box(left, bottom, width, height, min(radius, width / 2, height / 2))
    turn = _number(angle, "the angle of a rectangle")
    return rotated(path, turn, left + width / 2, bottom + height / 2) if turn % 360 else path


def _rounded_box(left: float, bottom: float, width: float, height: float, r: float) -> Path:
    right, top = left + width, bottom + height
    if r == 0:
        return Path((Vertex(left, bottom), Vertex(right, bottom), Vertex(right, top), Vertex(left, top)))
    corners = (
        Vertex(left + r, bottom),
        Vertex(right - r, bottom, _QUARTER),
        Vertex(right, bottom + r),
        Vertex(right, top - r, _QUARTER),
        Vertex(right - r, top),
        Vertex(left + r, top, _QUARTER),
        Vertex(left, top - r),
        Vertex(left, bottom + r, _QUARTER),
    )
    kept = [
        a for a, b in zip(corners, corners[1:] + corners[:1], strict=True) if math.hypot(a.x - b.x, a.y - b.y) > _SLACK
    ]
    return Path(tuple(kept))


def circle(centre: Sequence[float], diameter: float) -> Path:
    """Return a full circle by centre and diameter."""
    x, y = _point(centre, "the centre of a circle")
    return circle_by_radius(x, y, _size(diameter, later("the diameter of a circle")) / 2)


def slot(start: Sequence[float], end: Sequence[float], width: float) -> Path:
    """Return a slot with round ends, by the two centres of its end arcs and its width; equal centres give a circle."""
    (x0, y0), (x1, y1) = _point(start, "the start of a slot"), _point(end, "the end of a slot")
    r = _size(width, later("the width of a slot")) / 2
    run = math.hypot(x1 - x0, y1 - y0)
    if run <= _SLACK:
        return circle_by_radius(x0, y0, r)
    nx, ny = (y1 - y0) / run * r, -(x1 - x0) / run * r
    return Path(
        (
            Vertex(x0 + nx, y0 + ny),
            Vertex(x1 + nx, y1 + ny, 1.0),
            Vertex(x1 - nx, y1 - ny),
            Vertex(x0 - nx, y0 - ny, 1.0),
        )
    )


def regular_polygon(
    centre: Sequence[float],
    sides: int,
    *,
    across_flats: float | None = None,
    diameter: float | None = None,
    angle: float = 0.0,
) -> Path:
    """Return a regular polygon by the circle inside it (`across_flats`) or the one through its corners (`diameter`).

    At angle 0 the first corner lies to the right of the centre.
    """
    if (across_flats is None) == (diameter is None):
        raise RefusedValueError(msg("give a regular polygon either across_flats or diameter"))
    if sides < 3:
        raise RefusedValueError(msg("a regular polygon needs at least 3 sides, not {sides}", sides=sides))
    x, y = _point(centre, "the centre of a polygon")
    if across_flats is not None:
        radius = _size(across_flats, later("the distance across flats")) / 2 / math.cos(math.pi / sides)
    else:
        radius = _size(diameter or 0.0, later("the diameter of a polygon")) / 2
    first = math.radians(_number(angle, "the angle of a polygon"))
    turns = [first + 2 * math.pi * k / sides for k in range(sides)]
    return Path(tuple(Vertex(x + radius * math.cos(t), y + radius * math.sin(t)) for t in turns))


def arc(centre: Sequence[float], radius: float, start_angle: float, end_angle: float) -> Path:
    """Return an open arc, counter-clockwise from one angle to the other in degrees; less than a full turn."""
    x, y = _point(centre, "the centre of an arc")
    r = _size(radius, later("the radius of an arc"))
    a, b = _number(start_angle, "the start angle"), _number(end_angle, "the end angle")
    sweep = (b - a) % 360
    if sweep == 0:
        raise RefusedValueError(msg("an arc needs two different angles; for a full turn use a circle"))
    halves = 1 if sweep <= 180 else 2
    bulge = math.tan(math.radians(sweep / halves) / 4)
    turns = [math.radians(a + sweep * k / halves) for k in range(halves + 1)]
    ends = [Vertex(x + r * math.cos(t), y + r * math.sin(t), bulge) for t in turns]
    return Path((*ends[:-1], ends[-1]._replace(bulge=0.0)), closed=False)


def arc_through(start: Sequence[float], through: Sequence[float], end: Sequence[float]) -> Piece:
    """Return the arc (or line, if the three points lie in one) from `start` over `through` to `end`.

    Raises ValueError when the points coincide or the middle one lies in line but outside.
    """
    (x0, y0), (xm, ym), (x1, y1) = (_point(p, "a point of an arc") for p in (start, through, end))
    ax, ay, bx, by = x0 - xm, y0 - ym, x1 - xm, y1 - ym
    if min(math.hypot(ax, ay), math.hypot(bx, by), math.hypot(x1 - x0, y1 - y0)) <= _SLACK:
        raise RefusedValueError(
            msg("the arc over ({x}, {y}) needs three different points; for a full turn use a circle", **_at(xm, ym))
        )
    # the angle between the two chords at the middle point is half the arc on its far side (inscribed angle)
    inscribed = math.atan2(abs(ax * by - ay * bx), ax * bx + ay * by)
    if inscribed <= 1e-12:
        raise RefusedValueError(msg("the arc over ({x}, {y}) doubles back on a straight line", **_at(xm, ym)))
    side = math.copysign(1.0, ay * bx - ax * by)
    sweep = 2 * (math.pi - inscribed)
    bulge = side * math.tan(sweep / 4) if sweep > 1e-12 else 0.0
    return Piece(x0, y0, x1, y1, bulge)


def polyline(corners: Sequence[Sequence[float] | PolylineVertex], *, closed: bool = False) -> Path:
    """Return lines and arcs from corner to corner.

    A corner is (x, y) or a `PolylineVertex`: `through` makes the piece that arrives there an arc, `bulge` the one
    that leaves, `radius` rounds it with a tangent arc between two straight lines. Raises ValueError for a radius that
    does not fit.
    """
    points = [c if isinstance(c, PolylineVertex) else PolylineVertex(*_point(c, "a corner")) for c in corners]
    if len(points) < 2:
        raise RefusedValueError(msg("a line needs at least two points"))
    for corner in points:
        _point((corner.x, corner.y), "a corner")
        _number(corner.bulge, "the bulge")
    bulges = _bulges(points, closed)
    _refuse_repeats(points, bulges, closed)
    return Path(tuple(_rounded(points, bulges, closed)), closed)


def _bulges(points: Sequence[PolylineVertex], closed: bool) -> list[float]:
    bulges = [corner.bulge for corner in points]
    for index, corner in enumerate(points):
        if corner.through is None:
            continue
        if index == 0 and not closed:
            raise RefusedValueError(msg("the first point of an open line cannot be reached over an arc"))
        before = points[index - 1]
        if before.bulge:
            raise RefusedValueError(msg("give an arc either a bulge or a point to pass, not both"))
        piece = arc_through((before.x, before.y), corner.through, (corner.x, corner.y))
        bulges[index - 1] = piece.bulge
    return bulges


def _refuse_repeats(points: Sequence[PolylineVertex], bulges: Sequence[float], closed: bool) -> None:
    count = len(points) if closed else len(points) - 1
    for index in range(count):
        a, b = points[index], points[(index + 1) % len(points)]
        if math.hypot(a.x - b.x, a.y - b.y) <= _SLACK:
            at = _at(a.x, a.y)
            if closed and index == count - 1:
                raise RefusedValueError(
                    msg(
                        "the point ({x}, {y}) comes twice in a row; a closed line must not repeat its first point", **at
                    )
                )
            raise RefusedValueError(msg("the point ({x}, {y}) comes twice in a row", **at))
    if closed and count == 2 and not any(bulges):
        raise RefusedValueError(msg("a closed line needs at least three points or an arc"))


def _rounded(points: Sequence[PolylineVertex], bulges: Sequence[float], closed: bool) -> list[Vertex]:
    """Return the vertices with every fillet put in."""
    setbacks = [_setback(points, bulges, index, closed) for index in range(len(points))]
    for index in range(len(points) if closed else len(points) - 1):
        a, b = points[index], points[(index + 1) % len(points)]
        room = math.hypot(b.x - a.x, b.y - a.y)
        if setbacks[index] + setbacks[(index + 1) % len(points)] > room + _SLACK:
            where = a if setbacks[index] >= setbacks[(index + 1) % len(points)] else b
            raise RefusedValueError(
                msg(
                    "the radius {radius} mm at ({x}, {y}) is too large for its sides",
                    radius=Quantity(where.radius, "", 6),
                    **_at(where.x, where.y),
                )
            )
    vertices: list[Vertex] = []
    for index, corner in enumerate(points):
        vertices += (
            _corner_vertices(points, bulges[index], index, setbacks[index])
            if setbacks[index]
            else [Vertex(corner.x, corner.y, bulges[index])]
        )
    return _without_repeats(vertices, closed)


def _setback(points: Sequence[PolylineVertex], bulges: Sequence[float], index: int, closed: bool) -> float:
    """Return how far from a corner its fillet begins, in mm; 0 for a sharp corner."""
    corner = points[index]
    radius = _number(corner.radius, "the fillet radius")
    if radius < 0:
        raise RefusedValueError(msg("the radius at ({x}, {y}) must not be negative", **_at(corner.x, corner.y)))
    if radius == 0:
        return 0.0
    if not closed and index in (0, len(points) - 1):
        raise RefusedValueError(msg("the end ({x}, {y}) of an open line cannot be rounded", **_at(corner.x, corner.y)))
    if bulges[index] or bulges[index - 1]:
        raise RefusedValueError(
            msg(
                "the corner ({x}, {y}) lies at an arc; only two straight lines can be rounded",
                **_at(corner.x, corner.y),
            )
        )
    turn = abs(_turn(points, index))
    if turn > math.pi - 1e-9:
        raise RefusedValueError(
            msg("the line doubles back at ({x}, {y}) and cannot be rounded there", **_at(corner.x, corner.y))
        )
    return radius * math.tan(turn / 2)


def _turn(points: Sequence[PolylineVertex], index: int) -> float:
    a, b, c = points[index - 1], points[index], points[(index + 1) % len(points)]
    ux, uy, vx, vy = b.x - a.x, b.y - a.y, c.x - b.x, c.y - b.y
    return math.atan2(ux * vy - uy * vx, ux * vx + uy * vy)


def _corner_vertices(points: Sequence[PolylineVertex], bulge: float, index: int, setback: float) -> list[Vertex]:
    a, b, c = points[index - 1], points[index], points[(index + 1) % len(points)]
    back, ahead = setback / math.hypot(a.x - b.x, a.y - b.y), setback / math.hypot(c.x - b.x, c.y - b.y)
    return [
        Vertex(b.x + (a.x - b.x) * back, b.y + (a.y - b.y) * back, math.tan(_turn(points, index) / 4)),
        Vertex(b.x + (c.x - b.x) * ahead, b.y + (c.y - b.y) * ahead, bulge),
    ]


def _without_repeats(vertices: Sequence[Vertex], closed: bool) -> list[Vertex]:
    """Drop the vertices of zero-length lines, left where two fillets meet."""
    after = [*vertices[1:], vertices[0]]
    last = len(vertices) - 1
    return [
        v
        for index, (v, n) in enumerate(zip(vertices, after, strict=True))
        if math.hypot(v.x - n.x, v.y - n.y) > _SLACK or (index == last and not closed)
    ]


def grid(path: Path, columns: int, rows: int, spacing: Sequence[float]) -> list[Path]:
    """Return a path repeated in columns and rows, row by row, the first one where it is."""
    if columns < 1 or rows < 1:
        raise RefusedValueError(msg("a grid needs at least one column and one row"))
    dx, dy = _point(spacing, "the spacing of a grid")
    return [translated(path, column * dx, row * dy) for row in range(rows) for column in range(columns)]


def ring(path: Path, count: int, centre: Sequence[float], sweep: float = 360.0, *, turn: bool = True) -> list[Path]:
    """Return a path repeated around a centre, the first one where it is.

    Over a full turn the copies are spread evenly; over less the last one stands at the end of `sweep` degrees. With
    `turn` False the copies are moved but not turned.
    """
    if count < 1:
        raise RefusedValueError(msg("a ring needs at least one shape"))
    x, y = _point(centre, "the centre of a ring")
    sweep = _number(sweep, "the sweep of a ring")
    gaps = count if abs(sweep) % 360 == 0 else max(1, count - 1)
    steps = [rotation(sweep * k / gaps, x, y) for k in range(count)]
    if turn:
        return [transformed(path, step) for step in steps]
    mx, my = path.bounds.centre
    shifts = [step(mx, my) for step in steps]
    return [translated(path, px - mx, py - my) for px, py in shifts]


def repeated(path: Path, at: Sequence[Sequence[float]]) -> list[Path]:
    """Return a path repeated with its origin at each point of a list."""
    return [transformed(path, translation(*_point(point, "a place"))) for point in at]


def mirror(path: Path, across: Literal["x", "y"], at: float = 0.0) -> Path:
    """Return the path mirrored across the vertical line x = `at` or the horizontal line y = `at`, run the same way."""
    line = _number(at, "the place of a mirror line")
    matrix = mirroring(90.0, x=line) if across == "x" else mirroring(0.0, y=line)
    image = transformed(path, matrix)
    return image.reversed() if image.closed else image
