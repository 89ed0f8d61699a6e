"""How much of the lamp and of the sky every point sees: from many sides, the bodies as clouds of points.

Every surface is strewn with points once. Seen from a side, the nearest points of each square of a coarse paper are what
light from there falls on; what lies further behind is in the shadow. The time is bounded by the number of points.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kitforge.pictures.studio.bodies import Ball, Patch, Stage
from kitforge.pictures.studio.camera import Camera
from kitforge.surface.grid import Grid
from kitforge.surface.outline import inside_rings

if TYPE_CHECKING:
    from typing import Any

    Points = NDArray[np.floating[Any]]

_KEY_LAMPS, _KEY_RADIUS = 20, math.radians(8.5)
_SKY_LAMPS = 32
_GOLDEN = math.pi * (3 - 5**0.5)
_POINTS = 200_000
"""Points strewn over all surfaces; squares of the papers are this much wider than their distance:"""
_SQUARE = 1.5
_GRAZING = 1e-3
_RISE = 1.15
"""How far a point that is looked at is lifted off its surface, in squares."""


@dataclass(frozen=True, slots=True, eq=False)
class LightShares:
    """Shares from 0 to 1 of the lamp and of the sky that points see."""

    key: NDArray[np.float32]
    sky: NDArray[np.float32]


@dataclass(frozen=True, slots=True, eq=False)
class LitPoints:
    """Points that light falls on: x, y, z, and so their normals, or the one that all have.

    shown: which of them count, None for all; ground: the ground that all of them lie on, row by row.
    """

    place: Sequence[Points]
    normal: Sequence[Points]
    shown: NDArray[np.bool_] | None = None
    ground: LitGround | None = None


@dataclass(frozen=True, slots=True, eq=False)
class LitGround:
    """A plane seen on a paper, on dots `large` times as large. point, normal: (3,) mm; shape: rows and columns."""

    camera: Camera
    point: Points
    normal: Points
    large: int
    shape: tuple[int, int]

    def shaded(self, paper: _Paper, rise: float) -> tuple[slice, slice]:
        """Return rows and columns that hold all points which a lamp may find in a shadow; lifted by `rise` mm.

        What throws it fills a box of the lamp's paper: on the plane that has four corners.
        """
        whole = slice(0, self.shape[0]), slice(0, self.shape[1])
        wide, axes = 1 / float(paper.square), paper.axes.astype(np.float64)
        across = float(paper.left) - wide, float(paper.left) + (paper.columns - 1) * wide
        along = float(paper.low) - wide, float(paper.low) + (paper.rows - 1) * wide
        level = float(self.normal @ self.point) + rise
        planes = np.array([axes[0], axes[1], self.normal])
        if abs(float(self.normal @ axes[2])) < _GRAZING:
            return whole
        corners = np.linalg.solve(planes, np.array([(x, y, level) for x in across for y in along]).T).T
        corners -= self.normal * rise
        if (((corners - self.camera.at) @ self.camera.axes[2]) < _GRAZING).any():
            return whole
        at = self.camera.seen(corners) / self.large
        first, last = np.floor(at.min(axis=0)) - 1, np.ceil(at.max(axis=0)) + 2
        rows, columns = (
            slice(int(np.clip(first[k], 0, count)), int(np.clip(last[k], 0, count)))
            for k, count in ((1, self.shape[0]), (0, self.shape[1]))
        )
        return rows, columns


def around(way: Points, count: int, radius: float) -> list[Points]:
    """Return `count` directions evenly within a cone of `radius` radians about a direction, on a golden spiral."""
    side = _beside(way)
    other = np.cross(way, side)
    found: list[Points] = []
    for k in range(count):
        off, turn = radius * math.sqrt((k + 0.5) / count), k * _GOLDEN
        found.append(math.cos(off) * way + math.sin(off) * (math.cos(turn) * side + math.sin(turn) * other))
    return found


def _beside(way: Points) -> Points:
    """Return a unit vector at right angles to a direction."""
    side = np.array([way[1], -way[0], 0.0]) if abs(way[2]) < 0.999 else np.cross(way, [0.0, 1.0, 0.0])
    found: Points = side / float(side @ side) ** 0.5
    return found


def sky(count: int = _SKY_LAMPS) -> list[Points]:
    """Return directions over the upper half of the sky, closer together where more light falls on a level face."""
    found: list[Points] = []
    for k in range(count):
        height, turn = math.sqrt(1 - (k + 0.5) / count), k * _GOLDEN + 0.4
        flat = math.sqrt(1 - height * height)
        found.append(np.array([flat * math.cos(turn), flat * math.sin(turn), height]))
    return found


@dataclass(frozen=True, slots=True, eq=False)
class Strewn:
    """Points (x, y, z) on all surfaces, `apart` mm."""

    at: list[NDArray[np.float32]]
    apart: float


def strewn(stage: Stage) -> Strewn:
    """Return points on everything that stands on a stage."""
    total = sum(_area(patch) for patch in stage.patches) + sum(12.6 * ball.radius**2 for ball in stage.balls)
    apart = max(0.2, math.sqrt(total / _POINTS))
    clouds = [_on_patch(patch, apart) for patch in stage.patches] + [_on_ball(ball, apart) for ball in stage.balls]
    cloud = np.concatenate(clouds)
    return Strewn([np.ascontiguousarray(cloud[:, k], dtype=np.float32) for k in range(3)], apart)


def _area(patch: Patch) -> float:
    total = 0.0
    for n, ring in enumerate(patch.rings):
        area = abs(float(_crossed(ring[:-1], ring[1:]).sum(axis=0) @ patch.normal)) / 2
        total += area if n == 0 else -area
    return abs(total)


def _crossed(a: Points, b: Points) -> Points:
    """Return the vector products of rows (n, 3), written out: for a few rows the library's takes ten times as long."""
    found = np.empty_like(a)
    for k in range(3):
        up, on = (k + 1) % 3, (k + 2) % 3
        found[:, k] = a[:, up] * b[:, on] - a[:, on] * b[:, up]
    return found


