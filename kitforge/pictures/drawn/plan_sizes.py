"""What the plan of a step tells in figures: the size of what the step cuts first, and how far from the datum it lies.

The figures are those of the part's drawing and of its table: distances on the nominal shape. The datum is the zero of
the part's drawing, its lower left corner where that zero does not lie on the part. Lengths mm, in the coordinates of
the part as it lies.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kitforge.geometry.extent import Form
from kitforge.model.kit import OperationKind
from kitforge.pictures.drawn.features import is_outline, place_of
from kitforge.pictures.drawn.views import turned, zero_lies_on
from kitforge.planning.sizes import hole_width
from kitforge.planning.walls import walls_of
from kitforge.print.sizes import diameter, first_size

if TYPE_CHECKING:
    from kitforge.geometry.extent import Extent
    from kitforge.model.kit import Operation, Part, Spot
    from kitforge.model.path import Path
    from kitforge.model.steps import Step
    from kitforge.planning.sizes import Made
    from kitforge.print.figures import Measure, Units

_ROUND_POINTS, _FLAT = 48, 0.05
"""Points on a circle that a leader may stand on; how far from a line points of a path may lie, mm."""
_NOTHING = 0.05
"""What lies so near to the datum, mm, lies on it: there is nothing to measure."""


@dataclass(frozen=True, slots=True)
class Distance:
    """A dimension along one axis: from `low` to `high`, and where along the other axis its extension lines start."""

    low: float
    high: float
    from_low: float
    from_high: float
    words: Measure

    @property
    def size(self) -> float:
        """What is measured, mm."""
        return self.high - self.low


@dataclass(frozen=True, slots=True, eq=False)
class PlanSizes:
    """The figures of a plan. across: along X, up: along Y, right: along Y at the right; None where nothing is to tell.

    size: of what is cut first, where no distance tells it; edge: points on its edge, shape (n, 2), for a leader.
    placed: whether the distances are positions from the datum, else they are sizes.
    """

    across: Distance | None = None
    up: Distance | None = None
    size: Measure | None = None
    edge: NDArray[np.float64] | None = None
    placed: bool = False
    right: Distance | None = None


def plan_sizes(step: Step, units: Units) -> PlanSizes:
    """Return the figures of the plan of a step; none for a facing of the whole stock."""
    if step.operation.whole:
        return PlanSizes()
    part = turned(step.part, step.face)
    operation = next((one for one in part.operations if one.name == step.operation.name), None)
    if operation is None:
        return PlanSizes()
    made = walls_of(part).made_by(operation)
    if is_outline(operation) or operation.does is OperationKind.ENGRAVE:
        return _over_all(made, units)
    edge = _edge(operation, made)
    across, up = _positions(part, operation, made, units)
    return PlanSizes(across, up, None if edge is None else first_size(made, units), edge, placed=True)


def _over_all(made: Made, units: Units) -> PlanSizes:
    """Return length and width of what lies square, the diameter of what is round, else both in words."""
    if not made.extents:
        return PlanSizes()
    extent = made.extents[0]
    (x, y), along, across = extent.centre, extent.along, extent.across
    if extent.form is Form.ROUND:
        return PlanSizes(Distance(x - along / 2, x + along / 2, y, y, diameter(units.length(along))))
    if extent.is_turned:
        return PlanSizes(size=first_size(made, units), edge=_edge_of(extent, made.paths[0]))
    top, left = y + across / 2, x - along / 2
    return PlanSizes(
        Distance(left, left + along, top, top, units.length(along)),
        Distance(top - across, top, left, left, units.length(across)),
    )


def _positions(part: Part, operation: Operation, made: Made, units: Units) -> tuple[Distance | None, Distance | None]:
    """Return how far along X and along Y the first of what is cut lies from the datum."""
    x, y = place_of(operation, made)
    zero: Spot = (0.0, 0.0) if zero_lies_on(part) else (part.outline.bounds.left, part.outline.bounds.bottom)
    here = (zero[0] if x is None else x, zero[1] if y is None else y)
    across = None if x is None else _from_zero(zero[0], x, zero[1], here[1], units)
    return across, None if y is None else _from_zero(zero[1], y, zero[0], here[0], units)


def _from_zero(zero: float, there: float, beside_zero: float, beside: float, units: Units) -> Distance | None:
    if abs(there - zero) < _NOTHING:
        return None
    words = units.length(abs(there - zero))
    if there < zero:
        return Distance(there, zero, beside, beside_zero, words)
    return Distance(zero, there, beside_zero, beside, words)


def _edge(operation: Operation, made: Made) -> NDArray[np.float64] | None:
    """Return points on the edge of what is cut first."""
    if made.extents:
        return _edge_of(made.extents[0], made.paths[0] if made.paths else None)
    if operation.points:
        return _circle(operation.points[0], hole_width(operation) / 2)
    shapes = [path for path in operation.shapes if len(path.vertices) > 1]
    return shapes[0].flatten(_FLAT) if shapes else None


def _edge_of(extent: Extent, path: Path | None) -> NDArray[np.float64]:
    if path is not None and len(path.vertices) > 1:
        points: NDArray[np.float64] = path.flatten(_FLAT)
        return points
    if extent.form is Form.ROUND:
        return _circle(extent.centre, extent.along / 2)
    half_along, half_across = extent.along / 2, extent.across / 2
    corners = ((-1, -1), (1, -1), (1, 1), (-1, 1), (-1, -1))
    return np.array([extent.at(a * half_along, b * half_across) for a, b in corners])


def _circle(centre: Spot, radius: float) -> NDArray[np.float64]:
    turns = np.arange(_ROUND_POINTS + 1) * (2 * math.pi / _ROUND_POINTS)
    return np.column_stack([centre[0] + radius * np.cos(turns), centre[1] + radius * np.sin(turns)])
