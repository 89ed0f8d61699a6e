"""What a drawing's table says of a part: one feature for each operation that makes something inside the outline."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.geometry.path import is_circle
from kitforge.kit import Doing, Face, Side
from kitforge.planning.areas import width_at

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from kitforge.geometry.path import Path
    from kitforge.kit import Operation, Part

_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
_TWO_EDGES = 0.9
"""A groove that is wider than this on paper, mm, shows both its edges."""
_MOST_SIZES = 3
_RING_LEAST, _RING_OFF = 5, 0.05
"""Fewer features make no circle worth naming; how far each may lie off it, mm."""

Spot = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Feature:
    """One feature of a part: its letter in the drawing, what it is, where it lies from the datum, its size.

    name: of its operation; count: how many of them; x, y: centre of the first, for an open line the point where it
    starts, None where neither says anything (lettering, an edge); line: width of a groove or of a chamfer at the face;
    length: of a straight line; ring: radius of the circle that their centres lie on; sizes: further ones of areas that
    are unlike the first; edge: a chamfer; face: where it is cut from.
    """

    letter: str
    title: str
    count: int
    x: float | None
    y: float | None
    width: float
    height: float
    diameter: float | None
    depth: float
    through: bool
    line: float | None = None
    face: Face = Face.TOP
    name: str = ""
    length: float | None = None
    ring: float | None = None
    edge: bool = False
    sizes: tuple[Spot, ...] = ()


def is_feature(operation: Operation) -> bool:
    """Whether an operation makes something inside the outline or along it, not the outline itself."""
    outline = operation.does is Doing.PROFILE and operation.side is Side.OUTSIDE
    return not outline and bool(operation.points or any(path.vertices for path in operation.shapes))


def is_area(operation: Operation) -> bool:
    """Whether an operation clears or cuts out an area inside the outline."""
    area = operation.does in (Doing.POCKET, Doing.DISH, Doing.FACE, Doing.PROFILE)
    return area and is_feature(operation) and not operation.points


def letters_of(part: Part) -> dict[str, str]:
    """Return the letters of the features by the names of their operations; the upper face comes first."""
    found = [operation for operation in part.operations if is_feature(operation)]
    found.sort(key=lambda operation: operation.face is Face.BOTTOM)
    return {operation.name: _letter(index) for index, operation in enumerate(found)}


def _letter(index: int) -> str:
    round_before, place = divmod(index, len(_LETTERS))
    return (_LETTERS[round_before - 1] if round_before else "") + _LETTERS[place]


def features_of(part: Part, letters: Mapping[str, str] | None = None) -> tuple[Feature, ...]:
    """Return the part's features in the order of their letters, which are its own unless others are given."""
    known = letters_of(part) if letters is None else letters
    found = [operation for operation in part.operations if is_feature(operation)]
    return tuple(
        sorted((_feature(part, one, known[one.name]) for one in found), key=lambda f: (len(f.letter), f.letter))
    )


def spots_of(operation: Operation) -> list[Spot]:
    """Return the centres of what an operation makes: its points and the middles of its shapes."""
    return [*operation.points, *(path.bounds.centre for path in operation.shapes if path.vertices)]


def ring_of(operation: Operation) -> tuple[float, float, float] | None:
    """Return (centre x, centre y, radius), mm, of the circle that the centres of five or more features lie on."""
    spots = spots_of(operation)
    if operation.does is Doing.ENGRAVE or len(spots) < _RING_LEAST:
        return None
    x, y = (math.fsum(values) / len(spots) for values in zip(*spots, strict=True))
    reaches = [math.hypot(a - x, b - y) for a, b in spots]
    radius = math.fsum(reaches) / len(reaches)
    alike = max(reaches) - min(reaches) <= 2 * _RING_OFF
    return (x, y, radius) if alike and radius > 2 * _RING_OFF else None


def _feature(part: Part, operation: Operation, letter: str) -> Feature:
    paths = [path for path in operation.shapes if path.vertices]
    whole = operation.does in (Doing.ENGRAVE, Doing.CHAMFER)
    x, y = (None, None) if whole else _place(operation, paths)
    width, height = _extent(operation, paths if operation.does is Doing.ENGRAVE else paths[:1])
    ring = ring_of(operation)
    return Feature(
        letter=letter,
        title=operation.title,
        count=1 if operation.does is Doing.ENGRAVE else len(operation.points) or len(paths),
        x=x,
        y=y,
        width=width,
        height=height,
        diameter=_diameter(operation, paths),
        depth=part.finished_depth(operation),
        through=operation.through,
        line=_line(operation),
        face=operation.face,
        name=operation.name,
        length=_length(paths),
        ring=ring[2] if ring else None,
        edge=operation.does is Doing.CHAMFER,
        sizes=_other_sizes(operation, paths),
    )


def _place(operation: Operation, paths: Sequence[Path]) -> Spot:
    if operation.points:
        return operation.points[0]
    return paths[0].bounds.centre if paths[0].closed else paths[0].start


def _extent(operation: Operation, paths: Sequence[Path]) -> Spot:
    """Return width and height of the box around paths, or the diameter of a drilled hole twice, mm."""
    if operation.points:
        diameter = width_at(operation.cutter, operation.depth)
        return diameter, diameter
    boxes = [path.bounds for path in paths]
    width = max(box.right for box in boxes) - min(box.left for box in boxes)
    return width, max(box.top for box in boxes) - min(box.bottom for box in boxes)


def _diameter(operation: Operation, paths: Sequence[Path]) -> float | None:
    if operation.points:
        return width_at(operation.cutter, operation.depth)
    circles = [] if operation.does is Doing.ENGRAVE else [found for path in paths if (found := is_circle(path))]
    return 2 * circles[0][2] if circles else None


def _other_sizes(operation: Operation, paths: Sequence[Path]) -> tuple[Spot, ...]:
    """Return up to two further sizes of areas, mm; one that lies across is not another."""
    if operation.does in (Doing.ENGRAVE, Doing.CHAMFER, Doing.GROOVE):
        return ()
    found: dict[tuple[float, ...], Spot] = {}
    for path in paths:
        size = path.bounds.width, path.bounds.height
        found.setdefault((*sorted(round(value, 1) for value in size), is_circle(path) is not None), size)
    return tuple(found.values())[1:_MOST_SIZES]


def line_width(operation: Operation) -> float:
    """Return how wide a groove is at the face, mm."""
    return operation.width or width_at(operation.cutter, operation.depth)


def drawn_width(operation: Operation, scale: float) -> float:
    """Return how far apart on paper the two edges of a groove are drawn, mm; 0 where one line stands for them."""
    width = line_width(operation) * scale if operation.does is Doing.GROOVE else 0.0
    return width if width > _TWO_EDGES else 0.0


def _line(operation: Operation) -> float | None:
    if operation.does is Doing.CHAMFER:
        return operation.width
    return line_width(operation) if operation.does is Doing.GROOVE else None


def _length(paths: Sequence[Path]) -> float | None:
    """Return the length of the first path where it is one straight line, mm."""
    straight = bool(paths) and not paths[0].closed and len(paths[0].vertices) == 2 and not paths[0].has_arcs
    return paths[0].length if straight else None
