"""What a kit costs its maker: wood as it is sold, finish, hardware, time of machine and hands. No part of a pack."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from kitforge.language import decimal, inside, say, say_as
from kitforge.model.prices import Cost, CostLine, Prices, Span
from kitforge.pack.finish import FINISH_WASTE, finish_span
from kitforge.pack.times import coated_area, timed_machine, work_times
from kitforge.planning.buying import purchases
from kitforge.print.buying import bought_words
from kitforge.print.figures import Units, minutes, stock_title
from kitforge.workshop.sold import region_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from kitforge.model.kit import Kit
    from kitforge.model.plan import MachinePlan, Plan
    from kitforge.planning.buying import Purchase


_ML = 1000.0
"""mm³ in a millilitre: prices are kept by the mm³."""


def cost_of(kit: Kit, plan: Plan, prices: Prices, machines: Sequence[MachinePlan], pieces: int = 1) -> Cost:
    """Return what a batch costs. machines: of these the weakest that the kit fits gives the time; pieces: kits made."""
    lines = (*_wood(kit, plan, prices, pieces), *_finish(kit, plan, prices, pieces))
    return Cost(prices, pieces, (*lines, *_hardware(kit, prices, pieces), *_hours(kit, plan, prices, machines, pieces)))


def money_words(span: Span) -> str:
    """Return an amount of money, or from the least to the most, with hundredths."""
    low, high = (decimal(f"{one:.2f}") for one in span)
    return low if low == high else say("{low} to {high}", low=low, high=high)


def _wood(kit: Kit, plan: Plan, prices: Prices, pieces: int) -> Iterator[CostLine]:
    """Yield the sheets and boards for a batch: all pieces together are sawn from what is bought."""
    units = Units(kit.info.units, both=False)
    many = replace(plan, prepared=tuple(replace(one, pieces=pieces * one.pieces) for one in plan.prepared))
    for bought in purchases(kit, many, region_of(kit.info.units)):
        title = ", ".join(stock_title(stock) for stock in bought.stocks)
        cost = _of_bought(bought, prices)
        yield CostLine(title, bought_words(bought, units), None if cost is None else (cost, cost))


def _of_bought(bought: Purchase, prices: Prices) -> float | None:
    price = next((prices.wood[one.key] for one in bought.stocks if one.key in prices.wood), None)
    if price is None or bought.unsold:
        return None
    if bought.panels:
        panel = bought.panels[0]
        area = panel.sheets * panel.size[0] * panel.size[1]
        volume = area * bought.stocks[0].nominal
    elif bought.boards is not None:
        area = bought.boards.width * sum(board.length for board in bought.boards.boards)
        volume = bought.boards.volume
    else:
        return None
    return area * price.square if price.square is not None else volume * (price.cube or 0.0)


def _finish(kit: Kit, plan: Plan, prices: Prices, pieces: int) -> Iterator[CostLine]:
    finish = kit.finishing.finish
    if finish is None or not finish.coats:
        return
    least, most = ((1 + FINISH_WASTE) * ml for ml in finish_span(kit, pieces * coated_area(kit, plan)))
    cost = None if prices.finish is None else (least * _ML * prices.finish, most * _ML * prices.finish)
    yield CostLine(say_as(finish.name), f"{least:.0f}–{most:.0f} ml", cost)


def _hardware(kit: Kit, prices: Prices, pieces: int) -> Iterator[CostLine]:
    """Yield what is bought ready; an amount that is no number, such as a length, has its price as it is written."""
    for thing in kit.hardware:
        count = pieces * (int(thing.count) if thing.count.isdigit() else 1)
        amount = str(count) if thing.count.isdigit() else f"{pieces} × {thing.count}"
        price = prices.hardware.get(str(thing.item))
        yield CostLine(str(thing.item), amount, None if price is None else (count * price, count * price))


def _hours(kit: Kit, plan: Plan, prices: Prices, machines: Sequence[MachinePlan], pieces: int) -> Iterator[CostLine]:
    machine = timed_machine(machines)
    if machine is not None:
        what = say("Time at the machine ({machine})", machine=inside(say_as(machine.machine.name)))
        yield _time(what, machine.machine_seconds, prices.machine, pieces)
    yield _time(say("Work by hand"), work_times(kit, plan).hands_on, prices.hand, pieces)


def _time(what: str, seconds: Span, price: float | None, pieces: int) -> CostLine:
    low, high = (pieces * one for one in seconds)
    return CostLine(what, minutes((low, high)), None if price is None else (low * price, high * price))
