"""Paths moved, turned, mirrored and scaled. Arcs stay arcs unless the scale differs between directions."""

from __future__ import annotations

import math

from kitforge.geometry.affine import Affine, mirroring, rotation, scaling, translation
from kitforge.geometry.biarc import FIT_TOLERANCE
from kitforge.geometry.ellipse import from_circular
from kitforge.model.path import Path, Vertex
from kitforge.model.piece import Piece


def transformed(path: Path, matrix: Affine, tolerance: float = FIT_TOLERANCE) -> Path:
    """Return the image of a path; where circles become ellipses, arcs are fitted to them within `tolerance` mm."""
    if not all(math.isfinite(value) for value in matrix):
        raise ValueError("a transformation must be made of finite numbers")
    if matrix.determinant == 0:
        raise ValueError("a transformation must not flatten the drawing to a line")
    if matrix.keeps_circles:
        sign = math.copysign(1, matrix.determinant)
        return Path(tuple(Vertex(*matrix(v.x, v.y), v.bulge * sign + 0.0) for v in path.vertices), path.closed)
    vertices = [vertex for piece in path.pieces() for vertex in _image(piece, matrix, tolerance)]
    if not path.closed:
        vertices += [Vertex(*matrix(v.x, v.y)) for v in path.vertices[-1:]]
    return Path(tuple(vertices), path.closed)


def _image(piece: Piece, matrix: Affine, tolerance: float) -> list[Vertex]:
    """Return the vertices of a piece's image up to (not including) its end point."""
    start = Vertex(*matrix(piece.x0, piece.y0))
    if not piece.is_arc or piece.chord == 0:
        return [start]
    cx, cy = piece.centre
    arc = from_circular(cx, cy, piece.radius, math.radians(piece.start_angle), piece.sweep)
    vertices = arc.transformed(matrix).vertices(tolerance)
    return [start._replace(bulge=vertices[0].bulge), *vertices[1:]]


def translated(path: Path, dx: float, dy: float) -> Path:
    """Return the path shifted by (dx, dy) mm."""
    return transformed(path, translation(dx, dy))


def rotated(path: Path, degrees: float, x: float = 0.0, y: float = 0.0) -> Path:
    """Return the path turned counter-clockwise about (x, y)."""
    return transformed(path, rotation(degrees, x, y))


def mirrored(path: Path, degrees: float = 90.0, x: float = 0.0, y: float = 0.0) -> Path:
    """Return the path reflected in the line through (x, y) at `degrees` to the x axis; 90 swaps left and right."""
    return transformed(path, mirroring(degrees, x, y))


def scaled(path: Path, along_x: float, along_y: float | None = None, x: float = 0.0, y: float = 0.0) -> Path:
    """Return the path scaled about (x, y); with two different factors arcs become fitted ellipses."""
    return transformed(path, scaling(along_x, along_y, x, y))
