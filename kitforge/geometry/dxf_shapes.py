"""DXF entities to paths: arcs, bulges and ellipses in closed form, splines as B-splines, blocks counted out.

Follows the DXF reference: object coordinates and extrusion by the arbitrary axis algorithm (for the two flat directions
+Z and -Z), bulge = tan(included angle / 4), block references with base point, scale, rotation and arrays.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from kitforge.geometry.affine import Affine, rotation, scaling, translation
from kitforge.geometry.bspline import BSpline, uniform_closed
from kitforge.geometry.drawing import DrawingError, Point, Problem, ProblemKind, place
from kitforge.geometry.ellipse import EllipticArc, from_circular
from kitforge.geometry.limits import Budget, finite, within_reach
from kitforge.geometry.path import Path, Vertex
from kitforge.geometry.transform import transformed

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document
    from ezdxf.entities.dxfentity import DXFEntity

_FLAT = 1e-6
_LEVEL = 0.01
_FULL = 2 * math.pi
_SAME = 1e-9


class _NotFlatError(Exception):
    """The entity does not lie parallel to the drawing plane."""


@dataclass(slots=True)
class RawLayer:
    """The shapes of a layer as drawn, in mm, before ends are joined."""

    paths: list[Path] = field(default_factory=list)
    points: list[Point] = field(default_factory=list)


@dataclass(slots=True)
class Collected:
    """What a walk through the model space found."""

    layers: dict[str, RawLayer] = field(default_factory=dict)
    skipped: Counter[str] = field(default_factory=Counter)
    hidden: Counter[str] = field(default_factory=Counter)
    problems: list[Problem] = field(default_factory=list)


class Collector:
    """Walks through entities and blocks and gathers paths by layer."""

    def __init__(self, document: Document, scale: float, budget: Budget) -> None:
        self.document = document
        self.scale = scale
        self.budget = budget
        self.found = Collected()
        self.names = {layer.dxf.name.casefold(): layer.dxf.name for layer in document.layers}
        self.off = {layer.dxf.name.casefold() for layer in document.layers if layer.is_off() or layer.is_frozen()}
        self.frozen = {layer.dxf.name.casefold() for layer in document.layers if layer.is_frozen()}

    def run(self) -> Collected:
        """Return everything in the model space. Raises DrawingError for what must not be read."""
        self._walk(self.document.modelspace(), scaling(self.scale), "0", ())
        return self.found

    def _walk(self, entities: Iterable[DXFEntity], matrix: Affine, layer: str, inside: tuple[str, ...]) -> None:
        for entity in entities:
            self.budget.take_entities()
            try:
                self._entity(entity, matrix, layer, inside)
            except _NotFlatError:
                self._skip_tilted(entity)
            except ValueError as error:
                if isinstance(error, DrawingError):
                    raise
                raise DrawingError(f"{_name(entity)}: {error}", entity=str(entity.dxf.handle or "")) from error
            except (AttributeError, TypeError, ArithmeticError, LookupError) as error:
                # what a tag that is missing or of the wrong sort leads to inside the library
                said = f"{_name(entity)} is damaged: {error}"
                raise DrawingError(said, entity=str(entity.dxf.handle or "")) from error

    def _entity(self, entity: DXFEntity, matrix: Affine, layer: str, inside: tuple[str, ...]) -> None:
        kind = entity.dxftype()
        if not entity.dxf.is_supported("layer"):  # a kind that the library does not know
            self.found.skipped[kind] += 1
            return
        own = _layer_of(entity)
        layer = layer if own == "0" else own
        key = layer.casefold()
        if entity.dxf.get("invisible", 0) or key in (self.frozen if kind == "INSERT" else self.off):
            self.found.hidden[self.names.get(key, layer)] += 1
        elif kind == "INSERT":
            self._insert(entity, matrix, layer, inside)
        elif kind == "POINT":
            at = entity.dxf.location
            self._check_level(entity, [at.z])
            x, y = matrix(at.x, at.y)
            within_reach(x, y)
            self._raw(layer).points.append((x, y))
        elif kind in _READERS:
            fitted = kind in _CURVES or not matrix.keeps_circles
            for path in _READERS[kind](entity, matrix):
                self.budget.take_fitted(len(path.vertices) * (fitted and path.has_arcs))
                self._add(path, layer, entity)
            self._check_level(entity, _heights(entity))
        else:
            self.found.skipped[kind] += 1

    def _raw(self, layer: str) -> RawLayer:
        return self.found.layers.setdefault(self.names.setdefault(layer.casefold(), layer), RawLayer())

    def _add(self, path: Path, layer: str, entity: DXFEntity) -> None:
        self.budget.take_pieces(max(1, len(path.vertices) - (not path.closed)))
        within_reach(*(value for vertex in path.vertices for value in vertex))
        clean = _without_empty_pieces(path)
        if clean is None:
            x, y = path.start
            text = f"{_name(entity)} at {place(x, y)} has no length; it was left out."
            self._problem(ProblemKind.ZERO_LENGTH, text, (x, y), entity)
        else:
            self._raw(layer).paths.append(clean)

    def _problem(self, kind: ProblemKind, text: str, at: Point | None, entity: DXFEntity) -> None:
        layer, handle = str(entity.dxf.get("layer", "0")), entity.dxf.handle
        self.found.problems.append(Problem(kind, text, at, None, layer, str(handle) if handle else None))

    def _skip_tilted(self, entity: DXFEntity) -> None:
        self.found.skipped[entity.dxftype()] += 1
        text = f"{_name(entity)} does not lie flat in the drawing plane and was left out; draw it in the top view."
        self._problem(ProblemKind.NOT_FLAT, text, None, entity)

    def _check_level(self, entity: DXFEntity, heights: list[float]) -> None:
        if heights and max(heights) - min(heights) > _LEVEL / max(self.scale, 1e-9):
            text = f"{_name(entity)} rises out of the drawing plane; it was read as seen from above."
            self._problem(ProblemKind.NOT_FLAT, text, None, entity)

    def _insert(self, entity: Any, matrix: Affine, layer: str, inside: tuple[str, ...]) -> None:  # noqa: ANN401
        name = str(entity.dxf.get("name", ""))
        block = self.document.blocks.get(name) if name else None
        if block is None or block.block is None:
            self._problem(ProblemKind.UNRESOLVED, f"The block '{name}' is used but not in the file.", None, entity)
            return
        if block.block.is_xref or block.block.is_xref_overlay:
            text = f"The block '{name}' lies in another file, which is not read; put its lines into this drawing."
            self._problem(ProblemKind.UNRESOLVED, text, None, entity)
            return
        if name.casefold() in inside:
            raise ValueError(f"the block '{name}' contains itself")
        if len(inside) >= self.budget.limits.depth:
            raise ValueError(f"blocks are nested more than {self.budget.limits.depth} deep")
        rows, columns = max(1, entity.dxf.get("row_count", 1)), max(1, entity.dxf.get("column_count", 1))
        self.budget.take_entities(rows * columns)
        for copy in _copies(entity, block.block.dxf.base_point, rows, columns):
            self._walk(block, matrix @ copy, layer, (*inside, name.casefold()))


def _layer_of(entity: DXFEntity) -> str:
    return str(entity.dxf.get("layer", "0")) if entity.dxf.is_supported("layer") else "0"


def _name(entity: DXFEntity) -> str:
    handle = f" {entity.dxf.handle}" if entity.dxf.handle else ""
    return f"{entity.dxftype()}{handle} on layer '{_layer_of(entity)}'"


def _copies(entity: Any, base: Any, rows: int, columns: int) -> Iterator[Affine]:  # noqa: ANN401
    """Yield the transformation of each copy of a block."""
    dxf = entity.dxf
    at = dxf.insert
    scale_x, scale_y = dxf.get("xscale", 1.0), dxf.get("yscale", 1.0)
    numbers = (at.x, at.y, scale_x, scale_y, dxf.get("rotation", 0.0), dxf.get("column_spacing", 0.0))
    if not all(math.isfinite(number) for number in (*numbers, dxf.get("row_spacing", 0.0))):
        raise ValueError("a number is not finite")
    if scale_x == 0 or scale_y == 0:
        raise ValueError("a block is scaled to nothing")
    frame = _frame(entity) @ translation(at.x, at.y) @ rotation(dxf.get("rotation", 0.0))
    inner = scaling(scale_x, scale_y) @ translation(-base.x, -base.y)
    for row in range(rows):
        for column in range(columns):
            shift = translation(column * dxf.get("column_spacing", 0.0), row * dxf.get("row_spacing", 0.0))
            yield frame @ shift @ inner


def _frame(entity: DXFEntity) -> Affine:
    """Return object to world coordinates: extrusion +Z leaves all as it is, -Z mirrors x (arbitrary axis algorithm)."""
    normal = entity.dxf.get("extrusion", (0.0, 0.0, 1.0))
    x, y, z = (float(value) for value in normal)
    size = math.sqrt(x * x + y * y + z * z)
    if not (math.isfinite(size) and size > 0) or math.hypot(x, y) > _FLAT * size:
        raise _NotFlatError
    return Affine() if z > 0 else scaling(-1.0, 1.0)


def _heights(entity: Any) -> list[float]:  # noqa: ANN401
    """Return the heights of an entity that has several, in the drawing's unit."""
    kind = entity.dxftype()
    if kind == "LINE":
        return [entity.dxf.start.z, entity.dxf.end.z]
    if kind == "POLYLINE" and entity.is_3d_polyline:
        return [vertex.dxf.location.z for vertex in entity.vertices]
    if kind == "SPLINE":
        return [float(point[2]) for point in entity.control_points]
    return []


