"""Which positions a drawing gives along its edges, and how its words are kept apart there.

Centres of holes and of closed shapes come first, then the corners of lines, the walls of the outline and those of odd
shapes, each feature whole or not at all, until an edge is full. What stands on a circle has that circle in the table.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.model.kit import OperationKind
from kitforge.model.path import is_circle
from kitforge.pictures.drawn.features import is_feature, ring_of
from kitforge.pictures.drawn.placing import words_width
from kitforge.planning.sizes import made_by

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from kitforge.model.kit import Operation, Part
    from kitforge.model.path import Path
    from kitforge.model.piece import Piece
    from kitforge.pictures.drawn.pen import Pen
    from kitforge.print.figures import Units

MOST = 14
"""Positions along one edge: own choice, as many as can still be told apart."""
_GAP, _ODD = 1.15, 8
_RELIEF, _LEAST_WALL, _LEVEL = 4.0, 1.0, 0.01
"""An arc no larger than this is a relief or a fillet of a cutter; a shorter line is no wall; so level is level, mm."""
REACH = 4.2
"""From the edge of the part to the words of a position, mm of paper."""
PLANE_ENDS = 5.2
"""Room beside the part for the ends of a cutting plane with their arrows and letters, mm of paper."""

_Spot = tuple[float | None, float | None]


@dataclass(frozen=True, slots=True)
class PrintedPosition:
    """A position from the datum, mm, in words, and where they stand: mm of paper from the left or lower edge."""

    value: float
    words: str
    place: float


@dataclass(frozen=True, slots=True)
class DrawingFrame:
    """A drawing's scale, the room around the part, mm of paper, and the positions below and at the left of it.

    side, end: how much of that room, next to the part at its left and right or above and below it, is left for the ends
    of a cutting plane.
    """

    scale: float
    left: float
    right: float
    above: float
    below: float
    xs: tuple[PrintedPosition, ...]
    ys: tuple[PrintedPosition, ...]
    side: float = 0.0
    end: float = 0.0


def position_words(value: float, units: Units) -> str:
    """Return a position without its unit."""
    return units.length(round(value, 2) + 0.0).main.split(" ")[0]


def frame_at(part: Part, scale: float, units: Units, pen: Pen, cut_along_x: bool | None = None) -> DrawingFrame:
    """Return what surrounds a part that is drawn at a scale; with a cutting plane along X or along Y there is room for
    its ends.
    """
    box, gap, grow = part.outline.bounds, _GAP * pen.words, pen.grow
    wide, tall = box.width * scale, box.height * scale
    xs, ys = positions(part, _room(wide, gap), _room(tall, gap))
    across = _placed(xs, [(x - box.left) * scale for x in xs], gap, units)
    upwards = _placed(ys, [(y - box.bottom) * scale for y in ys], gap, units)
    longest_x, longest_y = (
        max((words_width(one.words, pen.words) for one in found), default=0.0) for found in (across, upwards)
    )
    reach = REACH * grow + 0.6
    side, end = (PLANE_ENDS * grow if cut is cut_along_x else 0.0 for cut in (True, False))
    return DrawingFrame(
        scale=scale,
        left=max(8.0 * grow, reach + longest_y + side, _under(across) + gap),
        right=max(9.8 * grow + side, _over(across, wide) + gap / 2),
        above=max(8.6 * grow + end, _over(upwards, tall) + gap / 2),
        below=max(7.0 * grow, reach + longest_x + end, _under(upwards) + gap / 2),
        xs=across,
        ys=upwards,
        side=side,
        end=end,
    )


def _room(length: float, gap: float) -> int:
    return min(MOST, int(length / gap) + 2)


def _under(stations: Sequence[PrintedPosition]) -> float:
    return max((-one.place for one in stations), default=0.0)


def _over(stations: Sequence[PrintedPosition], length: float) -> float:
    return max((one.place - length for one in stations), default=0.0)


def _placed(values: Sequence[float], wanted: Sequence[float], gap: float, units: Units) -> tuple[PrintedPosition, ...]:
    places = spread(wanted, gap)
    return tuple(
        PrintedPosition(value, position_words(value, units), place) for value, place in zip(values, places, strict=True)
    )


def spread(values: Sequence[float], gap: float) -> list[float]:
    """Return places at least `gap` apart, in the order of the rising values, with the least sum of squared shifts.

    Less its number of gaps, each place must rise: isotonic regression, by pooling neighbours that do not.
    """
    pools: list[tuple[float, int]] = []
    for index, value in enumerate(values):
        total, count = value - index * gap, 1
        while pools and pools[-1][0] / pools[-1][1] >= total / count:
            before, many = pools.pop()
            total, count = total + before, count + many
        pools.append((total, count))
    levels = [total / count for total, count in pools for _ in range(count)]
    return [level + index * gap for index, level in enumerate(levels)]


def positions(part: Part, most_x: int = MOST, most_y: int = MOST) -> tuple[list[float], list[float]]:
    """Return the positions along X and Y, mm, rising, at most so many of each."""
    xs: dict[float, float] = {}
    ys: dict[float, float] = {}
    box = part.outline.bounds
    for spots in _groups(part):
        more_x = xs | _new([x for x, _ in spots if x is not None], box.left, box.right, xs)
        more_y = ys | _new([y for _, y in spots if y is not None], box.bottom, box.top, ys)
        if len(more_x) <= most_x and len(more_y) <= most_y:
            xs, ys = more_x, more_y
    return sorted(xs.values()), sorted(ys.values())


def _new(values: Sequence[float], low: float, high: float, known: dict[float, float]) -> dict[float, float]:
    """Return the positions that are new and no edge of the part, which the overall size gives."""
    inside = (value for value in reversed(values) if low + 0.05 < value < high - 0.05)
    return {round(value, 1): value for value in inside if round(value, 1) not in known}


def _groups(part: Part) -> Iterator[list[_Spot]]:
    """Return what is given whole or not at all, the most useful first."""
    found = [
        one
        for one in part.operations
        if is_feature(one) and one.does not in (OperationKind.ENGRAVE, OperationKind.CHAMFER)
    ]
    yield from (_centres(one) for one in found if one.does is not OperationKind.GROOVE)
    yield from (_line_corners(one) for one in found if one.does is OperationKind.GROOVE)
    yield walls(part.outline)
    yield from (_odd_walls(one) for one in found if one.does is not OperationKind.GROOVE)


def _centres(operation: Operation) -> list[_Spot]:
    ring = ring_of(operation)
    if ring is not None:
        return [ring[:2]]
    return list(made_by(operation).places)


def _line_corners(operation: Operation) -> list[_Spot]:
    ring = ring_of(operation)
    if ring is not None:
        return [ring[:2]]
    spots: list[_Spot] = []
    for path in operation.nominal:
        circle = is_circle(path) if path.closed else None
        spots += [circle[:2]] if circle else [(vertex.x, vertex.y) for vertex in path.vertices]
    return spots


def _odd_walls(operation: Operation) -> list[_Spot]:
    """Return the walls of shapes that are no circle, slot or rectangle."""
    paths = [path for path in operation.nominal if path.closed and len(path.vertices) > _ODD]
    return [spot for path in paths for spot in walls(path)]


def walls(path: Path) -> list[_Spot]:
    """Return what places a closed path's edges: X of upright walls, Y of level ones, both at its other corners.

    Reliefs and small fillets, which follow from the cutter, are left out.
    """
    pieces = path.pieces()
    spots: list[_Spot] = []
    for before, piece in zip(pieces[-1:] + pieces[:-1], pieces, strict=True):
        if not piece.is_arc and piece.length > _LEAST_WALL:
            spots += _ends_of_wall(piece)
        bends = [one.radius for one in (before, piece) if one.is_arc]
        if bends and min(bends) > _RELIEF and not all(one.is_arc for one in (before, piece)) and _breaks(before, piece):
            spots.append((piece.x0, piece.y0))
    return spots


def _ends_of_wall(piece: Piece) -> list[_Spot]:
    if abs(piece.x1 - piece.x0) < _LEVEL:
        return [(piece.x0, None)]
    if abs(piece.y1 - piece.y0) < _LEVEL:
        return [(None, piece.y0)]
    return [(piece.x0, piece.y0), (piece.x1, piece.y1)]


def _breaks(before: Piece, after: Piece) -> bool:
    one, two = before.at(1.0), after.at(0.0)
    return one.dx * two.dx + one.dy * two.dy <= 0.999
