"""The surface of the finished parts in words: what is said of its kinds adds up to what is said of all of it."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from kitforge.print.figures import Units
    from kitforge.surface.figures import Areas

SQUARE_FOOT = 304.8**2
"""Square feet, mm²."""
_LEAST = 50.0
"""A kind of surface with no more than this, mm², is not spoken of."""
_LARGE = 1e6
"""Below so many mm² hundredths of a m² are too coarse to tell the kinds of a surface apart."""


@dataclass(frozen=True, slots=True)
class SurfaceTexts:
    """The areas of a surface in words: its kinds, "" where there is hardly any; all of it; all but the walls."""

    faces: str
    hollows: str
    walls: str
    edges: str
    total: str
    without_walls: str


def surface_texts(surface: Areas, units: Units) -> SurfaceTexts:
    """Return the areas of a surface in m² and square feet, its kinds so that they add up to all of it."""
    kinds = (surface.faces, surface.hollows, surface.walls, surface.edges)
    square, foot = _units(surface.total)
    metric, feet = shares(kinds, square), shares(kinds, foot)

    def text(square: int, foot: int) -> str:
        return _text(square, foot, surface.total, units) if square else ""

    faces, hollows, walls, edges = (text(*both) for both in zip(metric, feet, strict=True))
    total, without = text(sum(metric), sum(feet)), text(sum(metric) - metric[2], sum(feet) - feet[2])
    return SurfaceTexts(faces, hollows, walls, edges, total, without)


def surface_text(area: float, units: Units) -> str:
    """Return all of a surface, mm², in m² and square feet, rounded up."""
    square, foot = _units(area)
    return _text(shares((area,), square)[0], shares((area,), foot)[0], area, units)


def shares(areas: Sequence[float], unit: float) -> list[int]:
    """Return in how many units each of some areas is told: together in as many as their sum, rounded up.

    What is told has one at least, what is too small to be told none. Of the others each is rounded down; those with
    the largest remainders get what is missing then, and the largest give what is too much.
    """
    wanted = math.ceil(sum(areas) / unit - 1e-9)
    found = [max(1, math.floor(area / unit)) if area > _LEAST else 0 for area in areas]
    told = [place for place, count in enumerate(found) if count]
    order = sorted(told, key=lambda place: (found[place] * unit - areas[place], place))
    for place in itertools.islice(itertools.cycle(order), max(0, wanted - sum(found))):
        found[place] += 1
    while sum(found) > wanted and max(found) > 1:
        found[found.index(max(found))] -= 1
    return found


def _units(area: float) -> tuple[float, float]:
    """Return the units in which a surface is told, mm²: hundredths or thousandths of a m², tenths of a square foot."""
    return (1e4, SQUARE_FOOT / 10) if area >= _LARGE else (1e3, SQUARE_FOOT / 100)


def _text(square: int, foot: int, area: float, units: Units) -> str:
    if area >= _LARGE:
        return str(units.pick(f"{square / 100:.2f} m²", f"{foot / 10:.1f} sq ft"))
    return str(units.pick(f"{square / 1000:.3f} m²", f"{foot / 100:.2f} sq ft"))
