"""Which walls stand on the finished piece: a size can only be measured between two of them.

A groove that runs out over the edge, or a slot that ends in a deeper recess, has no wall there. Lengths mm; depths
below the face as it came that an operation is cut from.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from shapely import Point, STRtree
from shapely.geometry.base import BaseGeometry

from kitforge.geometry.extent import Extent, Form
from kitforge.model.kit import Operation, OperationKind, Part, Spot
from kitforge.model.path import Path
from kitforge.planning.areas import filled
from kitforge.planning.removals import Removal, removals
from kitforge.planning.sizes import Made, made_by

_BESIDE = 0.05
"""So far beyond a wall the wood must stand, mm."""
_DEEPER = 0.01
"""Depths that differ by less than this are one, mm."""
_DIAMETERS = 12
"""In so many directions a round hole is looked at: it has its diameter where two walls stand opposite each other."""
_TOUCHES = 0.05
"""A shape touches the side of its box where it comes so near to it, mm."""
_TRIES = 9
"""At so many places of a side a wall is looked for."""


@dataclass(frozen=True, slots=True, eq=False)
class Walls:
    """Everything that is cut into a part, to look for wood beside a place."""

    part: Part
    outline: BaseGeometry
    cuts: Sequence[Removal]
    tree: STRtree

    def made_by(self, operation: Operation) -> Made:
        """Return what an operation makes, with the sizes marked that cannot be measured for want of a wall."""
        made = made_by(operation)
        if operation.does is OperationKind.ENGRAVE:
            return made
        found = zip(made.extents, made.paths, strict=True)
        marked = tuple(self._marked(operation, number, made, *one) for number, one in enumerate(found))
        return replace(made, extents=marked)

    def _marked(self, operation: Operation, number: int, made: Made, extent: Extent, path: Path | None) -> Extent:
        if extent.form is Form.ROUND:
            lacks = not any(self._diameter(operation, number, extent, turn) for turn in range(_DIAMETERS))
            return replace(extent, open_along=lacks, open_across=lacks)
        beyond = _BESIDE + (made.line or 0.0) / 2 if made.middles and extent.form is not Form.SLOT else _BESIDE
        along, across = (
            all(self._stands(operation, number, _beside(extent, path, axis, end, beyond)) for end in (-1, 1))
            for axis in (0, 1)
        )
        return replace(extent, open_along=not along, open_across=not across)

    def _diameter(self, operation: Operation, number: int, extent: Extent, turn: int) -> bool:
        reach = extent.along / 2 + _BESIDE
        c, s = (reach * f(math.pi * turn / _DIAMETERS) for f in (math.cos, math.sin))
        x, y = extent.centre
        return all(self._stands(operation, number, [spot]) for spot in ((x + c, y + s), (x - c, y - s)))

    def _stands(self, operation: Operation, number: int, spots: Sequence[Spot]) -> bool:
        """Whether wood stands at one of the places, beside the wall of a shape, at some depth that it reaches."""
        return any(self._wood(operation, number, spot) for spot in spots)

    def _wood(self, operation: Operation, number: int, spot: Spot) -> bool:
        place = Point(spot)
        if not self.outline.covers(place):
            return False
        thick = self.part.stock.actual
        same, other = 0.0, 0.0
        for index in self.tree.query(place, predicate="intersects").tolist():
            cut = self.cuts[index]
            if (cut.operation, cut.index) == (operation.name, number):
                continue
            if cut.face is operation.face:
                same = max(same, cut.depth)
            else:
                other = max(other, cut.depth)
        return same + _DEEPER < min(operation.datum.from_face(operation.depth), thick - other)


def _beside(extent: Extent, path: Path | None, axis: int, end: int, beyond: float) -> list[Spot]:
    """Return places just beyond one side of the box around a shape, where the shape touches that side.

    axis: 0 for the side at an end of the first axis, 1 for the second; end: -1 or 1.
    """
    size, width = (extent.along, extent.across) if axis == 0 else (extent.across, extent.along)
    out = end * (size / 2 + beyond)
    runs = _touching(extent, path, axis, end * size / 2, width)
    return [extent.at(out, run) if axis == 0 else extent.at(run, out) for run in runs]


def _touching(extent: Extent, path: Path | None, axis: int, side: float, width: float) -> list[float]:
    """Return where along a side of its box a shape touches it, from the middle of the side, mm."""
    if extent.form is Form.RECTANGLE or path is None:
        return [width * (step / (_TRIES - 1) - 0.5) * 0.98 for step in range(_TRIES)]
    if extent.form is Form.SLOT:
        length = extent.longer - extent.shorter
        return [0.0] if width == extent.shorter else [length * (step / (_TRIES - 1) - 0.5) for step in range(_TRIES)]
    own = [extent.from_middle(x, y) for x, y in path.flatten().tolist()]
    runs = sorted(spot[1 - axis] for spot in own if abs(spot[axis] - side) <= _TOUCHES)
    return runs[:: max(1, len(runs) // _TRIES)]


def walls_of(part: Part) -> Walls:
    """Return everything that is cut into a part."""
    outline = filled([part.outline])
    cuts = [cut for operation in part.operations for cut in removals(operation, part)]
    return Walls(part, outline, cuts, STRtree([cut.area for cut in cuts]))
