"""Paths: chains of straight lines and true arcs, the one shape record that every stage hands on.

A path is a tuple of vertices (x, y, bulge). The bulge belongs to the piece that starts at its vertex: the tangent of
a quarter of the included angle, positive counter-clockwise, 0 for a straight line, 1 for a half circle (DXF reference,
LWPOLYLINE group 42). Lengths mm, y upwards.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate
from typing import TYPE_CHECKING, NamedTuple

from kitforge.model import measure
from kitforge.model.piece import TOLERANCE, Bounds, PathPoint, Piece

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from shapely import Polygon

__all__ = ["TOLERANCE", "Bounds", "Path", "PathPoint", "Piece", "Vertex", "circle", "is_circle"]


# From so many vertices on a path is measured with arrays, which costs a small path more than it saves.
_MANY = 64


class Vertex(NamedTuple):
    """A point and the bulge of the piece that leaves it."""

    x: float
    y: float
    bulge: float = 0.0


@dataclass(frozen=True)
class Path:
    """A chain of lines and arcs. A closed path's last piece runs back to the first vertex, which is not repeated.

    Its measures are worked out when they are first asked for and then kept.
    """

    vertices: tuple[Vertex, ...]
    closed: bool = True

    def pieces(self) -> tuple[Piece, ...]:
        """Return the lines and arcs in order; n of them for a closed path of n vertices, else n - 1."""
        if self._rows is not None:
            return self._many_pieces
        here = self.vertices if self.closed else self.vertices[:-1]
        there = self.vertices[1:] + self.vertices[:1]
        return tuple(Piece(a.x, a.y, b.x, b.y, a.bulge) for a, b in zip(here, there, strict=False))

    @cached_property
    def _rows(self) -> NDArray[np.float64] | None:
        """The pieces of a path of many as an array for `measure`, else None."""
        if len(self.vertices) < _MANY:
            return None
        import numpy as np

        here = np.array(self.vertices, dtype=np.float64)
        rows = np.column_stack([here[:, :2], np.roll(here[:, :2], -1, axis=0), here[:, 2]])
        return rows if self.closed else rows[:-1]

    @cached_property
    def _many_pieces(self) -> tuple[Piece, ...]:
        return () if self._rows is None else tuple(map(Piece._make, self._rows.tolist()))

    @cached_property
    def _distances(self) -> list[float]:
        """How far along the path every piece ends, mm."""
        sizes = (
            (piece.length for piece in self.pieces()) if self._rows is None else measure.lengths(self._rows).tolist()
        )
        return list(accumulate(sizes))

    @property
    def start(self) -> tuple[float, float]:
        """First point in mm."""
        return self.vertices[0].x, self.vertices[0].y

    @property
    def end(self) -> tuple[float, float]:
        """Last point in mm; the first one for a closed path."""
        last = self.vertices[0 if self.closed else -1]
        return last.x, last.y

    @cached_property
    def length(self) -> float:
        """Exact length in mm."""
        if self._rows is not None:
            return math.fsum(measure.lengths(self._rows).tolist())
        return math.fsum(piece.length for piece in self.pieces())

    @cached_property
    def area(self) -> float:
        """Exact enclosed area in mm², positive counter-clockwise; an open path encloses nothing."""
        if not self.closed:
            return 0.0
        if self._rows is not None:
            return measure.area(self._rows)
        x, y = self.start
        return math.fsum(
            ((p.x0 - x) * (p.y1 - y) - (p.x1 - x) * (p.y0 - y)) / 2 + p.segment_area for p in self.pieces()
        )

    @cached_property
    def bounds(self) -> Bounds:
        """Exact box in mm, with the extremes of the arcs. Raises ValueError for a path without points."""
        if not self.vertices:
            raise ValueError("a path without points has no extent")
        if self._rows is not None:
            return measure.bounds(self._rows)
        boxes = [piece.bounds for piece in self.pieces()] or [Bounds(*self.start, *self.start)]
        return Bounds.around(boxes)

    @cached_property
    def has_arcs(self) -> bool:
        """Whether any piece is curved."""
        if self._rows is not None:
            return bool(measure.are_arcs(self._rows).any())
        return any(piece.is_arc for piece in self.pieces())

    def reversed(self) -> Path:
        """Return the same path run the other way, from the same first vertex if it is closed."""
        pieces = [piece.reversed() for piece in reversed(self.pieces())]
        vertices = [Vertex(piece.x0, piece.y0, piece.bulge) for piece in pieces]
        if not self.closed:
            vertices.append(Vertex(*self.start))
        return Path(tuple(vertices), self.closed)

    def counter_clockwise(self) -> Path:
        """Return the path so run that it encloses a positive area."""
        return self.reversed() if self.area < 0 else self

    def starting_at(self, index: int) -> Path:
        """Return the same closed path with another of its vertices as the first one."""
        if not self.closed:
            raise ValueError("only a closed path can start at another vertex")
        index %= len(self.vertices)
        return Path(self.vertices[index:] + self.vertices[:index])

    def flatten(self, tolerance: float = TOLERANCE) -> NDArray[np.float64]:
        """Return points, shape (n, 2), whose chords stay within `tolerance` mm; a closed path ends where it began."""
        import numpy as np

        if not tolerance > 0:
            raise ValueError(f"the chord tolerance must be above 0 mm, not {tolerance:g} mm")
        if self._rows is not None:
            return measure.chords(self._rows, tolerance)
        if not self.has_arcs:
            vertices = self.vertices + self.vertices[:1] if self.closed else self.vertices
            return np.array([(v.x, v.y) for v in vertices], dtype=np.float64).reshape(-1, 2)
        rows = [np.array([self.start])]
        for piece in self.pieces():
            rows += [piece.inner_points(tolerance), np.array([(piece.x1, piece.y1)])]
        return np.concatenate(rows)

    def to_polygon(self, tolerance: float = TOLERANCE) -> Polygon:
        """Return the enclosed area as a polygon (not checked for crossings). Raises ValueError for an open path."""
        from shapely import Polygon

        if not self.closed:
            raise ValueError("an open path encloses no area")
        points = self.flatten(tolerance)
        if len(points) < 4:
            raise ValueError("a path of fewer than three sides encloses no area")
        return Polygon(points)

    def point_at(self, distance: float) -> PathPoint:
        """Return the point and direction at `distance` mm along the path, held to its ends."""
        ends = self._distances
        if not ends:
            raise ValueError("a path of one point has no direction")
        wanted = max(0.0, distance)
        index, sized = bisect_left(ends, wanted), self._sized
        while index < len(ends) and not sized[index][1] > 0:
            index += 1
        if index == len(ends):
            return sized[index - 1][0].at(1.0)
        piece, length = sized[index]
        return piece.at(min(1.0, max(0.0, 1 - (ends[index] - wanted) / length)))

    def points_at(self, distances: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return what `point_at` does for many distances in mm, a row (x, y, dx, dy) for each."""
        import numpy as np

        sizes = np.array([length for _, length in self._sized])
        if not len(sizes):
            raise ValueError("a path of one point has no direction")
        ends, wanted = np.array(self._distances), np.maximum(0.0, distances)
        # the piece in which a distance ends; from there on the first that has a length, or else the last one
        real = np.append(np.flatnonzero(sizes > 0), len(sizes))
        index = real[np.searchsorted(real, np.searchsorted(ends, wanted))]
        inside = index < len(sizes)
        index[~inside] = len(sizes) - 1
        with np.errstate(invalid="ignore", divide="ignore"):
            share = np.clip(1 - (ends[index] - wanted) / sizes[index], 0.0, 1.0)
        share[~inside] = 1.0
        return measure.points_on([piece for piece, _ in self._sized], index, share)

    @cached_property
    def _sized(self) -> list[tuple[Piece, float]]:
        """Every piece with its length, mm; a plan asks for thousands of places on an outline."""
        return [(piece, piece.length) for piece in self.pieces()]


