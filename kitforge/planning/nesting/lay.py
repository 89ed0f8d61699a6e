"""The layout of a whole kit: each stock searched by itself, verified, or refused."""

from __future__ import annotations

from dataclasses import replace

from kitforge.model.kit import Kit, Stock
from kitforge.model.layout import LaidSheet
from kitforge.model.messages import Message
from kitforge.model.piece import Bounds
from kitforge.model.record import record
from kitforge.planning.layout import WEB, spacing_for
from kitforge.planning.nesting.leftover import rectangles_left
from kitforge.planning.nesting.records import Laid
from kitforge.planning.nesting.search import TRIES, Found, search
from kitforge.planning.nesting.task import parts_of, rectangles_of, sheets_of, to_search, wanted_of
from kitforge.planning.nesting.verified import faults

_MORE_ROOMS = 2


@record
class StockLayout:
    """What was found for one stock. sheets: empty where there is nothing to look for, or where it was refused.

    length: used of the last sheet, mm; before: sheets, and length of the last one, of the rectangles of
    candidate zero; share: of the sheets used, the last one cut off there, that is parts; left: rectangles of that
    sheet worth keeping; faults: why it was refused.
    """

    stock: Stock
    sheets: tuple[LaidSheet, ...]
    length: float
    share: float
    before: tuple[int, float]
    tried: int
    rectangles: bool
    left: tuple[Bounds, ...] = ()
    left_over: tuple[tuple[str, int], ...] = ()
    faults: tuple[Message, ...] = ()


def lay_by_shape(kit: Kit, tries: int | None = TRIES, seed: int = 1) -> tuple[StockLayout, ...]:
    """Return the layout of every stock on which there is something to look for. tries: None for rectangles alone."""
    found = []
    for key, parts in parts_of(kit).items():
        if to_search(parts):
            found.append(_of_stock(kit, kit.stock[key], tries, seed))
    return tuple(found)


def _of_stock(kit: Kit, stock: Stock, tries: int | None, seed: int) -> StockLayout:
    parts = parts_of(kit)[stock.key]
    zero = rectangles_of(kit, stock, parts)
    wanted = wanted_of(kit, stock, parts, len(zero.rooms))
    sound = not zero.left_over and not faults(wanted, zero)
    if not sound:
        wanted = wanted_of(kit, stock, parts, len(zero.rooms) + _MORE_ROOMS)
        zero = replace(zero, rooms=(*zero.rooms, *[()] * _MORE_ROOMS))
    if tries is None and sound:
        found = Found(zero, _length(zero, kit), 0, rectangles=True)
    else:
        found = search(wanted, zero if sound else None, tries or 0, seed)
    wrong = () if found.laid.left_over else tuple(faults(wanted, found.laid))
    usable = not found.laid.left_over and not wrong
    areas = {part.key: abs(part.outline.area) for part in parts}
    return StockLayout(
        stock,
        sheets_of(stock, found.laid) if usable else (),
        found.length + stock.margin,
        _share(stock, found, areas),
        (sum(bool(row) for row in zero.rooms), _length(zero, kit) + stock.margin),
        found.tried,
        found.rectangles,
        _left(kit, stock, found.laid) if usable else (),
        found.laid.left_over,
        wrong,
    )


def _left(kit: Kit, stock: Stock, laid: Laid) -> tuple[Bounds, ...]:
    from shapely import box

    last = [row for row in laid.rooms if row][-1]
    lying = [(place, kit.part(place.part).outline) for place in last]
    kerf = (spacing_for(parts_of(kit)[stock.key]) - WEB) / 2
    return tuple(rectangles_left(box(0, 0, stock.length, stock.width), lying, kerf))


def _length(laid: Laid, kit: Kit) -> float:
    last = [row for row in laid.rooms if row][-1:]
    return max((place.box(kit.part(place.part).outline.bounds).right for row in last for place in row), default=0.0)


def _share(stock: Stock, found: Found, areas: dict[str, float]) -> float:
    rows = [row for row in found.laid.rooms if row]
    wood = ((len(rows) - 1) * stock.length + found.length + stock.margin) * stock.width
    return sum(areas[place.part] for row in rows for place in row) / wood if rows else 0.0