def _without_empty_pieces(path: Path) -> Path | None:
    """Return the path without pieces of no length, or None if nothing is left."""
    drawn = path.pieces()
    pieces = [piece for piece in drawn if abs(piece.x1 - piece.x0) > _SAME or abs(piece.y1 - piece.y0) > _SAME]
    if not pieces or (path.closed and len(pieces) == 1):
        return None
    if len(pieces) == len(drawn):
        return path
    vertices = [Vertex(piece.x0, piece.y0, piece.bulge) for piece in pieces]
    if not path.closed:
        vertices.append(Vertex(pieces[-1].x1, pieces[-1].y1))
    return Path(tuple(vertices), path.closed)


def _line(entity: Any, matrix: Affine) -> Iterator[Path]:  # noqa: ANN401
    start, end = entity.dxf.start, entity.dxf.end
    yield Path((Vertex(*matrix(start.x, start.y)), Vertex(*matrix(end.x, end.y))), closed=False)


def _circle(entity: Any, matrix: Affine) -> Iterator[Path]:  # noqa: ANN401
    centre = entity.dxf.center
    yield _elliptic(_round(centre.x, centre.y, entity.dxf.radius, 0.0, _FULL), _frame(entity), matrix)


def _arc(entity: Any, matrix: Affine) -> Iterator[Path]:  # noqa: ANN401
    centre, start, end = entity.dxf.center, entity.dxf.start_angle, entity.dxf.end_angle
    finite(start, end)
    sweep = math.radians((end - start) % 360) or _FULL
    arc = _round(centre.x, centre.y, entity.dxf.radius, math.radians(start), sweep)
    yield _elliptic(arc, _frame(entity), matrix)


