"""A camera with perspective, and how far it stands off so that the whole object fills its share of the frame."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from typing import Any

    Points = NDArray[np.floating[Any]]

# Degrees that the object's longer side takes up: with the free rim the frame is 36 to 38 degrees wide.
_ACROSS = 32.0
_HALVINGS = 40
_RIM = 4


@dataclass(frozen=True, slots=True, eq=False)
class Camera:
    """Rows of `axes` are right, up and away in space; at: the eye, mm; scale: dots for a slope of 1 off the axis.

    left, low: the lower left corner of the paper, dots from the axis; row 0 is the lowest.
    """

    axes: Points
    at: Points
    scale: float
    left: float
    low: float
    columns: int
    rows: int

    def seen(self, points: Points) -> Points:
        """Return points (n, 3) of space as (x, y) on the paper in dots, shape (n, 2)."""
        turned = (points - self.at) @ self.axes.T
        found: Points = turned[:, :2] / turned[:, 2:] * self.scale - np.array([self.left, self.low])
        return found

    def nearness(self, normal: Points, point: Points) -> tuple[float, float, float]:
        """Return a, b, c of a plane: 1 / distance along the axis is a + b x + c y at the dot (x, y)."""
        right, up, away = (float(normal @ axis) for axis in self.axes)
        off = float(normal @ (point - self.at))
        a = (away + right * self.left / self.scale + up * self.low / self.scale) / off
        return a, right / self.scale / off, up / self.scale / off

    def points(self, x: Points, y: Points, near: Points) -> list[Points]:
        """Return x, y and z in space of dots (x, y) with a nearness of 1/mm."""
        across, up = self.rays(x, y)
        far = 1 / near
        a, at = self.axes.astype("float32"), self.at.astype("float32")
        return [at[k] + far * (across * a[0, k] + up * a[1, k] + a[2, k]) for k in range(3)]

    def rays(self, x: Points, y: Points) -> tuple[Points, Points]:
        """Return the slopes to the right and up of the ways on which dots are seen."""
        across: Points = (x + np.float32(self.left)) * np.float32(1 / self.scale)
        up: Points = (y + np.float32(self.low)) * np.float32(1 / self.scale)
        return across, up

    def window(self, left: float, top: float, across: float, size: tuple[int, int]) -> Camera:
        """Return the same camera with a part of its paper, `size` dots of it: from its left and upper edge, shares of
        the paper's width and height, and so wide, a share of the width."""
        times = size[0] / (across * self.columns)
        low = self.rows * (1 - top) - across * self.columns * size[1] / size[0]
        return Camera(
            self.axes,
            self.at,
            self.scale * times,
            (self.left + left * self.columns) * times,
            (self.low + low) * times,
            *size,
        )

    def wider(self, rim: int) -> Camera:
        """Return the same camera with `rim` more dots all around its paper."""
        return replace(
            self,
            left=self.left - rim,
            low=self.low - rim,
            columns=self.columns + 2 * rim,
            rows=self.rows + 2 * rim,
        )

    def finer(self, times: int) -> Camera:
        """Return the same camera with more dots."""
        return replace(
            self,
            scale=self.scale * times,
            left=self.left * times,
            low=self.low * times,
            columns=self.columns * times,
            rows=self.rows * times,
        )


def camera_for(axes: Points, corners: Points, size: tuple[int, int]) -> Camera:
    """Return a camera that looks along `axes` (right, up, away) and whose paper the corners (n, 3) fill: `size` dots.

    It stands so far off that their longer side takes up 32 degrees.
    """
    middle = (corners.min(axis=0) + corners.max(axis=0)) / 2
    near, far = 0.5, 30.0
    reach = float(((corners - middle) ** 2).sum(axis=1).max()) ** 0.5
    wanted = 2 * math.tan(math.radians(_ACROSS / 2))
    for _ in range(_HALVINGS):
        half = (near + far) / 2
        left, low, right, high = _box(axes, middle - axes[2] * (reach * (half + 0.6)), corners)
        near, far = (half, far) if max(right - left, high - low) > wanted else (near, half)
    at = middle - axes[2] * (reach * (far + 0.6))
    left, low, right, high = _box(axes, at, corners)
    scale = min(size[0] / (right - left), size[1] / (high - low))
    columns, rows = round((right - left) * scale) + 2 * _RIM, round((high - low) * scale) + 2 * _RIM
    return Camera(axes, at, scale, left * scale - _RIM, low * scale - _RIM, columns, rows)


def _box(axes: Points, at: Points, corners: Points) -> tuple[float, float, float, float]:
    turned = (corners - at) @ axes.T
    flat = turned[:, :2] / turned[:, 2:].clip(1e-3)
    (left, low), (right, high) = flat.min(axis=0), flat.max(axis=0)
    return float(left), float(low), float(right), float(high)
