"""Time of the height map against one SciPy distance transform for each step, 300 x 300 mm at 0.25 mm, ten steps.

With the looks at shank, collet nut and underside: with the cutters as they are, which asks for no map, and with edges
and stick-out so short that every step asks for them.
"""

from __future__ import annotations

import sys
import time
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "surface"))

import numpy as np
from scipy.ndimage import distance_transform_edt
from surface_builders import BOWL, V60, cutter, operation, outside, part, steps

from kitforge.geometry.shapes import circle, rectangle
from kitforge.model.kit import CutterKind, OperationKind, Part, Side, Tabs
from kitforge.model.steps import Step
from kitforge.surface.clearances import left_underneath, nut_clearance, shank_touches
from kitforge.surface.grid import grid_for
from kitforge.surface.heightmap import SurfaceState, simulate

CELL = 0.25


def board() -> Part:
    """Return a part of 300 x 300 mm with ten operations, rough clearing and fine finishing among them."""
    outline = rectangle((300, 300), corner_radius=12)
    dots = tuple((x, y) for x in range(30, 280, 24) for y in range(30, 280, 24))
    ball = cutter(6, CutterKind.BALL_NOSE)
    return part(
        operation(OperationKind.FACE, [outline], 0.5, cutter(25.4, CutterKind.SURFACING), stepover=15.0),
        operation(OperationKind.POCKET, [rectangle((280, 280), centre=(150, 150))], 3.0, stepover=2.4),
        operation(OperationKind.DISH, [circle((150, 150), 250)], 6.0, ball, stepover=0.6),
        operation(OperationKind.DISH, [rectangle((200, 60), centre=(150, 150))], 9.0, BOWL, stepover=1.9),
        operation(OperationKind.GROOVE, [circle((150, 150), 270 - 20 * n) for n in range(10)], 5.0, V60),
        operation(OperationKind.DRILL, (), 12.0, cutter(5, CutterKind.DRILL, angle=118.0), points=dots),
        operation(OperationKind.PROFILE, [circle((150, 150), 40)], 18.0, through=True, allowance=0.3),
        operation(OperationKind.PROFILE, [rectangle((10, 10), at=(20, 20))], 12.0, cutter(3), side=Side.ON),
        operation(OperationKind.CHAMFER, [outline], 1.5, V60, width=1.5),
        outside(outline, hold=Tabs(6, 8.0, 3.0)),
        outline=outline,
    )


def transform(grid_shape: tuple[int, int], step: Step, origin: tuple[float, float]) -> None:
    """Run what a plain height map would: the path snapped to cells, one distance transform, one comparison."""
    free = np.ones(grid_shape, dtype=bool)
    chains = step.travel.chains if step.travel else ()
    for chain in (*chains, np.array(step.operation.points or [(0.0, 0.0)])):
        cells = ((chain - origin) / CELL).astype(int)
        free[np.clip(cells[:, 1], 0, grid_shape[0] - 1), np.clip(cells[:, 0], 0, grid_shape[1] - 1)] = False
    distance_transform_edt(free)


def clearances(state: SurfaceState, stick_out: float) -> float:
    """Return how long the looks at shank, collet nut and underside take after a step, s."""
    start = time.perf_counter()
    shank_touches(state)
    nut_clearance(state, stick_out, 25.0, 2.0)
    left_underneath(state)
    return time.perf_counter() - start


def too_short(state: SurfaceState) -> SurfaceState:
    """Return the state with a cutter that has hardly any edges, so that its shank is looked at."""
    cutter = replace(state.step.cutter, cutting_length=0.2 * state.step.depth)
    return replace(state, step=replace(state.step, cutter=cutter))


def main() -> None:
    """Print the time of each, step by step, and the ratio of the totals."""
    made = board()
    order = steps(made)
    grid = grid_for(made, order, CELL)
    print(f"{grid.columns} x {grid.rows} cells")
    ours = theirs = usual = worst = 0.0
    run = simulate(made, order, cell=CELL)
    for step in order:
        start = time.perf_counter()
        state = next(run)
        middle = time.perf_counter()
        transform(grid.shape, step, (grid.x0, grid.y0))
        end = time.perf_counter()
        ours, theirs = ours + middle - start, theirs + end - middle
        easy, hard = clearances(state, step.depth + 10.0), clearances(too_short(state), step.depth + 0.5)
        usual, worst = usual + easy, worst + hard
        print(
            f"{step.key:22} {middle - start:7.3f} s   transform {end - middle:7.3f} s   "
            f"clearances {easy:7.3f} s, too short {hard:7.3f} s"
        )
    print(f"total {ours:.3f} s against {theirs:.3f} s: ratio {ours / theirs:.2f} (wanted: at most 3)")
    print(
        f"with clearances: ratio {(ours + usual) / theirs:.2f}; too short in every step: {(ours + worst) / theirs:.2f}"
    )


if __name__ == "__main__":
    main()
