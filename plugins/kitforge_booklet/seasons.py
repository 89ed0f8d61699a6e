"""What a year does to solid wood where the piece is used: its climate, and how much a width moves."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.language import say_counted
from kitforge.model.facts import PieceUse
from kitforge.model.kit import Grain
from kitforge.pack.times import settling
from kitforge.workshop.climates import Climate, climate
from kitforge.workshop.wood import movement_of

if TYPE_CHECKING:
    from kitforge.model.kit import Kit, Stock

_WEEK = 7 * 24 * 3600.0


@dataclass(frozen=True, slots=True)
class Movement:
    """What the seasons do to a width across the grain: mm between the driest and the dampest time, and both in %."""

    width: float
    change: float
    dry: float
    damp: float


def climate_of(kit: Kit) -> Climate:
    """Return what the piece goes through, by its stated use; a heated room where none is stated."""
    uses = kit.info.uses
    return climate(indoors=PieceUse.INDOORS in uses, outdoors=PieceUse.OUTDOORS in uses)


def seasons(stock: Stock, width: float, where: Climate) -> Movement | None:
    """Return how much `width` mm across the grain changes over a year in a climate; None where it is not known.

    Wood Handbook, FPL-GTR-190, Eq. 13-2 with the tangential coefficient of Table 13-5, outside 6 to 14 % moisture
    Eq. 13-3: the flatsawn width, which moves most.
    """
    if stock.material.is_panel or stock.grain is Grain.NONE:
        return None
    change = movement_of(stock.material, width, where.dry, where.damp)
    return None if change is None else Movement(width, change, where.dry, where.damp)


def resting_words(kit: Kit) -> str:
    """Return where the wood lies before it is cut, so that it has the moisture of its place (common practice)."""
    weeks = round(settling(kit)[0] / _WEEK)
    if climate_of(kit).outdoors:
        return say_counted(
            "Let the wood lie outdoors under a roof, with air between the boards, for a week before you work it, and "
            "bring it in on the day you cut.",
            "Let the wood lie outdoors under a roof, with air between the boards, for {count} weeks before you work "
            "it, and bring it in on the day you cut.",
            weeks,
        )
    return say_counted(
        "Let the wood lie for a week in the room where the piece will stay before you work it.",
        "Let the wood lie for {count} weeks in the room where the piece will stay before you work it.",
        weeks,
    )
