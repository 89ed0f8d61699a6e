"""The letters of a drawing's table: inside an area where there is room, else beside its edge with a leader to it."""

from __future__ import annotations

import math
from heapq import merge
from operator import attrgetter, itemgetter
from typing import TYPE_CHECKING, TypeVar

from shapely import LineString, MultiPolygon, box, union_all
from shapely.geometry.base import BaseGeometry

from kitforge.model.kit import OperationKind
from kitforge.pictures.drawn.features import is_area
from kitforge.pictures.drawn.grooves import area_of, runs_of, seen_of_groove
from kitforge.pictures.drawn.placing import LabelPlace, Leader, half_along, words_width

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from kitforge.model.kit import Operation, Part
    from kitforge.model.path import Path
    from kitforge.pictures.drawn.pen import Pen
    from kitforge.pictures.drawn.placing import Ground
    from kitforge.print.svg import PlanView, SvgCanvas

_HEIGHT = 0.72
"""Height of a capital of the shipped typeface with a little air, of its size."""
_REACHES = (3.6, 5.0, 7.0, 9.5, 13.0, 17.0)
_TURNS = (0.0, 35.0, -35.0, 65.0, -65.0)
_GRID, _MOST_SHAPES, _FEET = 7, 10, 16
_T = TypeVar("_T")
_cost = attrgetter("cost")


def draw_letters(
    canvas: SvgCanvas,
    ground: Ground,
    part: Part,
    view: PlanView,
    pen: Pen,
    marked: Sequence[tuple[str, Operation]],
) -> None:
    """Draw the letter of each operation where it covers no other words and as little line as can be."""
    areas = [found for _, one in marked if is_area(one) for path in one.shapes if (found := area_of(path)) is not None]
    for letter, operation in sorted(marked, key=lambda pair: _room(pair[1])):
        wide, tall = words_width(letter, pen.letter) + 1.2 * pen.grow, (_HEIGHT + 0.35) * pen.letter
        inside = sorted(_inside(operation, areas, view, wide, tall), key=_cost)
        places = merge(inside, _beside(operation, part, view, pen, wide, tall), key=_cost)
        place = ground.choose_first(places, wide, tall)
        if place is None:
            continue
        if place.leader is not None:
            pen.leader(canvas, place.leader)
        baseline = place.y + _HEIGHT * pen.letter / 2 - 0.03 * pen.letter
        canvas.text(place.x, baseline, letter, size=pen.letter, anchor="middle", bold=True, halo=True)


def _room(operation: Operation) -> tuple[bool, float]:
    """Areas first, the smallest of them first: they have the fewest places; what can stand anywhere comes last."""
    sizes = [path.bounds.width * path.bounds.height for path in operation.shapes if path.vertices]
    return not is_area(operation), max(sizes, default=0.0)


def _inside(
    operation: Operation, areas: Sequence[BaseGeometry], view: PlanView, wide: float, tall: float
) -> Iterator[LabelPlace]:
    """Places at which the letter lies wholly in one of the areas, clear of smaller areas in it; nearest its middle."""
    if not is_area(operation):
        return
    for index, path in enumerate(_some(operation.shapes)):
        area = area_of(path)
        if area is None or min(path.bounds.width / wide, path.bounds.height / tall) * view.scale < 1:
            continue
        free = area.difference(_smaller(area, areas))
        x, y = path.bounds.centre
        for dx, dy in _steps(path, view.scale):
            half_x, half_y = wide / 2 / view.scale, tall / 2 / view.scale
            if free.contains(box(x + dx - half_x, y + dy - half_y, x + dx + half_x, y + dy + half_y)):
                cost = 0.2 * index + 0.05 * math.hypot(dx, dy) * view.scale
                yield LabelPlace(view.x(x + dx), view.y(y + dy), None, cost)


def _steps(path: Path, scale: float) -> list[tuple[float, float]]:
    """Return steps from the middle of a shape, mm: none, between its centre lines, and a grid over it."""
    half = _GRID / 2
    wide, tall = path.bounds.width / _GRID, path.bounds.height / _GRID
    steps = [((i + 0.5) - half, (j + 0.5) - half) for i in range(_GRID) for j in range(_GRID)]
    grid = [(i * wide, j * tall) for i, j in steps]
    near = [(i * 3.0 / scale, j * 3.0 / scale) for i in (-1, 1) for j in (-1, 1)]
    return [(0.0, 0.0), *near, *grid]


def _smaller(area: BaseGeometry, areas: Sequence[BaseGeometry]) -> BaseGeometry:
    inner = [shape for shape in areas if shape.area < area.area and shape.intersects(area)]
    return union_all(inner) if inner else MultiPolygon()


def _beside(
    operation: Operation, part: Part, view: PlanView, pen: Pen, wide: float, tall: float
) -> Iterator[LabelPlace]:
    """Places beside the edges with a leader to a foot on them, cheapest first, each made when it is looked at."""
    feet = list(_feet(operation, part, view))
    ways = [
        (reach + 0.01 * abs(turn) + 0.004 * number, number, reach, turn)
        for number in range(len(feet))
        for reach in _REACHES
        for turn in _TURNS
    ]
    for cost, number, reach, turn in sorted(ways, key=itemgetter(0)):
        x, y, angle = feet[number]
        toward = math.radians(angle + turn)
        dx, dy = math.cos(toward), -math.sin(toward)
        # the leader ends where it meets the box of the letter
        end = max(reach * pen.grow - 0.6 * min(wide, tall) / 2, 1.0)
        out = end + half_along(dx, dy, wide, tall)
        yield LabelPlace(x + dx * out, y + dy * out, Leader(x, y, x + dx * end, y + dy * end), cost)


def _feet(operation: Operation, part: Part, view: PlanView) -> Iterator[tuple[float, float, float]]:
    """Return points on the edges of what an operation cuts and the direction away from them, degrees, in paper."""
    for x, y in _some(operation.points):
        radius = max(operation.cutter.radius * view.scale, 0.4)
        for angle in range(45, 405, 45):
            toward = math.radians(angle)
            yield view.x(x) + radius * math.cos(toward), view.y(y) - radius * math.sin(toward), float(angle)
    runs = _runs(operation, part, view)
    for run in runs:
        count = max(4, _FEET // len(runs) * 2)
        for index in range(count):
            here, on = (run.interpolate((index + share) / count, normalized=True) for share in (0.5, 0.51))
            along = math.degrees(math.atan2(on.y - here.y, on.x - here.x))
            for side in (-90.0, 90.0):
                yield view.x(here.x), view.y(here.y), along + side


def _runs(operation: Operation, part: Part, view: PlanView) -> list[LineString]:
    """Return the lines of an operation as they are seen, some of them where there are many."""
    if operation.does is OperationKind.GROOVE:
        return _some(runs_of(seen_of_groove(operation, part, view.scale)))
    shapes = _some([path for path in operation.shapes if len(path.vertices) > 1])
    return [LineString(path.flatten(0.02 / view.scale)) for path in shapes]


def _some(items: Sequence[_T]) -> list[_T]:
    """Return at most ten items, evenly chosen."""
    if len(items) <= _MOST_SHAPES:
        return list(items)
    return [items[index * len(items) // _MOST_SHAPES] for index in range(_MOST_SHAPES)]
