"""Elliptical arcs as the affine image of a circular one: true arcs where that is a circle, fitted arcs elsewhere."""

from __future__ import annotations

import math
from itertools import pairwise

from kitforge.geometry.affine import Affine
from kitforge.geometry.biarc import FIT_TOLERANCE, Sample, fit_arcs
from kitforge.model.path import Vertex
from kitforge.model.record import record


@record
class EllipticArc:
    """The image under `frame` of the unit circle from the angle `start` over `sweep`, both in radians.

    finish: the last point where it is known better than the frame of a very large circle can tell.
    """

    frame: Affine
    start: float
    sweep: float
    finish: tuple[float, float] | None = None

    def sample(self, angle: float) -> Sample:
        """Return the point and the derivative at an angle (not the polar angle) in radians."""
        cos, sin = math.cos(angle), math.sin(angle)
        return Sample(*self.frame(cos, sin), *self.frame.direction(-sin, cos))

    def transformed(self, matrix: Affine) -> EllipticArc:
        """Return the image of the arc."""
        finish = matrix(*self.finish) if self.finish else None
        return EllipticArc(matrix @ self.frame, self.start, self.sweep, finish)

    def vertices(self, tolerance: float = FIT_TOLERANCE) -> list[Vertex]:
        """Return vertices up to (not including) the end point; true arcs if the frame keeps circles."""
        if self.frame.keeps_circles:
            return self._round_vertices()
        quarters = max(1, math.ceil(abs(self.sweep) / (math.pi / 2) - 1e-9))
        cuts = [self.start + self.sweep * k / quarters for k in range(quarters + 1)]
        return [v for low, high in pairwise(cuts) for v in fit_arcs(self.sample, low, high, tolerance)]

    def end(self) -> tuple[float, float]:
        """Return the last point."""
        if self.finish:
            return self.finish
        sample = self.sample(self.start + self.sweep)
        return sample.x, sample.y

    def _round_vertices(self) -> list[Vertex]:
        halves = max(1, math.ceil(abs(self.sweep) / math.pi - 1e-9))
        bulge = math.tan(self.sweep / halves / 4) * math.copysign(1, self.frame.determinant)
        samples = [self.sample(self.start + self.sweep * k / halves) for k in range(halves)]
        return [Vertex(sample.x, sample.y, bulge) for sample in samples]


def from_circular(cx: float, cy: float, radius: float, start: float, sweep: float) -> EllipticArc:
    """Return a circular arc in mm and radians, ready to be transformed."""
    return EllipticArc(Affine(radius, 0.0, 0.0, radius, cx, cy), start, sweep)
