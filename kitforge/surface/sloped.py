"""Cuts of a V-bit whose depth changes along the way: the exact envelope of a cone moved along sloping lines."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from kitforge.surface.cuts import CutterRun, run_segments
from kitforge.surface.cutter_shape import flat, reach_at, slope
from kitforge.surface.distance import Cells, Segments, cells_beside
from kitforge.surface.grid import Grid


def cone_depth(grid: Grid, cut: CutterRun) -> NDArray[np.float32]:
    """Return how deep chains (n, 3) of x, y and tip depth cut with a pointed cutter, mm, shape grid.shape.

    Raises ValueError for a cutter without a point.
    """
    if not slope(cut.cutter) > 0:
        raise ValueError("only a pointed cutter can follow a line of changing depth")
    deepest = max(float(chain[:, 2].max()) for chain in cut.chains)
    segments = run_segments(cut)
    # The deepest place for a cell need not lie on the segment nearest to it: each one gets its full ends.
    whole = np.ones_like(segments.length)
    segments = replace(segments, before=whole, after=whole)
    depth = np.zeros(grid.rows * grid.columns, dtype=np.float32)
    for cells in cells_beside(grid, segments, reach_at(cut.cutter, deepest)):
        np.maximum.at(depth, cells.index, _under(cut, segments, cells))
    return np.minimum(depth, np.float32(cut.floor)).reshape(grid.shape)


def _under(cut: CutterRun, segments: Segments, cells: Cells) -> NDArray[np.float32]:
    """Return the depth of the moved cone under each cell.

    Along the segment the depth is concave: it is greatest where the fall of the line equals the rise of the cone,
    or where the rim of the flat tip just reaches the cell, whichever is further down the line.
    """
    steep, tip = slope(cut.cutter), flat(cut.cutter)
    fall = segments.fall[cells.segment]
    gentle = np.clip(np.abs(fall), 0, steep * (1 - 1e-6))
    across = np.abs(cells.across)
    lead = np.maximum(across * gentle / np.sqrt(steep**2 - gentle**2), np.sqrt(np.maximum(tip**2 - across**2, 0)))
    best = np.clip(cells.along + np.sign(fall) * lead, 0, segments.length[cells.segment])
    radius = np.hypot(cells.across, cells.along - best)
    deep = segments.depth[cells.segment] + fall * best - steep * np.maximum(radius - tip, 0)
    deep[radius > cut.cutter.radius] = 0
    under: NDArray[np.float32] = np.maximum(deep, 0).astype(np.float32)
    return under
