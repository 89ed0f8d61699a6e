"""What to buy of the wood: sheets and boards as they are sold in a region, and what is left of them as waste. mm."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence

from kitforge.model.kit import Grain, Kit, Stock
from kitforge.model.offcuts import Offcut
from kitforge.model.plan import Plan, Prepared
from kitforge.model.record import record
from kitforge.model.units import MM_PER_INCH
from kitforge.planning.boards import CutBoard, Saw, boards_to_buy, on_own_board
from kitforge.planning.nesting.offcuts import unsuited
from kitforge.planning.preparing import across, along
from kitforge.planning.rectangles import packed
from kitforge.planning.trial_stock import coupons_of
from kitforge.workshop.sold import Sold, sold_sizes

BOARD_FOOT = MM_PER_INCH**3 * 144
"""Volume of a board foot, mm³: one foot by one foot by one inch."""
_LARGE = 1e-9
_RECTANGLE = 0.999  # share of the box around a board that is board


@record
class PanelsToBuy:
    """Sheets of one size for all pieces of a panel. size: longer and shorter side, mm; waste: share that is no part;
    taken: share that the pieces take before anything is cut from them."""

    name: str
    size: tuple[float, float]
    sheets: int
    waste: float
    taken: float


@record
class BoardsToBuy:
    """Boards for all pieces of one thickness and width. width: that each must have, mm; volume: in all, mm³.

    rows: how many strips of a glue-up lie side by side on a board; waste: share of the boards, the shop's own with
    them, that is no part; least: how much of their length the pieces take with saw cuts and squared ends, mm.
    """

    boards: tuple[CutBoard, ...]
    pieces: tuple[float, ...]
    width: float
    thickness: float
    quarters: str
    volume: float
    waste: float
    least: float
    rows: int = 1


@record
class OwnBoard:
    """A board of the shop and what is sawn from it: lengths, and where each starts from its left or lower end, mm."""

    offcut: Offcut
    cuts: tuple[tuple[float, float], ...]


@record
class Purchase:
    """What to buy for the stocks of one material and thickness.

    own: boards of the shop that are sawn first; unsold: stocks whose pieces nothing that is sold gives.
    """

    stocks: tuple[Stock, ...]
    pieces: int
    own: tuple[OwnBoard, ...] = ()
    panels: tuple[PanelsToBuy, ...] = ()
    boards: BoardsToBuy | None = None
    unsold: tuple[str, ...] = ()


def purchases(kit: Kit, plan: Plan, region: str, offcuts: Sequence[Offcut] = ()) -> tuple[Purchase, ...]:
    """Return what to buy of each material and thickness, after what boards of the shop give around their bad places.

    Raises KeyError for a region that the table does not know.
    """
    sold, saw = sold_sizes().regions[region], Saw(sold_sizes().kerf.value, sold_sizes().trim.value)
    groups: dict[tuple[object, ...], list[Prepared]] = defaultdict(list)
    for ready in plan.prepared:
        stock = ready.stock
        if stock.material.is_panel:
            groups[stock.material.key, round(stock.actual, 3)].append(ready)
        else:
            groups[stock.material.key, ready.quarters, round(_board_width(ready), 1), ready.glue is None].append(ready)
    areas, free, found = _areas(kit, plan), list(offcuts), list[Purchase]()
    for group in groups.values():
        of_parts = sum(areas.get(one.stock.key, 0.0) for one in group)
        coupons = [piece for one in group for piece in coupons_of(kit, plan, one.stock.key)]
        solid = not group[0].stock.material.is_panel
        if solid:
            found.append(_of_boards(group, coupons, of_parts, sold, saw, free))
        else:
            found.append(_of_panels(group, coupons, of_parts, sold))
        taken = {own.offcut.key for own in found[-1].own}
        free = [one for one in free if one.key not in taken]
    return tuple(found)


def _areas(kit: Kit, plan: Plan) -> Mapping[str, float]:
    """Return the area of the parts on all pieces of each stock, mm2."""
    found: dict[str, float] = defaultdict(float)
    for sheet in plan.sheets:
        found[sheet.stock.key] += sum(abs(kit.part(place.part).outline.area) for place in sheet.placements)
    return found


def _of_panels(group: Sequence[Prepared], coupons: Sequence[Stock], of_parts: float, sold: Sold) -> Purchase:
    """Return every size of sheet that gives all pieces and those of fit coupons, the least area first."""
    stocks, wanted = tuple(one.stock for one in group), [one.stock for one in group for _piece in range(one.pieces)]
    wanted += coupons
    tried = [_panels(name, (span.high, span.low), wanted, of_parts) for name, span in sold.panels.items()]
    fitting = (one for one in tried if one is not None)
    found = sorted(fitting, key=lambda one: (one.sheets * one.size[0] * one.size[1], one.sheets, one.name))
    return Purchase(stocks, len(wanted), panels=tuple(found), unsold=() if found else tuple(one.key for one in stocks))


def _panels(name: str, size: tuple[float, float], wanted: Sequence[Stock], of_parts: float) -> PanelsToBuy | None:
    """Return how many sheets of a size all pieces take, sawn apart; None where one is larger than the sheet."""
    kerf = sold_sizes().kerf.value
    pieces = [_lying(one, size) for one in wanted]
    if any(piece is None for piece in pieces):
        return None
    sizes = [(piece[0] + kerf, piece[1] + kerf) for piece in pieces if piece is not None]
    spots = packed(sizes, (size[0] + kerf, size[1] + kerf))
    sheets = 1 + max(spot.sheet for spot in spots if spot is not None)
    whole, of_pieces = sheets * size[0] * size[1], sum(one.length * one.width for one in wanted)
    return PanelsToBuy(name, size, sheets, 1 - of_parts / whole, of_pieces / whole)


def _lying(stock: Stock, size: tuple[float, float]) -> tuple[float, float] | None:
    """Return a piece as it is sawn from a sheet, along and across its longer side: with the grain where it has one."""
    ways = [(along(stock), across(stock))]
    if stock.grain is Grain.NONE or size[0] == size[1]:
        ways = sorted({(stock.length, stock.width), (stock.width, stock.length)}, reverse=True)
    return next((way for way in ways if way[0] <= size[0] + _LARGE and way[1] <= size[1] + _LARGE), None)


def _board_width(ready: Prepared) -> float:
    """Return how wide the boards must be: a glue-up is sawn from boards of the author's width or a strip's."""
    if ready.glue is None:
        return across(ready.stock)
    return max(ready.stock.boards or 0.0, ready.glue.sawn)


def _of_boards(
    group: Sequence[Prepared], coupons: Sequence[Stock], of_parts: float, sold: Sold, saw: Saw, free: Sequence[Offcut]
) -> Purchase:
    """Return the boards that all pieces are sawn from, the shop's own first; no coupon that is wider than they are."""
    stocks, count = tuple(one.stock for one in group), sum(one.pieces for one in group)
    width = _board_width(group[0])
    pieces, rows = _sawn(group, width, saw)
    tried = [along(one) for one in coupons if across(one) <= width + _LARGE]
    pieces, count = [*pieces, *tried], count + len(tried)
    own, pieces = _from_own(group[0], pieces, width, free, saw)
    boards, too_long = boards_to_buy(pieces, [fact.value for fact in sold.lengths.values()], saw)
    if too_long:
        return Purchase(stocks, count, own, unsold=tuple(one.key for one in stocks))
    bought = sum(board.length for board in boards)
    wood = bought * width + sum(abs(one.offcut.outline.area) for one in own)
    volume, least = board_volume(group[0].sold, width, bought), sum(_least(one, pieces, saw) for one in boards)
    found = BoardsToBuy(
        tuple(boards), tuple(pieces), width, group[0].sold, group[0].quarters, volume, 1 - of_parts / wood, least, rows
    )
    return Purchase(stocks, count, own, boards=found)