def _round(x: float, y: float, radius: float, start: float, sweep: float) -> EllipticArc:
    finite(x, y, radius)
    if radius <= 0:
        raise ValueError(f"the radius is {radius:g}")
    return from_circular(x, y, radius, start, sweep)


def _ellipse(entity: Any, matrix: Affine) -> Iterator[Path]:  # noqa: ANN401
    dxf = entity.dxf
    centre, major, ratio = dxf.center, dxf.major_axis, dxf.ratio
    side = _frame(entity).a
    finite(centre.x, centre.y, major.x, major.y, ratio, dxf.start_param, dxf.end_param)
    if major.x == major.y == 0 or ratio == 0:
        raise ValueError("an ellipse has no size")
    frame = Affine(major.x, major.y, -major.y * ratio * side, major.x * ratio * side, centre.x, centre.y)
    sweep = (dxf.end_param - dxf.start_param) % _FULL
    whole = sweep < _SAME or _FULL - sweep < _SAME
    yield _elliptic(EllipticArc(frame, dxf.start_param, _FULL if whole else sweep), Affine(), matrix)


def _elliptic(arc: EllipticArc, frame: Affine, matrix: Affine) -> Path:
    image = arc.transformed(matrix @ frame)
    if not math.isfinite(sum(image.frame)) or abs(image.frame.determinant) < 1e-18:
        raise ValueError("a round shape has no size")
    within_reach(*image.frame)
    vertices = image.vertices()
    if abs(arc.sweep) >= _FULL:
        return Path(tuple(vertices))
    return Path((*vertices, Vertex(*image.end())), closed=False)


