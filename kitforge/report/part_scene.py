"""A part in plan: outline in a wide line, cuts in narrow ones with a fill that is darker the deeper they go.

Line widths and kinds after ISO 128-2: wide continuous for the outline, narrow for the rest, dashed for what is cut from
the other face.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from shapely import LineString, STRtree, distance
from shapely import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry

from kitforge.language import say, say_many
from kitforge.model.kit import Face, OperationKind
from kitforge.model.path import Path, Vertex
from kitforge.model.piece import Bounds
from kitforge.planning.overall import part_extent
from kitforge.print.svg import INK, NARROW, WIDE, PlanView, SvgCanvas, circle_data, path_data

if TYPE_CHECKING:
    from kitforge.model.kit import Operation, Part
    from kitforge.model.piece import Piece
    from kitforge.report.records import Point

BODY = "#f7f0e3"
THROUGH = "#ffffff"
DEPTHS = ("#e3e9ed", "#ccd7de", "#b2c3cd", "#98afbc")
"""Fills from shallow to deep, by quarters of the stock's thickness."""

SMALL = 5.0
"""What is smaller than this, mm, is drawn again in a detail."""

_FILLED = frozenset({OperationKind.FACE, OperationKind.POCKET, OperationKind.DISH, OperationKind.ENGRAVE})
_BEYOND = 0.5
_TOUCHING = 0.5
_LONG = 2000
_CORNER = 2.5
_STRAIGHT_ON = math.cos(math.radians(20))


@dataclass(frozen=True, slots=True)
class _Edges:
    """Every line of a part as geometry for measuring, with the least extent of what it encloses, mm."""

    shapes: tuple[BaseGeometry, ...]
    extents: tuple[float, ...]
    tree: STRtree


@dataclass(slots=True)
class PartScene:
    """The drawing of one part in its own coordinates."""

    part: Part
    _edges: _Edges | None = field(default=None, repr=False)
    _boxes: list[list[Bounds]] | None = field(default=None, repr=False)

    @property
    def bounds(self) -> Bounds:
        """The outline's box, and what reaches beyond it by no more than half its size."""
        box = self.part.outline.bounds
        reach = max(box.width, box.height, 1.0) * _BEYOND
        allowed = Bounds(box.left - reach, box.bottom - reach, box.right + reach, box.top + reach)
        boxes = [box, *(_held(path.bounds, allowed) for path in _paths(self.part) if path.vertices)]
        return Bounds.around(boxes)

    @property
    def words(self) -> str:
        """What the drawing shows, in words."""
        extent = part_extent(self.part)
        count = len(self.part.operations)
        return say(
            "Plan of {part}, {along:.1f} by {across:.1f} mm, with {cuts}",
            part=self.part.title, along=extent.along, across=extent.across,
            cuts=say_many("one operation", "{count} operations", count),
        )  # fmt: skip

    def draw(self, canvas: SvgCanvas, view: PlanView, window: Bounds | None = None) -> None:
        """Draw the body, the cuts from deep fills to thin lines, and the outline on top."""
        outline = path_data(seen([self.part.outline], window), view)
        canvas.path(outline, fill=BODY if self.part.outline.closed else "none")
        operations = self.part.operations if window is None else self._in_window(window)
        for operation in operations:
            _draw_fill(canvas, operation, view, self.part.stock.actual)
        for operation in operations:
            _draw_lines(canvas, operation, view)
        canvas.path(outline, stroke=INK, width=WIDE)

    def _in_window(self, window: Bounds) -> list[Operation]:
        """Return the operations with only those shapes and points that can be seen in the window."""
        if self._boxes is None:
            self._boxes = [[path.bounds for path in o.shapes if path.vertices] for o in self.part.operations]
        found = []
        for operation, boxes in zip(self.part.operations, self._boxes, strict=True):
            reach = max(operation.width or 0.0, operation.cutter.diameter)
            wide = Bounds(window.left - reach, window.bottom - reach, window.right + reach, window.top + reach)
            drawable = (path for path in operation.shapes if path.vertices)
            shapes = [path for path, box in zip(drawable, boxes, strict=True) if meets(box, wide)]
            points = tuple(point for point in operation.points if meets(Bounds(*point, *point), wide))
            found.append(replace(operation, shapes=tuple(seen(shapes, wide)), points=points))
        return found

    def is_small(self, at: Point) -> bool:
        """Whether a feature, a wall or a piece of a line at this place is smaller than 5 mm."""
        edges, spot = self._measured(), ShapelyPoint(at)
        near = edges.tree.query(spot.buffer(SMALL)).tolist()
        gaps = sorted((float(distance(edges.shapes[i], spot)), i) for i in near)
        gaps = [gap for gap in gaps if gap[0] < SMALL]
        thin_wall = len(gaps) > 1 and gaps[0][0] + gaps[1][0] < SMALL
        small_shape = any(edges.extents[i] < SMALL for gap, i in gaps if gap <= max(edges.extents[i], _TOUCHING))
        return thin_wall or small_shape or any(_is_fine_work(path, at) for path in _paths(self.part))

    def touches(self, at: Point) -> bool:
        """Whether a line of the part runs through the place."""
        edges, spot = self._measured(), ShapelyPoint(at)
        near = edges.tree.query(spot, predicate="dwithin", distance=_TOUCHING)
        return bool(near.size)

    def _measured(self) -> _Edges:
        if self._edges is None:
            self._edges = _edges_of(self.part)
        return self._edges