def _on_patch(patch: Patch, apart: float) -> Points:
    ring = patch.rings[0]
    if len(patch.rings) == 1 and len(ring) == 5:
        return _on_square(ring, apart)
    way = ring[1] - ring[0]
    u = way / float(way @ way) ** 0.5
    v = np.cross(patch.normal, u)
    flat = [np.column_stack([(one - ring[0]) @ u, (one - ring[0]) @ v]) for one in patch.rings]
    low, high = flat[0].min(axis=0), flat[0].max(axis=0)
    size = np.ceil((high - low) / apart).astype(int).clip(1)
    grid = Grid(float(low[0]), float(low[1]), apart, int(size[1]), int(size[0]))
    row, column = np.nonzero(inside_rings(grid, flat))
    found: Points = ring[0] + grid.x()[column][:, None] * u + grid.y()[row][:, None] * v
    return found


def _on_square(ring: Points, apart: float) -> Points:
    """Return points on four corners' surface, also on one that is narrower than the points are apart."""
    across, up = ring[1] - ring[0], ring[3] - ring[0]
    n, m = (max(1, math.ceil(float(way @ way) ** 0.5 / apart)) for way in (across, up))
    s, t = ((np.arange(k) + 0.5)[:, None] / k for k in (n, m))
    high = ring[0] + s * across
    low = ring[3] + s * (ring[2] - ring[3])
    found: Points = (high[:, None] * (1 - t[None]) + low[:, None] * t[None]).reshape(-1, 3)
    return found


def _on_ball(ball: Ball, apart: float) -> Points:
    count = max(24, math.ceil(12.6 * ball.radius**2 / apart**2))
    rows = []
    for k in range(count):
        height, turn = 1 - 2 * (k + 0.5) / count, k * _GOLDEN
        flat = math.sqrt(1 - height * height)
        rows.append((flat * math.cos(turn), flat * math.sin(turn), height))
    return ball.middle + ball.radius * np.array(rows)


def lit(cloud: Strewn, wanted: Sequence[LitPoints], key: Points) -> list[LightShares]:
    """Return the light on each of several sets of points. key: towards the lamp."""
    rise = np.float32(cloud.apart * _SQUARE * _RISE)
    sets = [_Gathered([(p + n * rise).astype(np.float32) for p, n in zip(one.place, one.normal, strict=True)], one)
            for one in wanted]  # fmt: skip
    for way in around(key, _KEY_LAMPS, _KEY_RADIUS):
        paper = _paper(cloud, way)
        for one in sets:
            one.add(one.lamp, paper, rise)
    for way in sky():
        paper = _paper(cloud, way)
        for one in sets:
            facing = _along(one.points.normal, way.astype(np.float32))
            # Light that comes flat over the ground reaches what stands upright as well.
            np.maximum(facing, 0, out=facing)
            one.whole += facing
            one.add(one.heaven, paper, rise, facing)
    return [one.shares() for one in sets]


