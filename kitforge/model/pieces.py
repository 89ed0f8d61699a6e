"""The records of loose wood: the pieces into which the cuts have divided a stock, and the bridges between them.

Lengths mm, areas mm2, in the coordinates of the sheet.
"""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from kitforge.model.record import record

if TYPE_CHECKING:
    from shapely import Polygon
    from shapely.geometry.base import BaseGeometry

SMALL_WASTE = 300.0
"""Waste of less area, mm2, is thrown or taken by the dust extraction, whatever is done: common practice, no source."""


def least_of_part(area: float) -> float:
    """Return how large a piece of a part of an area is at least that belongs to it, mm2; less of it is waste."""
    return min(SMALL_WASTE, area / 2)


@record
class Bridge:
    """What a through cut leaves standing between pieces: a tab, or a skin along the whole cut.

    step: the key of the step that leaves it; x, y, angle: its middle and the direction of the edge there, degrees (of
    a skin: of no use); height: how thick it is; kerf: how far it reaches over the cut. joins: numbers of the pieces
    that it touches, over: how long it touches each, never more than a tab is wide.
    """

    step: str
    x: float
    y: float
    angle: float
    height: float
    kerf: float
    skin: bool
    joins: tuple[int, ...] = ()
    over: tuple[float, ...] = ()
    shape: BaseGeometry | None = field(default=None, compare=False, repr=False)

    def width_on(self, piece: int) -> float:
        """Return how long the bridge touches a piece, mm; 0 where it does not."""
        return self.over[self.joins.index(piece)] if piece in self.joins else 0.0


@record
class WoodPiece:
    """A piece of wood all around which the stock is cut, bridges aside.

    part, copy: in which part it lies, None and 0 for the waste between the parts; of_part: it is that part or a piece
    of it, with an edge on its outline, not waste cut out of it or a splinter. length, width: of the smallest rectangle
    around it; round: it is a disc; x, y: a place inside it.
    """

    number: int
    area: float
    length: float
    width: float
    round: bool
    x: float
    y: float
    part: str | None = None
    copy: int = 0
    of_part: bool = False
    outline: Polygon | None = field(default=None, compare=False, repr=False)

    @property
    def small_waste(self) -> bool:
        """True for waste so small that nothing can hold it."""
        return not self.of_part and self.area < SMALL_WASTE


@record
class Division:
    """What the stock consists of after a step: its pieces, the largest of which counts as the stock itself first.

    touched: numbers of the pieces that the cutter of this step has worked on; opened: a cut has come out below.
    """

    step: str
    pieces: tuple[WoodPiece, ...]
    bridges: tuple[Bridge, ...] = ()
    touched: frozenset[int] = frozenset()
    opened: bool = False

    def tied(self, piece: WoodPiece) -> tuple[Bridge, ...]:
        """Return the bridges from a piece to others."""
        return tuple(bridge for bridge in self.bridges if piece.number in bridge.joins and len(bridge.joins) > 1)

    def group(self, piece: WoodPiece, without: WoodPiece | None = None) -> tuple[WoodPiece, ...]:
        """Return a piece with all that hang together with it by bridges, as if `without` were not there."""
        gone = {without.number} if without else set[int]()
        reached, waiting = {piece.number}, [piece.number]
        while waiting:
            number = waiting.pop()
            for bridge in self.bridges:
                if number in bridge.joins:
                    more = set(bridge.joins) - reached - gone
                    waiting += more
                    reached |= more
        return tuple(one for one in self.pieces if one.number in reached)

    def beyond(self, bridge: Bridge, piece: WoodPiece) -> tuple[WoodPiece, ...]:
        """Return what a bridge from a piece leads to, and all that hangs on to that by itself."""
        ends = [one for one in self.pieces if one.number in bridge.joins and one.number != piece.number]
        return tuple({other.number: other for end in ends for other in self.group(end, piece)}.values())