def seen(paths: Sequence[Path], window: Bounds | None) -> list[Path]:
    """Return the paths; of very long ones, only the runs that can be seen in the window, as open paths."""
    if window is None:
        return list(paths)
    return [run for path in paths for run in (_runs(path, window) if len(path.vertices) > _LONG else [path])]


def _runs(path: Path, window: Bounds) -> list[Path]:
    runs: list[Path] = []
    run: list[Vertex] = []
    for piece in path.pieces():
        if meets(piece.bounds, window):
            run[-1:] = [Vertex(piece.x0, piece.y0, piece.bulge), Vertex(piece.x1, piece.y1)]
        elif run:
            runs.append(Path(tuple(run), closed=False))
            run = []
    return [*runs, Path(tuple(run), closed=False)] if run else runs


def meets(box: Bounds, window: Bounds) -> bool:
    """Whether two boxes touch."""
    across = box.left <= window.right and box.right >= window.left
    return across and box.bottom <= window.top and box.top >= window.bottom


def _held(box: Bounds, allowed: Bounds) -> Bounds:
    """Return a box drawn into the allowed one."""
    xs = [min(max(x, allowed.left), allowed.right) for x in (box.left, box.right)]
    ys = [min(max(y, allowed.bottom), allowed.top) for y in (box.bottom, box.top)]
    return Bounds(xs[0], ys[0], xs[1], ys[1])


def _paths(part: Part) -> list[Path]:
    return [part.outline, *(path for operation in part.operations for path in operation.shapes)]


def _draw_fill(canvas: SvgCanvas, operation: Operation, view: PlanView, thickness: float) -> None:
    fill = _fill_of(operation, thickness)
    if operation.does is OperationKind.PROFILE:
        if operation.through and not operation.frees:
            canvas.path(path_data([path for path in operation.shapes if path.closed], view), fill=THROUGH)
    elif operation.does in _FILLED:
        canvas.path(path_data(operation.shapes, view), fill=fill)
    elif operation.does is OperationKind.GROOVE:
        width = (operation.width or operation.cutter.diameter) * view.scale
        canvas.path(path_data(operation.shapes, view), stroke=fill, width=width, cap="round")
    elif operation.does is OperationKind.DRILL:
        radius = operation.cutter.radius * view.scale
        discs = "".join(circle_data(view.x(x), view.y(y), radius) for x, y in operation.points)
        # not even-odd, by which two holes in the same place would cancel each other out
        canvas.parts.append(f'<path d="{discs}" fill="{fill}" fill-rule="nonzero"/>' if discs else "")


