"""Sizes: what can be measured on the piece that the operations make, as records.

Every printed size of a cut comes from here, that of a whole part from `planning.overall`.

All are distances on the nominal shape: a corner relief is stated beside it, never in it. What runs along a line is as
wide as its cutter cuts there; a straight groove is measured over its ends, another line from middle to middle.
Lengths mm, angles degrees, in the coordinates of the part.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import field, replace

from kitforge.geometry.extent import Extent, Form, box_around, extent_of, round_extent
from kitforge.geometry.region import not_in_another
from kitforge.geometry.relief import relief_radius
from kitforge.model.kit import CutterKind, Operation, OperationKind, Side, Spot
from kitforge.model.path import Path
from kitforge.model.record import record
from kitforge.planning.areas import width_at


@record
class Made:
    """What an operation makes, as it measures: every separate hole, area or line in the order drawn.

    extents: their sizes; places: where each lies: its middle, for a bent open line where it starts. A lettering is one,
    a bevel has none. line: how wide at the face a groove or a bevel is; middles: sizes are from middle to middle of
    lines; relief: diameter of the reliefs in the corners; paths: the line drawn around each, None where there is none.
    """

    extents: tuple[Extent, ...]
    places: tuple[Spot, ...]
    paths: tuple[Path | None, ...] = field(default=(), repr=False)
    line: float | None = None
    middles: bool = False
    relief: float | None = None

    @property
    def count(self) -> int:
        """How many there are."""
        return len(self.extents)


def made_by(operation: Operation) -> Made:
    """Return what an operation makes, as it measures at the face it is cut from."""
    if operation.does is OperationKind.CHAMFER:
        return Made((), (), line=operation.width)
    shapes = [path for path in operation.nominal if path.vertices]
    if operation.does is OperationKind.ENGRAVE:
        whole = (box_around(shapes),) if shapes else ()
        return Made(whole, tuple(one.centre for one in whole), (None,) * len(whole))
    holes = [round_extent(x, y, hole_width(operation)) for x, y in operation.points]
    if follows_lines(operation):
        return _lines(holes, shapes, line_width(operation))
    if operation.does in (OperationKind.POCKET, OperationKind.DISH, OperationKind.FACE):
        shapes = not_in_another(shapes)
    extents = (*holes, *(_cleared(operation, path) for path in shapes))
    as_drawn = shapes if operation.does is not OperationKind.FACE else [None] * len(shapes)
    paths = (*[None] * len(holes), *as_drawn)
    return Made(extents, tuple(one.centre for one in extents), paths, relief=_relief(operation))


def line_width(operation: Operation) -> float:
    """Return how wide at the face an operation cuts that runs along a line."""
    return operation.width or width_at(operation.cutter, operation.depth)


def faced_beyond(operation: Operation) -> float:
    """Return how far facing goes beyond its shapes: the middle of the cutter covers them to the edge, mm."""
    return width_at(operation.cutter, operation.depth) / 2


def hole_width(operation: Operation) -> float:
    """Return the diameter at the face of what the cutter makes where it goes straight down."""
    return width_at(operation.cutter, operation.depth)


def has_flat_floor(operation: Operation) -> bool:
    """Whether an operation leaves a floor that is level, at least in the middle of what it clears."""
    cutter = operation.cutter
    if operation.through or operation.does not in (OperationKind.POCKET, OperationKind.DISH, OperationKind.FACE):
        return False
    if cutter.kind in (CutterKind.BALL_NOSE, CutterKind.V_BIT, CutterKind.DRILL):
        return False
    return cutter.corner_radius < cutter.radius


def follows_lines(operation: Operation) -> bool:
    """Whether the cutter runs with its middle on the lines that are drawn."""
    return operation.does is OperationKind.GROOVE or (
        operation.does is OperationKind.PROFILE and operation.side is Side.ON
    )


def _cleared(operation: Operation, path: Path) -> Extent:
    extent = extent_of(path)
    if operation.does is not OperationKind.FACE:
        return extent
    more = 2 * faced_beyond(operation)
    return replace(extent, along=extent.along + more, across=extent.across + more)


def _lines(holes: Sequence[Extent], shapes: Sequence[Path], width: float) -> Made:
    found = [extent_of(path) for path in shapes]
    middles = any(one.form is not Form.LINE for one in found)
    places = [one.centre if path.closed or one.form is Form.LINE else path.start
              for path, one in zip(shapes, found, strict=True)]  # fmt: skip
    extents = (*holes, *(_over_ends(one, width) if one.form is Form.LINE else one for one in found))
    paths = (*[None] * len(holes), *shapes)
    return Made(extents, (*(one.centre for one in holes), *places), paths, line=width, middles=middles)


def _over_ends(line: Extent, width: float) -> Extent:
    """Return a straight groove: a slot that goes half its width beyond both ends of its line."""
    return replace(line, form=Form.SLOT, along=line.along + width, across=line.across + width)


def _relief(operation: Operation) -> float | None:
    return 2 * relief_radius(operation.cutter.radius) if operation.relief is not None else None
