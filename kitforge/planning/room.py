"""What a step offers its cutter: room to go down in, travel for a ramp, and whether its walls have inside corners.

A cut may fall into several places, such as four mortises, or a pocket with a neck that the cutter does not pass; the
cutter goes down in each of them, so the tightest counts. That a place is not reached at all is for the check of the
cutters to say.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, cast

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon, STRtree, get_coordinates, maximum_inscribed_circle, points

from kitforge.model.kit import OperationKind, Side
from kitforge.model.step_geometry import CutRoom
from kitforge.model.steps import Step
from kitforge.planning.areas import shrunk, width_at

if TYPE_CHECKING:
    Points = NDArray[np.float64]

CLEARING = (OperationKind.POCKET, OperationKind.DISH, OperationKind.FACE)
_SLACK = 1 - 1e-6
_NEAR = 0.05
_CONVEX = 1e-6


def room_of(step: Step, places: Sequence[Polygon]) -> CutRoom:
    """Return what a step offers its cutter; places: those of `places_of`."""
    chains = step.travel.chains if step.travel is not None else ()
    if not places:
        lengths = [_length(chain) for chain in chains]
        return CutRoom(None, min(lengths, default=None), _has_inside_corners(step))
    travel = [max(map(_length, found), default=0.0) for found in _by_place(places, chains)]
    width = min(_widest(place) for place in _unlike(places)) + step.cutter.diameter
    return CutRoom(width, min(travel) if chains else None, inside_corners=True)


def places_of(step: Step) -> list[Polygon]:
    """Return the areas in which the middle of the cutter moves while it clears."""
    clears = step.operation.does in CLEARING and (step.operation.shapes or step.operation.whole)
    if not clears or step.cut is None or step.cut.is_empty:
        return []
    reach = width_at(step.cutter, step.operation.depth) / 2
    return list(shrunk(step.cut, reach * _SLACK, quad_segs=8).geoms)


def _unlike(places: Sequence[Polygon]) -> list[Polygon]:
    """Return one of all places of the same shape: four mortises are measured once, which is slow to do."""
    found: dict[bytes, Polygon] = {}
    for place in places:
        points = get_coordinates(place)
        shape = np.round(points - points.min(axis=0), 6) + 0.0
        found.setdefault(shape.tobytes(), place)
    return list(found.values())


def _widest(place: Polygon) -> float:
    """Return the diameter of the largest circle in a place, never too large."""
    plain = cast("Polygon", place.simplify(_NEAR))
    return max(0.0, 2 * (float(maximum_inscribed_circle(plain, tolerance=_NEAR).length) - _NEAR))


def chains_by_place(step: Step, places: Sequence[Polygon]) -> list[list[Points]]:
    """Return the chains of a step that are run in one go at each place: the rounds of a pocket, or each line alone."""
    chains = step.travel.chains if step.travel is not None else ()
    return _by_place(places, chains) if places else [[chain] for chain in chains]


def _by_place(places: Sequence[Polygon], chains: Iterable[Points]) -> list[list[Points]]:
    """Return the chains that run in each place."""
    found: list[list[Points]] = [[] for _place in places]
    tree = STRtree(places) if len(places) > 1 else None
    for chain in chains:
        index = 0 if tree is None else int(tree.nearest(points(chain[0])))
        found[index].append(chain)
    return found


def _length(chain: Points) -> float:
    return float(np.linalg.norm(np.diff(chain, axis=0), axis=1).sum())


def _has_inside_corners(step: Step) -> bool:
    """Return False only for the outside of shapes that bulge everywhere."""
    operation = step.operation
    if operation.does is not OperationKind.PROFILE or operation.side is not Side.OUTSIDE:
        return True
    if not all(path.closed for path in operation.shapes):
        return True
    areas = [path.to_polygon() for path in operation.shapes]
    return any(area.convex_hull.area > area.area * (1 + _CONVEX) for area in areas)
