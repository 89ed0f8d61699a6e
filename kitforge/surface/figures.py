"""Figures from the height map: what is removed, what is left to sand and finish, how thin the floor gets."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kitforge.model.kit import Part
from kitforge.surface.heightmap import NOTHING, Surface, cut_out
from kitforge.surface.outline import inside_share

# Slopes above this are walls, by area; below, sloping floors.
_WALL_SLOPE = 3.0


@dataclass(frozen=True, slots=True)
class Areas:
    """Surface of the finished part by what it is, mm². faces: uncut top and underside; hollows: floors and slopes of
    cuts from both faces; walls: upright sides of cuts and holes; edges: the outline all round."""

    faces: float
    hollows: float
    walls: float
    edges: float

    @property
    def total(self) -> float:
        """Everything that is to be sanded and finished, mm²."""
        return self.faces + self.hollows + self.walls + self.edges


@dataclass(frozen=True, slots=True)
class FloorLeft:
    """The thinnest wood left under a flat floor, which is what a calliper can measure: thickness mm and where."""

    thickness: float
    at: tuple[float, float]


def areas_of(surface: Surface, part: Part) -> Areas:
    """Return the areas of the finished part to sand and finish.

    Walls follow from the slope of the map, within about 3 % for walls higher than a few cells; edges are exact.
    """
    free = surface.freed(part)
    share = inside_share(free.grid, [part.outline])
    left = free.remaining() > 0
    faces = hollows = walls = 0.0
    for depth, faced in zip((free.top, free.bottom), part.faced, strict=True):
        found = _face_areas(free, depth, faced, share, left)
        faces, hollows, walls = faces + found[0], hollows + found[1], walls + found[2]
    return Areas(faces, hollows, walls, part.outline.length * part.thickness)


def _face_areas(
    surface: Surface,
    depth: NDArray[np.float32] | None,
    faced: float,
    share: NDArray[np.float32],
    left: NDArray[np.bool_],
) -> tuple[float, float, float]:
    one = surface.grid.cell_area
    if depth is None:
        return float((share * left).sum(dtype=np.float64)) * one, 0.0, 0.0
    lowest = np.where(left, depth, np.float32(surface.thickness))
    gy, gx = np.gradient(lowest, surface.grid.cell)
    slope = np.sqrt(gx * gx + gy * gy)
    slope[share < 1] = 0
    slope[_near_edge(share)] = 0
    wall = slope > _WALL_SLOPE
    deep = depth > faced + NOTHING
    cut = left & deep & ~wall
    faces = (share * (left & ~deep)).sum(dtype=np.float64) * one
    slanted = slope[cut]
    hollows = (share[cut] * np.sqrt(1 + slanted * slanted)).sum(dtype=np.float64) * one
    return float(faces), float(hollows), float(slope[wall].sum(dtype=np.float64)) * one


def _near_edge(share: NDArray[np.float32]) -> NDArray[np.bool_]:
    """Return the cells beside the outline, whose slope is that of the part's own edge."""
    out = np.pad(share < 1, 1, constant_values=True)
    beside: NDArray[np.bool_] = out[:-2, 1:-1] | out[2:, 1:-1] | out[1:-1, :-2] | out[1:-1, 2:]
    return beside


_ROD, _FLAT = 3.0, 0.1
"""The breadth of a calliper's depth rod (common practice, no source), and what under it counts as flat, mm."""

_WHOLE = 1e-4
"""How much of a cell may lie outside of what counts as wholly inside."""


def floor_left(surface: Surface, part: Part) -> FloorLeft | None:
    """Return the thinnest floor of the part that a calliper can measure; None where there is none.

    Its depth rod stands on the floor: in a V groove it stops at the walls, and measures nothing.
    """
    left = surface.remaining()
    # a cell that lies only partly in the part, or beside one, is as thin as the mean of wood and air: that is no floor
    whole = inside_share(surface.grid, [part.outline, *cut_out(part)]) > 1 - _WHOLE
    cut = (left > NOTHING) & (left < part.thickness - NOTHING) & whole
    cut &= ~_beside((left <= 0) | ~whole)
    under_rod = _thickest_near(left, round(_ROD / 2 / surface.grid.cell))
    cut &= (under_rod - left <= _FLAT) & (under_rod < part.thickness - NOTHING)
    if not cut.any():
        return None
    index = int(np.argmin(np.where(cut, left, np.inf)))
    row, column = divmod(index, surface.grid.columns)
    return FloorLeft(float(left[row, column]), surface.grid.point(row, column))


def _thickest_near(left: NDArray[np.float32], reach: int) -> NDArray[np.float32]:
    """Return the thickest wood within `reach` cells along both axes of each cell."""
    from scipy.ndimage import maximum_filter1d

    for axis in (0, 1):
        left = maximum_filter1d(left, 2 * reach + 1, axis=axis, mode="nearest")
    return left


def _beside(gone: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return cells that are gone and those beside them: part of them may be cut through."""
    rows, columns = gone.shape
    gone = np.pad(gone, 1, mode="edge")
    beside: NDArray[np.bool_] = np.zeros((rows, columns), dtype=bool)
    for down in range(3):
        for right in range(3):
            beside |= gone[down : down + rows, right : right + columns]
    return beside
