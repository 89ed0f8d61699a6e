"""What each operation takes out of a part, as areas with a depth."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from shapely import MultiPolygon, Polygon, buffer, points

from kitforge.geometry.region import polygons
from kitforge.model.kit import CutterKind, Operation, OperationKind, Part, Side
from kitforge.model.path import TOLERANCE, Path
from kitforge.model.plan import Plan
from kitforge.model.record import record
from kitforge.planning.areas import QUARTER, filled, multi, united

# Outlines of many points are thinned out by at most this, mm, before distances are measured.
SIMPLER = 0.002


@record(eq=False)
class ClearedArea:
    """One connected area that an operation takes away, and how deep, mm."""

    operation: Operation
    area: Polygon
    depth: float

    @property
    def is_hole(self) -> bool:
        """True for drilled holes and for holes that a profile cuts out."""
        return self.operation.does in (OperationKind.DRILL, OperationKind.PROFILE)

    @property
    def has_upright_walls(self) -> bool:
        """False for grooves of a V-bit, whose walls get thicker towards the floor."""
        return self.operation.cutter.kind is not CutterKind.V_BIT


def features_of(part: Part, plan: Plan) -> list[ClearedArea]:
    """Return the features of a part: everything that is cut inside it, not facing, chamfers and its own outline."""
    return [
        ClearedArea(operation, area, operation.depth)
        for operation in part.operations
        for taken in _taken(operation, part, plan).geoms
        for area in multi([taken.simplify(SIMPLER)]).geoms
    ]


def _taken(operation: Operation, part: Part, plan: Plan) -> MultiPolygon:
    if operation.does in (OperationKind.POCKET, OperationKind.DISH):
        area, dimples = enclosed(operation.shapes), discs(operation)
        return united([area, *dimples]) if len(dimples) else area
    if operation.does is OperationKind.DRILL:
        return multi(discs(operation))
    on_lines = operation.does is OperationKind.PROFILE and operation.side is Side.ON
    if on_lines or operation.does in (OperationKind.GROOVE, OperationKind.ENGRAVE):
        cuts = [shape for step in plan.steps_of(part.key) if step.operation is operation if (shape := step.cut)]
        return united(cuts)
    if operation.does is OperationKind.PROFILE and operation.side is Side.INSIDE and operation.through:
        return enclosed(operation.shapes)
    return multi(())


def enclosed(paths: Iterable[Path]) -> MultiPolygon:
    """Return the area of closed paths by the even-odd rule, sound even where the paths are not."""
    closed = [path for path in paths if path.closed and len(path.flatten()) > 3]
    try:
        return multi(polygons(closed, TOLERANCE))
    except ValueError:
        # paths that cross are a finding of their own; here their area only has to be sound
        return filled(closed)


def discs(operation: Operation) -> Sequence[Polygon]:
    """Return the discs that an operation cuts at its points."""
    if not operation.points:
        return ()
    return list(buffer(points(operation.points), operation.cutter.radius, quad_segs=QUARTER))