def _fill_of(operation: Operation, thickness: float) -> str:
    if operation.through:
        return THROUGH
    share = min(max(operation.depth / max(thickness, 1e-6), 0.0), 0.999)
    return DEPTHS[int(share * len(DEPTHS))]


def _draw_lines(canvas: SvgCanvas, operation: Operation, view: PlanView) -> None:
    dash = "1.6 0.8" if operation.face is Face.BOTTOM else "0.6 0.6" if operation.does is OperationKind.CHAMFER else ""
    canvas.path(path_data(operation.shapes, view), stroke=INK, width=NARROW, dash=dash)
    radius = operation.cutter.radius * view.scale
    circles = (circle_data(view.x(x), view.y(y), radius) for x, y in operation.points)
    canvas.path("".join(circles), stroke=INK, width=NARROW, dash=dash)
    arm = max(radius, 0.5) + 0.6
    crosses = (
        f"M{view.x(x) - arm:.3f} {view.y(y):.3f}h{2 * arm:.3f}M{view.x(x):.3f} {view.y(y) - arm:.3f}v{2 * arm:.3f}"
        for x, y in operation.points
    )
    canvas.path("".join(crosses), stroke=INK, width=0.13)


def _edges_of(part: Part) -> _Edges:
    found = [*_lines(list(dict.fromkeys(_paths(part)))), *_discs(part.operations)]
    shapes, extents = tuple(shape for shape, _ in found), tuple(extent for _, extent in found)
    return _Edges(shapes, extents, STRtree(list(shapes)))


def _lines(paths: Sequence[Path]) -> list[tuple[BaseGeometry, float]]:
    lines: list[tuple[BaseGeometry, float]] = []
    for path in paths:
        points = path.flatten(0.05)
        if len(points) == 0 or not math.isfinite(float(points.sum())):
            continue
        box = path.bounds
        extent = min(box.width, box.height) if path.closed else path.length
        lines.append((LineString(points) if len(points) > 1 else ShapelyPoint(points[0]), extent))
    return lines


def _discs(operations: Sequence[Operation]) -> list[tuple[BaseGeometry, float]]:
    return [
        (ShapelyPoint(point).buffer(operation.cutter.radius).exterior, operation.cutter.diameter)
        for operation in operations
        for point in operation.points
    ]


def _is_fine_work(path: Path, at: Point) -> bool:
    """Whether a piece shorter than 5 mm ends at the place, or the path turns a corner beside it."""
    pieces = path.pieces()
    for piece, after in zip(pieces, pieces[1:] + pieces[:1], strict=True):
        away = math.dist(at, piece[2:4])
        if away <= _CORNER and piece.length and after.length and _turns(piece, after):
            return True
        if piece.length < SMALL and min(away, math.dist(at, piece[:2])) <= _TOUCHING:
            return True
    return False


def _turns(piece: Piece, after: Piece) -> bool:
    one, other = piece.at(1.0), after.at(0.0)
    return one.dx * other.dx + one.dy * other.dy < _STRAIGHT_ON and math.dist(piece[2:4], after[:2]) < _TOUCHING


def middle_of(operation: Operation) -> Point | None:
    """Return a place that stands for the whole operation: its first point, or one in or on its first shape."""
    if operation.points:
        return operation.points[0]
    path = next((path for path in operation.shapes if path.pieces()), None)
    if path is None:
        return None
    if path.closed and operation.does in _FILLED:
        try:
            inside = path.to_polygon(0.1).representative_point()
        except ValueError:
            return path.start
        return (inside.x, inside.y)
    middle = path.point_at(path.length / 2)
    return (middle.x, middle.y)