class _Gathered:
    """Points lifted off their surface, and the light on them as far as it is gathered."""

    def __init__(self, lifted: list[NDArray[np.float32]], points: LitPoints) -> None:
        self.lifted, self.points = lifted, points
        self.lamp, self.heaven, self.whole = (np.zeros(lifted[0].shape, dtype=np.float32) for _ in range(3))

    def add(
        self, total: NDArray[np.float32], paper: _Paper, rise: np.float32, facing: NDArray[np.float32] | None = None
    ) -> None:
        """Add what points see of a lamp to a total, by how much they face it; the ground in the open sees all of it."""
        ground = self.points.ground
        if ground is None:
            light = _open(paper, self.lifted)
            total += light if facing is None else np.multiply(light, facing, out=light)
            return
        part = ground.shaded(paper, float(rise))
        some = [one.reshape(ground.shape)[part] for one in self.lifted]
        light = _open(paper, some)
        if facing is not None:
            light *= facing
        light += total.reshape(ground.shape)[part]
        total += np.float32(1) if facing is None else facing
        total.reshape(ground.shape)[part] = light

    def shares(self) -> LightShares:
        seen = self.heaven / np.maximum(self.whole, np.float32(0.5))
        return LightShares(self.lamp / np.float32(_KEY_LAMPS), seen.astype(np.float32))


@dataclass(frozen=True, slots=True, eq=False)
class _Paper:
    """What is nearest to a lamp in each square of a coarse paper, flat, and where that paper lies."""

    axes: NDArray[np.float32]
    left: np.float32
    low: np.float32
    rows: int
    columns: int
    square: np.float32
    nearest: NDArray[np.float32]


def _paper(cloud: Strewn, way: Points) -> _Paper:
    """Return the points of a cloud as a lamp sees them."""
    side = _beside(way)
    axes = np.array([side, np.cross(way, side), way]).astype(np.float32)
    square = np.float32(1 / (cloud.apart * _SQUARE))
    x, y, z = (_along(cloud.at, axis) for axis in axes)
    left, low = x.min(), y.min()
    columns, rows = int((x.max() - left) * square) + 3, int((y.max() - low) * square) + 3
    nearest = np.full(rows * columns, -np.inf, dtype=np.float32)
    column, row = (_squares(part, start, square) for part, start in ((x, left), (y, low)))
    np.maximum.at(nearest, row.astype(np.int32) * np.int32(columns) + column.astype(np.int32), z)
    return _Paper(axes, left, low, rows, columns, square, nearest)


def _squares(along: NDArray[np.float32], start: np.float32, square: np.float32) -> NDArray[np.float32]:
    """Return in which square places lie, counted from 1; done in place."""
    along -= start
    along *= square
    along += 1
    return along


def _open(paper: _Paper, at: Sequence[NDArray[np.float32]]) -> NDArray[np.float32]:
    """Return how open the way to a lamp is from points, 0 to 1."""
    x, y, z = (_along(at, axis) for axis in paper.axes)
    column = np.clip(_squares(x, paper.left, paper.square), 0, paper.columns - 1, out=x).astype(np.int32)
    row = np.clip(_squares(y, paper.low, paper.square), 0, paper.rows - 1, out=y).astype(np.int32)
    row *= np.int32(paper.columns)
    row += column
    behind = paper.nearest.take(row)
    behind -= z
    behind *= paper.square
    np.subtract(1, behind, out=behind)
    return np.clip(behind, 0, 1, out=behind)


def _along(at: Sequence[NDArray[np.float32]], axis: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return how far points reach along an axis; written out, for a product of matrices may round otherwise."""
    found: NDArray[np.float32] = at[0] * axis[0]
    more = at[1] * axis[1]
    found += more
    found += np.multiply(at[2], axis[2], out=more)
    return found
