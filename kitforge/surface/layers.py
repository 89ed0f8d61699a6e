"""A part as a few flat layers: areas in plan view with the wood between two depths, after everything is cut.

Depths are positive downwards from the finished top face. Cuts count as deep as they are everywhere, whatever the
cutter's shape; chamfers, engravings and cuts with a V-bit take so little that they are left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from kitforge.geometry.region import union
from kitforge.model.kit import CutterKind, Face, Operation, OperationKind, Part, Side
from kitforge.model.record import record
from kitforge.model.steps import Step
from kitforge.planning.areas import filled, multi, shrunk

if TYPE_CHECKING:
    from shapely import MultiPolygon

_FINE = 0.01
_LEAST_AREA = 0.01


@record(eq=False)
class WoodLayer:
    """An area of a part with wood from `top` to `bottom`, mm below its finished face."""

    area: MultiPolygon
    top: float
    bottom: float


def layers_of(part: Part, steps: Iterable[Step]) -> tuple[WoodLayer, ...]:
    """Return the finished part as layers whose areas do not overlap, thickest first."""
    thick = part.stock.actual
    found = {(0.0, thick): filled([part.outline])}
    for area, depth, face in _cuts(part, steps, thick):
        after: dict[tuple[float, float], list[MultiPolygon]] = {}
        for (top, bottom), own in found.items():
            ends = (max(top, depth), bottom) if face is Face.TOP else (top, min(bottom, thick - depth))
            after.setdefault((top, bottom), []).append(multi([own.difference(area)]))
            if ends[1] - ends[0] > _FINE:
                after.setdefault(ends, []).append(multi([own.intersection(area)]))
        found = {ends: multi([union(pieces)]) for ends, pieces in after.items()}
    up = part.faced[0]
    kept = [
        WoodLayer(multi([own.simplify(_FINE)]), top - up, bottom - up)
        for (top, bottom), own in found.items()
        if own.area > _LEAST_AREA
    ]
    return tuple(sorted(kept, key=lambda layer: (layer.top - layer.bottom, layer.top)))


def _cuts(part: Part, steps: Iterable[Step], thick: float) -> Iterator[tuple[MultiPolygon, float, Face]]:
    for step in steps:
        operation = step.operation
        if (
            step.cut is None
            or operation.does in (OperationKind.CHAMFER, OperationKind.ENGRAVE)
            or step.cutter.kind is CutterKind.V_BIT
        ):
            continue
        area = filled([part.outline]) if operation.whole else step.cut
        yield area, thick if operation.skin else min(step.tip, thick), step.face  # a skin is cut away by hand
        if operation.does is OperationKind.PROFILE and operation.through and operation.side is Side.INSIDE:
            yield _plug(operation), thick, step.face


def _plug(operation: Operation) -> MultiPolygon:
    """Return what falls out of an inside profile, less the rim that its cut takes anyway."""
    return shrunk(filled(operation.shapes), operation.cutter.radius)