def circle(x: float, y: float, radius: float) -> Path:
    """Return a full circle, counter-clockwise, as two half circles. Raises ValueError for a radius that is no size."""
    if not (math.isfinite(x) and math.isfinite(y)):
        raise ValueError("the centre of a circle must be two finite numbers")
    if not (math.isfinite(radius) and radius > 0):
        raise ValueError(f"the radius of a circle must be above 0 mm, not {radius:g} mm")
    return Path((Vertex(x + radius, y, 1.0), Vertex(x - radius, y, 1.0)))


def is_circle(path: Path, tolerance: float = 1e-6) -> tuple[float, float, float] | None:
    """Return (centre x, centre y, radius) in mm if the closed path is one full circle within `tolerance`, else None."""
    pieces = [piece for piece in path.pieces() if piece.chord > 0]
    if not path.closed or not pieces or not all(piece.is_arc for piece in pieces):
        return None
    if abs(abs(math.fsum(piece.sweep for piece in pieces)) - 2 * math.pi) > 1e-6:
        return None
    biggest = max(pieces, key=lambda piece: piece.chord)
    (x, y), radius = biggest.centre, biggest.radius
    for piece in pieces:
        cx, cy = piece.centre
        if math.hypot(cx - x, cy - y) > tolerance or abs(piece.radius - radius) > tolerance:
            return None
    return x, y, radius
