"""A calliper for the simulated piece: it finds walls on the height map, along lines, at a depth.

It knows nothing of how the sizes were worked out: it is told where a jaw should touch, goes from the wood towards it
and says where the wood really ends.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from kitforge.model.kit import Face, Part
from kitforge.model.steps import Step
from kitforge.pictures.shaded.view import Box
from kitforge.surface.heightmap import Surface, finished

CELL = 0.1
REACH, BESIDE, STEP = 2.0, 0.7, 0.02
"""How far a jaw is looked for beyond and before the place where it should touch, and in steps of what, mm."""

Spot = tuple[float, float]


@dataclass(frozen=True)
class Piece:
    """A part as all its steps leave it, cut anew in a small window wherever the calliper is laid on."""

    part: Part
    steps: Sequence[Step]
    _cut: dict[Box, Surface] = field(default_factory=dict, compare=False)

    def wall(self, at: Spot, outward: Spot, face: Face, level: float, beside: float = BESIDE) -> float | None:
        """Return how far beyond a place the cut ends, in a direction, at a depth below a face; None without a wall.

        Wood must stand `beside` mm beyond the place. Negative where the wall stands before the place.
        """
        depths, runs = self._depths(at, outward, face, beside)
        return _first_inward(depths > level, runs)

    def edge(self, at: Spot, outward: Spot) -> float | None:
        """Return how far beyond a place the part ends, in a direction, at whatever height it reaches furthest.

        A skin that is cut off later is no wood. None where wood stands as far as is looked; minus REACH where there is
        none before the place either.
        """
        skin = max((step.operation.skin for step in self.steps), default=0.0)
        top, runs = self._depths(at, outward, Face.TOP, BESIDE)
        bottom, _ = self._depths(at, outward, Face.BOTTOM, BESIDE)
        wood = self.part.stock.actual - top - bottom > skin + 0.05
        return _first_inward(wood, runs) if wood.any() else -REACH

    def _depths(
        self, at: Spot, outward: Spot, face: Face, far: float
    ) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Return how deep the face is cut along a line through a place, and how far from it, rising outward."""
        runs = np.arange(-REACH, far + STEP / 2, STEP)
        xs, ys = at[0] + runs * outward[0], at[1] + runs * outward[1]
        box = float(xs.min() - 0.5), float(ys.min() - 0.5), float(xs.max() + 0.5), float(ys.max() + 0.5)
        if box not in self._cut:
            self._cut[box] = finished(self.part, self._near(box), cell=CELL, box=box)
        surface = self._cut[box]
        depths = surface.top if face is Face.TOP else surface.bottom
        if depths is None:
            depths = np.zeros(surface.grid.shape, np.float32)
        return _between_cells(surface, depths, xs, ys), runs

    def _near(self, box: Sequence[float]) -> list[Step]:
        left, low, right, high = box
        found = []
        for step in self.steps:
            if step.swept is not None and not step.swept.is_empty:
                x0, y0, x1, y1 = step.swept.bounds
                if x0 - 1 < right and x1 + 1 > left and y0 - 1 < high and y1 + 1 > low:
                    found.append(step)
        return found


def _first_inward(found: NDArray[np.bool_], runs: NDArray[np.float64]) -> float | None:
    """Return the first place where something is found, coming from the outer end; None if nowhere or at once."""
    places = np.flatnonzero(found[::-1])
    return float(runs[::-1][places[0]]) if len(places) and places[0] > 0 else None


def _between_cells(
    surface: Surface, depths: NDArray[np.float32], xs: NDArray[np.float64], ys: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return the depths at points, interpolated between the middles of cells."""
    grid = surface.grid
    u = np.clip((xs - grid.x0) / grid.cell - 0.5, 0, grid.columns - 1.001)
    v = np.clip((ys - grid.y0) / grid.cell - 0.5, 0, grid.rows - 1.001)
    i, j = np.floor(u).astype(int), np.floor(v).astype(int)
    a, b = u - i, v - j
    found: NDArray[np.float64] = (
        depths[j, i] * (1 - a) * (1 - b)
        + depths[j, i + 1] * a * (1 - b)
        + depths[j + 1, i] * (1 - a) * b
        + depths[j + 1, i + 1] * a * b
    )
    return found


def direction(angle: float) -> Spot:
    """Return the unit vector of an angle in degrees."""
    return math.cos(math.radians(angle)), math.sin(math.radians(angle))
