"""What the steps take out of a part, as prisms between two depths: never more than the cutter really takes.

Depths run from the top face of the stock downwards, whichever face a step is cut from. A part has one system of
coordinates, seen from its top face; what is cut from the bottom face is drawn where it lies under the top.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache

from shapely import LineString, MultiPoint, MultiPolygon, Polygon, STRtree, union_all
from shapely.geometry.base import BaseGeometry

from kitforge.geometry.region import offset, union
from kitforge.model.identity import IdentityKey
from kitforge.model.kit import CutterKind, Face, Operation, OperationKind, Part, Side
from kitforge.model.plan import Plan
from kitforge.model.record import record
from kitforge.model.steps import Step
from kitforge.planning.areas import engraved_at, filled, multi
from kitforge.planning.facing import covers
from kitforge.surface.cutter_shape import corner, reach_at

SLICES = 6
"""Into how many prisms the cut of a rounded or pointed cutter is divided, each as wide as the cut at its lower end."""

_COVERS = 0.01


@record(eq=False)
class Volume:
    """A prism of removed wood: the feature it belongs to, its area, and from where to where it reaches, mm."""

    feature: str
    area: MultiPolygon
    low: float
    high: float


@record(eq=False)
class Hollow:
    """A part with what is taken out of it. top, bottom: depths of its faces, which facing moves into the stock."""

    part: Part
    outline: Polygon | MultiPolygon
    top: float
    bottom: float
    volumes: tuple[Volume, ...]

    def of(self, feature: str) -> tuple[Volume, ...]:
        """Return the volumes of one feature."""
        return tuple(volume for volume in self.volumes if volume.feature == feature)

    def pieces(self, feature: str) -> list[Polygon]:
        """Return the separate areas of a feature in plan view, from left to right."""
        areas = multi([union([volume.area for volume in self.of(feature)])])
        return sorted(areas.geoms, key=lambda area: area.bounds)


def hollow_of(part: Part, plan: Plan, depths: Sequence[float] = (), feature: str | None = None) -> Hollow:
    """Return a part with everything taken out of it but chamfers and the cut along its own outline.

    depths: below the face of a step, where the cut of a rounded cutter is to be known exactly; feature: the one that
    is wanted alone, None for all.
    """
    outline = filled([part.outline])
    steps = [step for step in plan.steps_of(part.key) if not covers(step.operation, part)]
    steps = [step for step in steps if feature is None or step.operation.name == feature]
    volumes = tuple(volume for step in steps for volume in _taken(step, part.stock.actual, depths))
    top, bottom = part.faced
    return Hollow(part, outline, top, part.stock.actual - bottom, volumes)


def around(hollow: Hollow, start: Sequence[Volume]) -> Hollow:
    """Return the part with only what a body can come to from the volumes: what touches them, what touches that..."""
    pieces = [
        Volume(volume.feature, multi([area]), volume.low, volume.high)
        for volume in hollow.volumes
        for area in volume.area.geoms
    ]
    tree = STRtree([piece.area for piece in pieces])
    waiting, met = list(start), set[int]()
    while waiting:
        here = waiting.pop()
        for index in tree.query(here.area, predicate="intersects").tolist():
            other = pieces[index]
            if index not in met and min(here.high, other.high) >= max(here.low, other.low) - _COVERS:
                met.add(index)
                waiting.append(other)
    return replace(hollow, volumes=tuple(pieces[index] for index in sorted(met)))


def _taken(step: Step, thick: float, depths: Sequence[float]) -> Iterator[Volume]:
    operation = step.operation
    if operation.does is OperationKind.CHAMFER or operation.frees or step.cut is None:
        return
    if operation.does is OperationKind.PROFILE and operation.side is Side.OUTSIDE:
        return
    below = step.datum.below
    depth = step.wood if operation.skin else min(step.depth, step.wood)  # a skin is cut away by hand
    for area, low, high in _prisms(step, depth, depths):
        if not area.is_empty and high > low:
            ends = (below + low, below + high) if step.face is Face.TOP else (thick - below - high, thick - below - low)
            yield Volume(operation.name, area, *ends)


def _prisms(step: Step, depth: float, depths: Sequence[float]) -> Iterator[tuple[MultiPolygon, float, float]]:
    """Yield the area and the depths below the step's own face of each prism."""
    operation, cutter = step.operation, step.cutter
    assert step.cut is not None
    if operation.does is OperationKind.PROFILE and operation.side is Side.INSIDE and operation.through:
        yield plug(operation), 0.0, depth
    elif cutter.kind is CutterKind.DRILL or (cutter.kind is not CutterKind.V_BIT and corner(cutter) == 0):
        yield step.cut, 0.0, depth
    else:
        yield from _rounded(step, depth, depths)


def plug(operation: Operation) -> MultiPolygon:
    """Return what falls out of the inside profile: its area with the corners as the cutter rounds them."""
    radius = operation.cutter.radius * (1 - 1e-9)
    return multi([offset(offset(filled(operation.shapes), -radius), radius)])


def _rounded(step: Step, depth: float, depths: Sequence[float]) -> Iterator[tuple[MultiPolygon, float, float]]:
    ends = sorted({depth * n / SLICES for n in range(SLICES + 1)} | {d for d in depths if 0 < d < depth})
    for low, high in itertools.pairwise(ends):
        yield cut_at(step, high), low, high


def cut_at(step: Step, depth: float) -> MultiPolygon:
    """Return how far a step cuts at a depth below its face: along its travel, as wide as the cutter at that height.

    Every need asks for the same slices, so those of the last steps are kept.
    """
    return _cut_at(IdentityKey(step), depth)


@lru_cache(maxsize=512)
def _cut_at(same: IdentityKey[Step], depth: float) -> MultiPolygon:
    step = same.one
    if step.operation.does is OperationKind.ENGRAVE:
        return engraved_at(step.operation, step.cutter, depth)
    radius = reach_at(step.cutter, step.depth - depth)
    if radius <= 0:
        return multi([])
    chains = step.travel.chains if step.travel is not None else ()
    drawn = (LineString(chain) for chain in chains if len(chain) > 1)
    lines: list[BaseGeometry] = [line.simplify(0.002, preserve_topology=False) for line in drawn]
    if step.operation.points:
        lines.append(MultiPoint(step.operation.points))
    return multi([union_all([offset(line, radius) for line in lines])])
