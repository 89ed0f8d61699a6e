"""All parts of several like boards laid out on one long board: how long it would have to be."""

from __future__ import annotations

from collections.abc import Sequence

from kitforge.model.kit import Kit, Stock
from kitforge.planning.layout import spacing_for
from kitforge.planning.nesting.records import Copies, LayoutTask, Room
from kitforge.planning.nesting.search import search
from kitforge.planning.nesting.task import MOST_COPIES, parts_of, turns_on
from kitforge.planning.nesting.verified import faults

_TRIES = 100


def length_in_a_row(kit: Kit, stocks: Sequence[Stock]) -> float | None:
    """Return how long one board must be from which all parts of like stocks are cut, mm; None where it cannot be.

    Like are stocks of one material, thickness, width, grain and margin. The author's places do not count.
    """
    first = stocks[0]
    if len(stocks) < 2 or any(_kind(one) != _kind(first) for one in stocks):
        return None
    from shapely import box

    parts = [part for one in stocks for part in parts_of(kit).get(one.key, [])]
    if not parts or sum(part.count for part in parts) > MOST_COPIES:
        return None
    longest = sum(one.length * (one.count or 1) for one in stocks) + sum(part.outline.bounds.width for part in parts)
    room = Room("row", box(0, 0, longest, first.width), first.margin, turns_on(first))
    copies = tuple(Copies(part.key, (part.outline,), tuple(range(1, part.count + 1))) for part in parts)
    task = LayoutTask((room,), copies, spacing_for(parts), {})
    found = search(task, None, _TRIES)
    if found.laid.left_over or faults(task, found.laid):
        return None
    return found.length + first.margin


def _kind(stock: Stock) -> tuple[object, ...]:
    return stock.material.key, stock.actual, stock.width, stock.grain, stock.margin
