"""What cutters that are not flat leave in a face: dishes, V grooves, letters, chamfers; and where the eye meets it.

Flat floors are patches. Everything else is a map of depths below the face: a dot's way is followed into it step by
step, and the map's slopes, softened at the arris, turn the light.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kitforge.model.kit import CutterKind, Face, OperationKind
from kitforge.model.steps import Step
from kitforge.surface.grid import Grid

if TYPE_CHECKING:
    from typing import Any

    from kitforge.surface.heightmap import SurfaceState

    Values = NDArray[np.floating[Any]]

_ROUND = (OperationKind.DISH, OperationKind.CHAMFER, OperationKind.ENGRAVE)
_FLAT_CUTTERS = (
    CutterKind.UP_CUT,
    CutterKind.DOWN_CUT,
    CutterKind.COMPRESSION,
    CutterKind.STRAIGHT,
    CutterKind.SURFACING,
    CutterKind.DRILL,
)
# An arris is broken by about half of what stands out over its surroundings of this width, mm, at most this much.
_ARRIS_ROUND, _ARRIS_SHARE, _ARRIS_MOST = 1.25, 0.55, 0.5
_STEPS = 20
_SANDED = 0.8
_LEAST = 0.02
SQUARE = 4


def is_round(step: Step) -> bool:
    """Return whether a step leaves something else than a flat floor and upright walls."""
    return step.operation.does in _ROUND or step.cutter.kind not in _FLAT_CUTTERS


@dataclass(frozen=True, slots=True, eq=False)
class Relief:
    """How deep cells lie below a part's face, mm, float32, for what is not flat."""

    grid: Grid
    depth: NDArray[np.float32]


class ReliefRecord:
    """Gathers the relief of a part's face from the states of its stock."""

    def __init__(self) -> None:
        self._found: Relief | None = None

    def take(self, state: SurfaceState) -> None:
        """Add what a step took off the face, if it is not flat."""
        if not is_round(state.step) or state.step.face is not Face.TOP:
            return
        taken = state.after.top - state.before.top
        self._found = Relief(state.after.grid, taken if self._found is None else self._found.depth + taken)

    def relief(self) -> Relief | None:
        """Return what was gathered."""
        return self._found


@dataclass(frozen=True, slots=True, eq=False)
class LitRelief:
    """A relief made ready for one lamp: depth mm, its slopes (softened at the arris), and the shares of lamp and sky
    that its own walls leave; reached: squares of SQUARE x SQUARE cells whose dots may show some of it."""

    grid: Grid
    depth: Values
    slope_x: Values
    slope_y: Values
    key: Values
    sky: Values
    reached: NDArray[np.bool_]


def lit_relief(relief: Relief, lamp: Sequence[float]) -> LitRelief:
    """Return a relief under a lamp. lamp: towards it, in the part's coordinates."""
    from scipy.ndimage import uniform_filter

    from kitforge.pictures.shaded.light import open_sky, pooled, slopes, smoothed, spread, sunlit

    cell, up = relief.grid.cell, -relief.depth
    mean = uniform_filter(up, max(3, round(_ARRIS_ROUND / cell)))
    broken = up - np.minimum(_ARRIS_SHARE * np.maximum(up - mean, 0), np.float32(_ARRIS_MOST))
    # What the passes of a cutter leave is finer than sanding leaves it.
    slope_x, slope_y = slopes(uniform_filter(broken, max(3, round(_SANDED / cell))), cell)
    coarse = pooled(up, 2)
    key = smoothed(sunlit(coarse, 2 * cell, (lamp[0], lamp[1], lamp[2])), max(1, round(0.5 / cell / 2)))
    sky = smoothed(open_sky(coarse, 2 * cell), 1)
    shape = relief.depth.shape
    key, sky = spread(key, 2, shape), spread(sky, 2, shape)
    return LitRelief(relief.grid, relief.depth, slope_x, slope_y, key, sky, _reached(relief))