def _least(board: CutBoard, pieces: Sequence[float], saw: Saw) -> float:
    return saw.takes([pieces[number] for number in board.pieces])


def _sawn(group: Sequence[Prepared], width: float, saw: Saw) -> tuple[list[float], int]:
    """Return the lengths to saw, and how many strips of a glue-up each gives side by side."""
    pieces, rows = list[float](), 1
    for one in group:
        if one.glue is None:
            pieces += [along(one.stock)] * one.pieces
        else:
            rows = max(1, math.floor((width + saw.kerf) / (one.glue.sawn + saw.kerf) + _LARGE))
            pieces += [one.glue.length] * math.ceil(one.pieces * one.glue.strips / rows)
    return pieces, rows


def _from_own(
    ready: Prepared, pieces: list[float], width: float, free: Sequence[Offcut], saw: Saw
) -> tuple[tuple[OwnBoard, ...], list[float]]:
    """Return what boards of the shop give, the smallest first, and the pieces that are left to buy."""
    found = []
    for offcut in sorted(free, key=lambda one: (abs(one.outline.area), one.key)):
        length = _board_length(offcut, ready, width)
        placed, left = on_own_board(pieces, length, _bad_stretches(offcut), saw) if length and pieces else ([], [])
        if placed:
            found.append(OwnBoard(offcut, tuple((pieces[number], start) for number, start in placed)))
            pieces = [pieces[number] for number in left]
    return tuple(found), pieces


def _board_length(offcut: Offcut, ready: Prepared, width: float) -> float | None:
    """Return how long an offcut is along its grain, None where it is no board that suits; glue-ups are bought."""
    box, area = offcut.outline.bounds, abs(offcut.outline.area)
    long, wide = (box.height, box.width) if offcut.grain is Grain.WIDTH else (box.width, box.height)
    is_board = area > _RECTANGLE * box.width * box.height and wide >= width - _LARGE
    suits = ready.glue is None and unsuited(offcut, ready.stock) is None
    return long if is_board and suits else None


def _bad_stretches(offcut: Offcut) -> list[tuple[float, float]]:
    boxes = [line.bounds for line in offcut.bad]
    if offcut.grain is Grain.WIDTH:
        return [(box.bottom, box.top) for box in boxes]
    return [(box.left, box.right) for box in boxes]


def board_volume(thickness: float, width: float, length: float) -> float:
    """Return the volume that boards are sold by, mm³: their thickness as sold, width and length, all in mm.

    Nothing counts as thinner than an inch (rules of measurement of the hardwood trade; recalled).
    """
    return max(MM_PER_INCH, thickness) * width * length
