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
from kitforge.model.plan import Step
from kitforge.surface.grid import Grid

if TYPE_CHECKING:
    from typing import Any

    from kitforge.surface.heightmap import SurfaceState

    Values = NDArray[np.floating[Any]]

_ROUND = (OperationKind.DISH, OperationKind.CHAMFER, OperationKind.ENGRAVE)
_FLAT_CUTTERS = (CutterKind.UP_CUT, CutterKind.DOWN_CUT, CutterKind.COMPRESSION, CutterKind.STRAIGHT, CutterKind.DRILL)
# An arris is broken by about half of what stands out over its surroundings of this width, mm, at most this much.
_ARRIS_ROUND, _ARRIS_SHARE, _ARRIS_MOST = 1.25, 0.55, 0.5
_STEPS = 20
_SANDED = 0.8
_LEAST = 0.02


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
    that its own walls leave; reached: cells whose dots may see into it."""

    grid: Grid
    depth: Values
    slope_x: Values
    slope_y: Values
    key: Values
    sky: Values
    reached: NDArray[np.bool_]


def lit_relief(relief: Relief, lamp: Sequence[float], reach: float) -> LitRelief:
    """Return a relief under a lamp. lamp: towards it, in the part's coordinates; reach: how far sideways a dot's way
    runs for each mm of depth."""
    from scipy.ndimage import maximum_filter, uniform_filter

    from kitforge.pictures.shaded.light import open_sky, pooled, slopes, smoothed, spread, sunlit

    cell, up = relief.grid.cell, -relief.depth
    mean = uniform_filter(up, max(3, round(_ARRIS_ROUND / cell)))
    broken = up - np.minimum(_ARRIS_SHARE * np.maximum(up - mean, 0), np.float32(_ARRIS_MOST))
    # What the passes of a cutter leave is finer than sanding leaves it.
    slope_x, slope_y = slopes(uniform_filter(broken, max(3, round(_SANDED / cell))), cell)
    coarse = pooled(up, 2)
    key = smoothed(sunlit(coarse, 2 * cell, (lamp[0], lamp[1], lamp[2])), max(1, round(0.5 / cell / 2)))
    sky = smoothed(open_sky(coarse, 2 * cell), 1)
    size = 2 * math.ceil((float(relief.depth.max()) * reach + 0.5) / cell) + 1
    reached = maximum_filter(relief.depth, size) > _LEAST
    shape = relief.depth.shape
    return LitRelief(relief.grid, relief.depth, slope_x, slope_y, spread(key, 2, shape), spread(sky, 2, shape), reached)


def at(grid: Grid, values: Values, x: Values, y: Values) -> Values:
    """Return values of a map between its cells: bilinear; outside as at its rim."""
    u = np.clip((x - np.float32(grid.x0)) * np.float32(1 / grid.cell) - np.float32(0.5), 0, grid.columns - 1.001)
    v = np.clip((y - np.float32(grid.y0)) * np.float32(1 / grid.cell) - np.float32(0.5), 0, grid.rows - 1.001)
    i, j = u.astype(np.int32), v.astype(np.int32)
    s, t = (u - i).astype(np.float32), (v - j).astype(np.float32)
    flat, first = values.ravel(), j * np.int32(grid.columns) + i
    low = flat[first] * (1 - s) + flat[first + 1] * s
    first += np.int32(grid.columns)
    found: Values = low * (1 - t) + (flat[first] * (1 - s) + flat[first + 1] * s) * t
    return found


def met(relief: LitRelief, x: Values, y: Values, way: Sequence[Values]) -> tuple[Values, Values, Values]:
    """Return x, y and depth at which ways that enter the face at (x, y) meet the relief.

    way: how far they run along x and y for each mm that they go down.
    """
    step = np.float32(float(relief.depth.max()) / _STEPS)
    before = at(relief.grid, relief.depth, x, y)
    down = np.zeros_like(x)
    found = before <= _LEAST
    last = before.copy()
    for k in range(1, _STEPS + 1):
        here = np.float32(k) * step
        depth = at(relief.grid, relief.depth, x + way[0] * here, y + way[1] * here)
        hits = ~found & (depth <= here)
        # Between the last step, above the ground, and this one, below it: where straight lines cross.
        over, under = last - (here - step), here - depth
        crossing = here - step + step * over / np.maximum(over + under, np.float32(1e-6))
        down[hits] = crossing[hits]
        found |= hits
        last = depth
    down[~found] = step * _STEPS
    return x + way[0] * down, y + way[1] * down, down


def wanted(steps: Iterable[Step]) -> list[Step]:
    """Return the steps that leave flat floors and upright walls."""
    return [step for step in steps if not is_round(step)]
