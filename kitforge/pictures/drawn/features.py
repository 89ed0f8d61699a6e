"""What a drawing's table says of a part: one feature for each operation that makes something inside the outline."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from kitforge.model.kit import Face, OperationKind, Side
from kitforge.planning.sizes import line_width, made_by
from kitforge.planning.walls import walls_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from kitforge.geometry.extent import Extent
    from kitforge.model.kit import Operation, Part
    from kitforge.planning.sizes import Made

_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
_TWO_EDGES = 0.9
# A mark narrower than the one on paper, mm, and shorter than so many widths, is one line.
_WIDE, _LONG = 2.0, 12
"""A groove that is wider than this on paper, mm, shows both its edges."""
_MOST_SIZES = 3
_RING_LEAST, _RING_OFF = 5, 0.05
"""Fewer features make no circle worth naming; how far each may lie off it, mm."""

Spot = tuple[float, float]


@dataclass(frozen=True, slots=True)
class DrawnFeature:
    """One feature of a part: its letter in the drawing, what it is, where it lies from the datum, its size.

    name: of its operation; made: what it measures; x, y: where the first one lies, None where that says nothing
    (lettering, an edge); ring: radius of the circle that their centres lie on; face: where it is cut from.
    """

    letter: str
    title: str
    made: Made
    x: float | None
    y: float | None
    depth: float
    through: bool
    face: Face = Face.TOP
    name: str = ""
    ring: float | None = None
    edge: bool = False

    @property
    def count(self) -> int:
        """How many of them there are; an edge and a lettering are one."""
        return max(1, self.made.count)

    @property
    def sizes(self) -> tuple[Extent, ...]:
        """The size of the first, and up to two further ones that are unlike it; one that lies across is not another."""
        found: dict[tuple[object, ...], Extent] = {}
        for one in self.made.extents:
            key = one.form, round(one.shorter, 2), round(one.longer, 2), one.open_along, one.open_across
            found.setdefault(key, one)
        return tuple(found.values())[:_MOST_SIZES]


def is_outline(operation: Operation) -> bool:
    """Whether an operation cuts round what stays."""
    return operation.does is OperationKind.PROFILE and operation.side is Side.OUTSIDE


def is_feature(operation: Operation) -> bool:
    """Whether an operation makes something inside the outline or along it, not the outline itself."""
    return not is_outline(operation) and bool(operation.points or any(path.vertices for path in operation.shapes))


def is_area(operation: Operation) -> bool:
    """Whether an operation clears or cuts out an area inside the outline."""
    area = operation.does in (OperationKind.POCKET, OperationKind.DISH, OperationKind.FACE, OperationKind.PROFILE)
    return area and is_feature(operation) and not operation.points


def is_depth(operation: Operation) -> bool:
    """Whether an operation leaves a floor in the part, which a section shows; lettering and bevels are none."""
    shaped = operation.does in (OperationKind.ENGRAVE, OperationKind.CHAMFER)
    return is_feature(operation) and not operation.through and not shaped


def letters_of(part: Part) -> dict[str, str]:
    """Return the letters of the features by the names of their operations; the upper face comes first."""
    found = [operation for operation in part.operations if is_feature(operation)]
    found.sort(key=lambda operation: operation.face is Face.BOTTOM)
    return {operation.name: _letter(index) for index, operation in enumerate(found)}


def section_letter(part: Part) -> str:
    """Return the letter of a part's section: the next one after its features, which have theirs without it too."""
    return _letter(len(letters_of(part)))


def _letter(index: int) -> str:
    round_before, place = divmod(index, len(_LETTERS))
    return (_LETTERS[round_before - 1] if round_before else "") + _LETTERS[place]


def features_of(part: Part, letters: Mapping[str, str] | None = None) -> tuple[DrawnFeature, ...]:
    """Return the part's features in the order of their letters, which are its own unless others are given.

    Of the operations those are taken that have a letter; all of them are cut into the part.
    """
    known = letters_of(part) if letters is None else letters
    walls = walls_of(part)
    found = [operation for operation in part.operations if operation.name in known]
    made = [_feature(part, one, walls.made_by(one), known[one.name]) for one in found]
    return tuple(sorted(made, key=lambda f: (len(f.letter), f.letter)))


def ring_of(operation: Operation) -> tuple[float, float, float] | None:
    """Return (centre x, centre y, radius), mm, of the circle that the centres of five or more features lie on."""
    spots = [one.centre for one in made_by(operation).extents]
    if operation.does is OperationKind.ENGRAVE or len(spots) < _RING_LEAST:
        return None
    x, y = (math.fsum(values) / len(spots) for values in zip(*spots, strict=True))
    reaches = [math.hypot(a - x, b - y) for a, b in spots]
    radius = math.fsum(reaches) / len(reaches)
    alike = max(reaches) - min(reaches) <= 2 * _RING_OFF
    return (x, y, radius) if alike and radius > 2 * _RING_OFF else None


def _feature(part: Part, operation: Operation, made: Made, letter: str) -> DrawnFeature:
    ring = ring_of(operation)
    x, y = place_of(operation, made)
    return DrawnFeature(
        letter=letter,
        title=operation.title,
        made=made,
        x=x,
        y=y,
        depth=part.finished_depth(operation),
        through=operation.through,
        face=operation.face,
        name=operation.name,
        ring=ring[2] if ring else None,
        edge=operation.does is OperationKind.CHAMFER,
    )


def place_of(operation: Operation, made: Made) -> tuple[float | None, float | None]:
    """Return where the first one lies, without what nobody can measure: its middle along an axis that is open."""
    if not made.places or operation.does is OperationKind.ENGRAVE:
        return None, None
    (x, y), first = made.places[0], made.extents[0]
    if first.is_turned or (x, y) != first.centre:
        return x, y
    return (None if first.open_along else x), (None if first.open_across else y)


def drawn_width(operation: Operation, scale: float) -> float:
    """Return how far apart on paper the two edges of a groove are drawn, mm; 0 where one line stands for them."""
    width = line_width(operation) * scale if operation.does is OperationKind.GROOVE else 0.0
    # Both edges of a short, narrow mark close to a shape that reads as the numeral 0.
    short = width < _WIDE and _shortest(operation) * scale < _LONG * width
    return width if width > _TWO_EDGES and not short else 0.0


def _shortest(operation: Operation) -> float:
    """Return the length of the shortest run of a groove, mm."""
    runs = [path.flatten(0.05) for path in operation.shapes if len(path.vertices) > 1]
    return min((float(np.sqrt((np.diff(run, axis=0) ** 2).sum(axis=1)).sum()) for run in runs), default=0.0)