def _lwpolyline(entity: Any, matrix: Affine) -> Iterator[Path]:  # noqa: ANN401
    rows = [(float(x), float(y), float(bulge)) for x, y, bulge in entity.get_points("xyb")]
    yield from _vertices(rows, bool(entity.closed), matrix @ _frame(entity))


def _polyline(entity: Any, matrix: Affine) -> Iterator[Path]:  # noqa: ANN401
    if not (entity.is_2d_polyline or entity.is_3d_polyline):
        raise _NotFlatError
    frame = matrix if entity.is_3d_polyline else matrix @ _frame(entity)
    # flag 16 marks the control frame of a curve that was drawn as many short lines beside it
    drawn = [vertex for vertex in entity.vertices if not vertex.dxf.flags & 16]
    if any(vertex.dxf.location is None for vertex in drawn):
        raise ValueError("a vertex has no place")
    rows = [(v.dxf.location.x, v.dxf.location.y, float(v.dxf.get("bulge", 0.0) or 0.0)) for v in drawn]
    yield from _vertices(rows, bool(entity.is_closed), frame)


def _vertices(rows: list[tuple[float, float, float]], closed: bool, frame: Affine) -> Iterator[Path]:
    if not rows:
        return
    finite(*(value for row in rows for value in row))
    yield transformed(Path(tuple(Vertex(*row) for row in rows), closed), frame)


def _spline(entity: Any, matrix: Affine) -> Iterator[Path]:  # noqa: ANN401
    curve = _curve(entity).transformed(matrix)
    vertices, (x, y) = curve.vertices(), curve.end_point()
    closed = bool(entity.closed) and math.hypot(x - vertices[0].x, y - vertices[0].y) <= _LEVEL
    yield Path(tuple(vertices)) if closed else Path((*vertices, Vertex(x, y)), closed=False)


def _curve(entity: Any) -> BSpline:  # noqa: ANN401
    points = [(float(p[0]), float(p[1])) for p in entity.control_points]
    if not points:
        return _through_fit_points(entity)
    knots, weights = [float(k) for k in entity.knots], [float(w) for w in entity.weights]
    degree = int(entity.dxf.degree)
    if not knots and entity.closed:
        return uniform_closed(degree, points, weights or None)
    return BSpline(degree, knots, points, weights or None)


def _through_fit_points(entity: Any) -> BSpline:  # noqa: ANN401
    """Return the cubic curve through the fit points of a spline without control points."""
    from ezdxf.math import fit_points_to_cad_cv

    fit = list(entity.fit_points)
    finite(*(float(value) for point in fit for value in point))
    if len(fit) < 2:
        raise ValueError("a spline has no points")
    tangents = [entity.dxf.get(name) for name in ("start_tangent", "end_tangent")]
    ends = tangents if all(t is not None and t.magnitude > _SAME for t in tangents) else None
    curve = fit_points_to_cad_cv(fit, tangents=ends)
    return BSpline(curve.degree, list(curve.knots()), [(p.x, p.y) for p in curve.control_points])


_CURVES = ("ELLIPSE", "SPLINE")
_READERS: dict[str, Callable[[Any, Affine], Iterator[Path]]] = {
    "LINE": _line,
    "CIRCLE": _circle,
    "ARC": _arc,
    "ELLIPSE": _ellipse,
    "LWPOLYLINE": _lwpolyline,
    "POLYLINE": _polyline,
    "SPLINE": _spline,
}
