"""What each operation takes out of a part, as areas with a depth."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.kit import CutterKind, Doing, Operation, Part, Side
from kitforge.plan import Plan
from kitforge.planning.areas import QUARTER, filled, multi

if TYPE_CHECKING:
    from shapely import MultiPolygon, Polygon

AREA_WORK = (Doing.POCKET, Doing.DISH, Doing.FACE)


@dataclass(frozen=True, slots=True, eq=False)
class Feature:
    """One connected area that an operation takes away, and how deep, mm."""

    operation: Operation
    area: Polygon
    depth: float

    @property
    def is_hole(self) -> bool:
        """True for drilled holes and for holes that a profile cuts out."""
        return self.operation.does in (Doing.DRILL, Doing.PROFILE)

    @property
    def has_upright_walls(self) -> bool:
        """False for grooves of a V-bit, whose walls get thicker towards the floor."""
        return self.operation.cutter.kind is not CutterKind.V_BIT


def features_of(part: Part, plan: Plan) -> list[Feature]:
    """Return the features of a part: everything that is cut inside it, not facing, chamfers and its own outline."""
    return [
        Feature(operation, area, operation.depth)
        for operation in part.operations
        for area in _taken(operation, part, plan).geoms
    ]


def _taken(operation: Operation, part: Part, plan: Plan) -> MultiPolygon:
    if operation.does in (Doing.POCKET, Doing.DISH):
        return _united([*filled(operation.shapes).geoms, *discs(operation)])
    if operation.does is Doing.DRILL:
        return multi(discs(operation))
    if operation.does is Doing.GROOVE or (operation.does is Doing.PROFILE and operation.side is Side.ON):
        return _united(
            [shape for step in plan.steps_of(part.key) if step.operation is operation if (shape := step.cut)]
        )
    if operation.does is Doing.PROFILE and operation.side is Side.INSIDE and operation.through:
        return filled(operation.shapes)
    return multi(())


def discs(operation: Operation) -> Sequence[Polygon]:
    """Return the discs that an operation cuts at its points."""
    from shapely import buffer, points

    if not operation.points:
        return ()
    return list(buffer(points(operation.points), operation.cutter.radius, quad_segs=QUARTER))


def _united(shapes: Sequence[Polygon | MultiPolygon]) -> MultiPolygon:
    from shapely import union_all

    return multi([union_all(list(shapes))])
