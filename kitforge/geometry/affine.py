"""Plane transformations x' = a x + c y + e, y' = b x + d y + f (the order of SVG's matrix())."""

from __future__ import annotations

import math
from typing import NamedTuple


class Affine(NamedTuple):
    """A plane transformation; the default leaves everything where it is."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def __call__(self, x: float, y: float) -> tuple[float, float]:
        """Return the image of a point."""
        return self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f

    def __matmul__(self, inner: Affine) -> Affine:
        """Return the transformation that applies `inner` first and this one after it."""
        a, b, c, d, e, f = self
        u, v, w, x, y, z = inner
        return Affine(a * u + c * v, b * u + d * v, a * w + c * x, b * w + d * x, a * y + c * z + e, b * y + d * z + f)

    def direction(self, x: float, y: float) -> tuple[float, float]:
        """Return the image of a direction, which no shift moves."""
        return self.a * x + self.c * y, self.b * x + self.d * y

    @property
    def determinant(self) -> float:
        """Area factor; negative if the transformation mirrors."""
        return self.a * self.d - self.b * self.c

    @property
    def keeps_circles(self) -> bool:
        """Whether circles stay circles: the same scale in every direction, to one part in 10⁹."""
        size = max(abs(self.a), abs(self.b), abs(self.c), abs(self.d))
        gap = math.hypot(self.a - self.d, self.b + self.c)
        mirror_gap = math.hypot(self.a + self.d, self.b - self.c)
        return min(gap, mirror_gap) <= 1e-9 * size


def translation(dx: float, dy: float) -> Affine:
    """Return a shift by (dx, dy) mm."""
    return Affine(e=dx, f=dy)


def rotation(degrees: float, x: float = 0.0, y: float = 0.0) -> Affine:
    """Return a turn counter-clockwise about (x, y); quarter turns are exact."""
    turn = degrees % 360
    exact = {0: (1.0, 0.0), 90: (0.0, 1.0), 180: (-1.0, 0.0), 270: (0.0, -1.0)}
    cos, sin = exact.get(turn, (math.cos(math.radians(turn)), math.sin(math.radians(turn))))  # type: ignore[call-overload]
    return Affine(cos, sin, -sin, cos, x - cos * x + sin * y, y - sin * x - cos * y)


def scaling(along_x: float, along_y: float | None = None, x: float = 0.0, y: float = 0.0) -> Affine:
    """Return a scaling about (x, y), the same in both directions unless `along_y` is given."""
    along_y = along_x if along_y is None else along_y
    return Affine(a=along_x, d=along_y, e=x - along_x * x, f=y - along_y * y)


def mirroring(degrees: float, x: float = 0.0, y: float = 0.0) -> Affine:
    """Return a reflection in the line through (x, y) at `degrees` to the x axis."""
    turn = rotation(2 * degrees)
    flip = Affine(turn.a, turn.b, turn.b, -turn.a)
    fx, fy = flip(x, y)
    return Affine(flip.a, flip.b, flip.c, flip.d, x - fx, y - fy)
