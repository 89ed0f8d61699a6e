"""What holds the work: forces borne and asked for, N, and the places of fasteners, mm."""

from __future__ import annotations

from dataclasses import field

from kitforge.model.messages import Message
from kitforge.model.pieces import WoodPiece
from kitforge.model.record import record
from kitforge.model.settings import Trail
from kitforge.model.workshop import HoldDown

# A pull that was worked out from what is borne may pass it by rounding.
_HAIR = 1 - 1e-9


@record
class HoldResult:
    """What holds the work against the cut of one step: capacity and demand N, with the calculation behind it.

    hold_down is None for what keeps `piece`, which a cut has separated from the stock: tabs, onion skin, or what of the
    hold-down acts on this very piece; instead: that hold-down, where it is not the one of first choice. The capacities
    have the safety factor taken off already; the demands are at the unfavourable end. trail: the calculation of the
    capacities line by line. breaks: sideways and upwards, N, what keeps a piece bears with no safety factor taken off;
    None for what holds the stock.
    """

    held_by: Message
    capacity: float
    demand: float
    lift_capacity: float
    lift_demand: float
    text: str
    step: str
    hold_down: HoldDown | None = None
    trail: Trail = field(default=Trail(), compare=False, repr=False)
    piece: WoodPiece | None = field(default=None, compare=False, repr=False)
    breaks: tuple[float, float] | None = None
    instead: HoldDown | None = None

    @property
    def near_limit(self) -> bool:
        """True when it holds, but by less than its safety factor."""
        if self.holds or self.breaks is None:
            return False
        return self.breaks[0] >= self.demand * _HAIR and self.breaks[1] >= self.lift_demand * _HAIR

    @property
    def holds(self) -> bool:
        """True when both the sideways and the upward demand are within the capacity."""
        return self.capacity >= self.demand * _HAIR and self.lift_capacity >= self.lift_demand * _HAIR


@record
class FastenerPlace:
    """A fastener or clamp on the sheet: position mm in the sheet's coordinates, keep-out radius, who placed it."""

    x: float
    y: float
    keep_out: float
    kind: str
    proposed: bool