def _reached(relief: Relief) -> NDArray[np.bool_]:
    """Return which cells lie in the relief, or so near to it that its arris turns their light; in squares of cells.

    A way into the face that begins beside it ends on the face.
    """
    from scipy.ndimage import maximum_filter

    from kitforge.pictures.shaded.windows import blocks_of

    squares = blocks_of(relief.depth > _LEAST, SQUARE)
    room = math.ceil(((_ARRIS_ROUND + _SANDED) / 2 / relief.grid.cell + 2) / SQUARE)
    return np.asarray(maximum_filter(squares, 2 * room + 1))


class Between:
    """Places on a map, between its cells: bilinear; outside as at its rim. Found once for all maps of one grid."""

    def __init__(self, grid: Grid, x: Values, y: Values) -> None:
        self._columns = np.int32(grid.columns)
        (i, self._s), (j, self._t) = (
            _cell_and_share(x, grid.x0, grid.cell, grid.columns),
            _cell_and_share(y, grid.y0, grid.cell, grid.rows),
        )
        j *= self._columns
        j += i
        self._first = j

    def of(self, values: Values) -> Values:
        """Return the values of a map there."""
        flat, s, first = values.ravel(), self._s, self._first
        rest = 1 - s
        low = flat.take(first) * rest + flat.take(first + 1) * s
        first = first + self._columns
        found: Values = low * (1 - self._t) + (flat.take(first) * rest + flat.take(first + 1) * s) * self._t
        return found

    def nearest(self, values: Values) -> Values:
        """Return the values of the nearest cells of a map that is soft already."""
        near = self._first + (self._s > 0.5) + self._columns * (self._t > 0.5)
        return values.ravel().take(near)


def _cell_and_share(at: Values, start: float, cell: float, count: int) -> tuple[NDArray[np.int32], Values]:
    """Return the last cell whose middle lies before each place, and how far on towards the next it lies."""
    on = (at - np.float32(start)) * np.float32(1 / cell)
    on -= np.float32(0.5)
    np.clip(on, 0, count - 1.001, out=on)
    index = on.astype(np.int32)
    on -= np.floor(on)
    return index, on


def met(relief: LitRelief, x: Values, y: Values, way: Sequence[Values]) -> tuple[Values, Values, Values]:
    """Return x, y and depth at which ways that enter the face at (x, y) meet the relief.

    way: how far they run along x and y for each mm that they go down.
    """
    step = np.float32(float(relief.depth.max()) / _STEPS)
    down, before = np.zeros_like(x), Between(relief.grid, x, y).of(relief.depth)
    # Only ways that have not met it yet are followed on: most end at once, on the face.
    left = np.flatnonzero(before > _LEAST)
    ways = _Ways(x[left], y[left], way[0][left], way[1][left], before[left])
    for k in range(1, _STEPS + 1):
        here = np.float32(k) * step
        depth = ways.depth_at(relief, here)
        # Between the last step, above the ground, and this one, below it: where straight lines cross.
        hits = np.flatnonzero(depth <= here)
        over, under = ways.last[hits] - (here - step), here - depth[hits]
        down[left[hits]] = here - step + step * over / np.maximum(over + under, np.float32(1e-6))
        on = np.flatnonzero(depth > here)
        left, ways = left[on], ways.of(on, depth)
    down[left] = step * _STEPS
    return x + way[0] * down, y + way[1] * down, down


@dataclass(frozen=True, slots=True, eq=False)
class _Ways:
    """Ways into the relief: where they enter, how they run, and how deep it was where they were last."""

    x: Values
    y: Values
    along_x: Values
    along_y: Values
    last: Values

    def depth_at(self, relief: LitRelief, here: np.float32) -> Values:
        """Return how deep the relief is where they are `here` mm down."""
        return Between(relief.grid, self.x + self.along_x * here, self.y + self.along_y * here).of(relief.depth)

    def of(self, some: NDArray[np.intp], depth: Values) -> _Ways:
        """Return some of them; depth: of the relief where all of them are now."""
        return _Ways(self.x[some], self.y[some], self.along_x[some], self.along_y[some], depth[some])


def wanted(steps: Iterable[Step]) -> list[Step]:
    """Return the steps that leave flat floors and upright walls."""
    return [step for step in steps if not is_round(step)]
