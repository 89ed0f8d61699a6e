"""What trial pieces are cut from: stock to have beside that of the parts. Lengths mm."""

from __future__ import annotations

from dataclasses import replace

from kitforge.model.kit import Kit, Stock
from kitforge.model.plan import Plan
from kitforge.model.record import record


@record
class TrialStock:
    """The stock that a trial piece is cut from, of its size. coupon: a fit coupon, which is bought as the parts' stock
    is, else the room of a proof strip, for which a larger piece of scrap does."""

    stock: Stock
    coupon: bool


def trial_stock(kit: Kit, plan: Plan) -> tuple[TrialStock, ...]:
    """Return what the fit coupons and the proof strips are cut from; of a strip the largest of all machine classes."""
    coupons = [TrialStock(_sized(kit, one.wish.part, *_sides(one.kit)), True) for one in plan.coupons]
    rooms: dict[str, tuple[str, float, float]] = {}
    for strip in plan.strips:
        _part, long, wide = rooms.get(strip.step, ("", 0.0, 0.0))
        rooms[strip.step] = strip.wish.part, max(long, strip.length), max(wide, strip.pitch * len(strip.feeds))
    return (*coupons, *(TrialStock(_sized(kit, *room), False) for room in rooms.values()))


def coupons_of(kit: Kit, plan: Plan, stock: str) -> tuple[Stock, ...]:
    """Return the pieces of a stock, by its key, that are bought for fit coupons."""
    return tuple(one.stock for one in trial_stock(kit, plan) if one.coupon and one.stock.key == stock)


def _sides(coupon: Kit) -> tuple[float, float]:
    (stock,) = coupon.stock.values()
    return stock.length, stock.width


def _sized(kit: Kit, part: str, length: float, width: float) -> Stock:
    return replace(kit.part(part).stock, length=length, width=width, count=1)
