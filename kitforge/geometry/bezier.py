"""Cubic Bezier curves, evaluated by their Bernstein form and fitted with arcs."""

from __future__ import annotations

import math
from typing import NamedTuple

from kitforge.geometry.affine import Affine
from kitforge.geometry.biarc import FIT_TOLERANCE, Sample, fit_arcs
from kitforge.model.path import Vertex

Point = tuple[float, float]


class Cubic(NamedTuple):
    """A cubic Bezier curve by its start, two control points and end."""

    p0: Point
    p1: Point
    p2: Point
    p3: Point

    def sample(self, t: float) -> Sample:
        """Return the point and the derivative at t in 0..1."""
        s = 1 - t
        b0, b1, b2, b3 = s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t
        d0, d1, d2 = 3 * s * s, 6 * s * t, 3 * t * t
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = self
        return Sample(
            b0 * x0 + b1 * x1 + b2 * x2 + b3 * x3,
            b0 * y0 + b1 * y1 + b2 * y2 + b3 * y3,
            d0 * (x1 - x0) + d1 * (x2 - x1) + d2 * (x3 - x2),
            d0 * (y1 - y0) + d1 * (y2 - y1) + d2 * (y3 - y2),
        )

    def transformed(self, matrix: Affine) -> Cubic:
        """Return the image of the curve."""
        return Cubic(matrix(*self.p0), matrix(*self.p1), matrix(*self.p2), matrix(*self.p3))

    def vertices(self, tolerance: float = FIT_TOLERANCE) -> list[Vertex]:
        """Return vertices up to (not including) the end; one line if the curve is straight."""
        if self._is_straight():
            return [Vertex(*self.p0)]
        return fit_arcs(self.sample, 0.0, 1.0, tolerance)

    def end(self) -> Point:
        """Return the last point."""
        return self.p3

    def _is_straight(self) -> bool:
        dx, dy = self.p3[0] - self.p0[0], self.p3[1] - self.p0[1]
        square = dx * dx + dy * dy
        for x, y in (self.p1, self.p2):
            ox, oy = x - self.p0[0], y - self.p0[1]
            if abs(ox * dy - oy * dx) > 1e-9 * max(square, math.sqrt(square)) or not 0 <= ox * dx + oy * dy <= square:
                return False
        return True


def quadratic(p0: Point, p1: Point, p2: Point) -> Cubic:
    """Return a quadratic Bezier curve as the cubic that is equal to it."""
    near = (p0[0] + 2 * (p1[0] - p0[0]) / 3, p0[1] + 2 * (p1[1] - p0[1]) / 3)
    far = (p2[0] + 2 * (p1[0] - p2[0]) / 3, p2[1] + 2 * (p1[1] - p2[1]) / 3)
    return Cubic(p0, near, far, p2)
