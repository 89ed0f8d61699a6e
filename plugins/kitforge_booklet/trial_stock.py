"""What trial pieces are cut from: stock to have beside that of the parts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge.language import say
from kitforge.print.figures import stock_title
from kitforge_booklet.records import Item

if TYPE_CHECKING:
    from kitforge.model.kit import Kit
    from kitforge.model.plan import Plan
    from kitforge.print.figures import Units


def trial_items(kit: Kit, plan: Plan, units: Units) -> tuple[Item, ...]:
    """Return the pieces of stock that fit coupons and proof strips are cut from, strips of all classes alike."""
    coupons = [
        Item(
            stock_title(kit.part(coupon.wish.part).stock),
            say("{size}, of the same piece as the parts: for the fit coupon.", size=_size(coupon.kit, units)),
            "1 ×",
        )
        for coupon in plan.coupons
    ]
    strips = {
        strip.step: Item(
            stock_title(kit.part(strip.wish.part).stock),
            say(
                "Scrap of more than {size}, with room for what holds it: for the proof strip.",
                size=units.size(strip.length, strip.pitch * len(strip.feeds), places=0),
            ),
            "1 ×",
        )
        for strip in plan.strips
    }
    return (*coupons, *strips.values())


def _size(kit: Kit, units: Units) -> str:
    stock = next(iter(kit.stock.values()))
    return str(units.size(stock.length, stock.width, places=0))
