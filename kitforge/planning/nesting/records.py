"""What a layout is asked for: pieces of stock with what may not be used of them, and copies of parts. Lengths mm."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from kitforge.model.layout import Placement
from kitforge.model.path import Path
from kitforge.model.record import record

if TYPE_CHECKING:
    from shapely import Polygon
    from shapely.geometry.base import BaseGeometry

GRAIN_TURNS = (0, 180)
ALL_TURNS = (0, 90, 180, 270)


@record(eq=False)
class Room:
    """One piece of stock. outline: its edge; margin: how far parts stay from it; turns: how they may lie on it.

    kept_out: areas that no part may touch, and how far a part must stay from each of them, mm: hold-downs, bad spots.
    fixed: copies that lie there already, at the author's places.
    """

    name: str
    outline: Polygon
    margin: float
    turns: tuple[int, ...]
    kept_out: tuple[tuple[BaseGeometry, float], ...] = ()
    fixed: tuple[Placement, ...] = ()


@record(eq=False)
class Copies:
    """A part that is to be laid out. outlines: all that it may be cut to (one for each rung of thickness)."""

    part: str
    outlines: tuple[Path, ...]
    copies: tuple[int, ...]


@record(eq=False)
class LayoutTask:
    """The task: rooms in the order in which they are filled, parts, and the least gap between two of them, mm.

    fixed: outlines of the parts that lie already. small: below this area a part counts as small, mm2.
    """

    rooms: tuple[Room, ...]
    parts: tuple[Copies, ...]
    gap: float
    fixed: Mapping[str, Path]
    small: float = 10_000.0


@record
class Laid:
    """What lies in each room, in the order of the rooms, and the copies for which there was no place."""

    rooms: tuple[tuple[Placement, ...], ...]
    left_over: tuple[tuple[str, int], ...] = ()
