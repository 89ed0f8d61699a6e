"""B-splines, rational or not, evaluated as such (de Boor) and fitted with arcs span by span."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from kitforge.geometry.affine import Affine
from kitforge.geometry.biarc import FIT_TOLERANCE, Sample, fit_arcs
from kitforge.model.path import Vertex

Point = tuple[float, float]

MAX_DEGREE = 15


class BSpline:
    """A B-spline curve in the plane by degree, knots, control points and weights.

    Raises ValueError where they do not belong together or are no finite numbers.
    """

    def __init__(
        self, degree: int, knots: Sequence[float], points: Sequence[Point], weights: Sequence[float] | None = None
    ) -> None:
        if not 1 <= degree <= MAX_DEGREE:
            raise ValueError(f"a spline of degree {degree} is not supported")
        if len(points) <= degree or len(knots) != len(points) + degree + 1:
            raise ValueError(
                f"a spline has {len(points)} control points and {len(knots)} knots, which do not fit together"
            )
        scale = np.ones(len(points)) if not weights else np.asarray(weights, dtype=np.float64)
        self.degree = degree
        self.knots = np.asarray(knots, dtype=np.float64)
        self.points = np.column_stack([np.asarray(points, dtype=np.float64).reshape(-1, 2), np.ones(len(points))])
        if len(scale) != len(points):
            raise ValueError("a spline needs one weight for each control point")
        with np.errstate(invalid="ignore", over="ignore"):
            self.points *= scale[:, None]
        if not (np.isfinite(self.points).all() and np.isfinite(self.knots).all() and (scale > 0).all()):
            raise ValueError("a spline has a number that is not finite or a weight that is not above 0")
        if (np.diff(self.knots) < 0).any() or not self.end > self.start:
            raise ValueError("the knots of a spline must rise")

    @property
    def start(self) -> float:
        """Parameter of the first point."""
        return float(self.knots[self.degree])

    @property
    def end(self) -> float:
        """Parameter of the last point."""
        return float(self.knots[-self.degree - 1])

    def transformed(self, matrix: Affine) -> BSpline:
        """Return the image of the curve, exact because weights stay and control points move."""
        flat = [matrix(x / w, y / w) for x, y, w in self.points.tolist()]
        return BSpline(self.degree, self.knots.tolist(), flat, self.points[:, 2].tolist())

    def vertices(self, tolerance: float = FIT_TOLERANCE) -> list[Vertex]:
        """Return vertices up to (not including) the last point, arcs within `tolerance` mm of the curve."""
        breaks = sorted({float(k) for k in self.knots[self.degree : len(self.knots) - self.degree]})
        if self.degree == 1:
            return [Vertex(*self._span(low, high)(low)[:2]) for low, high in pairwise(breaks)]
        vertices: list[Vertex] = []
        for low, high in pairwise(breaks):
            vertices += fit_arcs(self._span(low, high), low, high, tolerance)
        return vertices

    def end_point(self) -> Point:
        """Return the last point."""
        breaks = sorted({float(k) for k in self.knots[self.degree : len(self.knots) - self.degree]})
        last = self._span(breaks[-2], breaks[-1])(breaks[-1])
        return last.x, last.y

    def _span(self, low: float, high: float) -> _Span:
        index = int(np.searchsorted(self.knots, (low + high) / 2, side="right")) - 1
        window = self.points[index - self.degree : index + 1]
        return _Span(self.knots[index - self.degree + 1 : index + self.degree + 1], window, self.degree)


class _Span:
    """One polynomial (or rational) stretch of the curve between two knots, with its derivative."""

    def __init__(self, knots: NDArray[np.float64], points: NDArray[np.float64], degree: int) -> None:
        self.knots = knots.tolist()
        self.points = [tuple(row) for row in points.tolist()]
        self.degree = degree

    def __call__(self, t: float) -> Sample:
        """Return point and derivative at a parameter by de Boor's algorithm in homogeneous coordinates."""
        p, knots = self.degree, self.knots
        row = self.points
        for level in range(1, p):
            row = [self._blend(row[k], row[k + 1], knots[k + level - 1], knots[k + p], t) for k in range(len(row) - 1)]
        (ax, ay, aw), (bx, by, bw) = row
        left, right = knots[p - 1], knots[p]
        x, y, w = self._blend(row[0], row[1], left, right, t)
        rate = p / (right - left)
        dx, dy, dw = (bx - ax) * rate, (by - ay) * rate, (bw - aw) * rate
        return Sample(x / w, y / w, (dx - x / w * dw) / w, (dy - y / w * dw) / w)

    @staticmethod
    def _blend(
        a: tuple[float, float, float], b: tuple[float, float, float], left: float, right: float, t: float
    ) -> tuple[float, float, float]:
        share = (t - left) / (right - left)
        return (
            a[0] + (b[0] - a[0]) * share,
            a[1] + (b[1] - a[1]) * share,
            a[2] + (b[2] - a[2]) * share,
        )


def uniform_closed(degree: int, points: Sequence[Point], weights: Sequence[float] | None = None) -> BSpline:
    """Return the smooth closed B-spline over a ring of control points with evenly spaced knots."""
    ring = [*points, *points[:degree]]
    heavy = [*weights, *weights[:degree]] if weights else None
    return BSpline(degree, [float(k) for k in range(len(ring) + degree + 1)], ring, heavy)
