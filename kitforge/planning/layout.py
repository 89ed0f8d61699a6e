"""Where the parts lie on the stock: at the author's places, as layout.lock has them, else in rows a cutter apart."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from kitforge.model.kit import Kit, OperationKind, Part, Stock
from kitforge.model.path import Path
from kitforge.model.piece import Bounds
from kitforge.model.plan import Placement, Sheet
from kitforge.planning.rectangles import packed

# Wood left standing between the cuts around two parts, mm: common practice, no source. Tabs need it to hold on to.
WEB = 6.0


def lay_out(kit: Kit) -> tuple[Sheet, ...]:
    """Return the sheets of all stock with the parts on them, in the order of the stock list."""
    by_stock: dict[str, list[Part]] = defaultdict(list)
    for part in kit.parts:
        by_stock[part.stock.key].append(part)
    kept = {sheet.stock for sheet in kit.layout}
    return tuple(
        sheet
        for key, parts in by_stock.items()
        for sheet in (_kept(kit, key) if key in kept else _sheets(kit.stock[key], parts))
    )


def _kept(kit: Kit, stock: str) -> list[Sheet]:
    """Return the sheets of a stock as the layout of the kit has them; it was measured when it was read."""
    own = sorted((one for one in kit.layout if one.stock == stock), key=lambda one: one.number)
    return [Sheet(kit.stock[stock], one.number, one.placements) for one in own]


def spacing_for(parts: Sequence[Part]) -> float:
    """Return the least gap between two parts: a cut of the widest cutter around each, and a web of 6 mm."""
    profiles = (o.cutter.diameter for part in parts for o in part.operations if o.does is OperationKind.PROFILE)
    return 2 * max(profiles, default=0.0) + WEB


def outlines_of(part: Part) -> tuple[Path, ...]:
    """Return the outline of a part as drawn, and those at other thicknesses of a ladder."""
    return (part.outline, *part.rung_outlines)


def _sheets(stock: Stock, parts: Sequence[Part]) -> list[Sheet]:
    placed = [_at(part, copy, *place) for part in parts for copy, place in enumerate(part.places[: part.count], 1)]
    loose = [(part, copy) for part in parts for copy in range(len(part.places) + 1, part.count + 1)]
    if not loose:
        return [Sheet(stock, 1, tuple(placed))]
    if len(loose) == 1 and not placed:
        return [Sheet(stock, 1, (_centred(stock, *loose[0]),))]
    rows, overflow = _packed(stock, loose, spacing_for(parts))
    first = rows.pop(0) if rows and not placed else ()
    sheets = [Sheet(stock, 1, (*placed, *first), overflow)]
    return sheets + [Sheet(stock, number, row) for number, row in enumerate(rows, 2)]


def _at(part: Part, copy: int, x: float, y: float) -> Placement:
    return Placement(part.key, copy, x, y)


def _centred(stock: Stock, part: Part, copy: int) -> Placement:
    box = part.outline.bounds
    x = (stock.length - (box.right + box.left)) / 2
    y = (stock.width - (box.top + box.bottom)) / 2
    return Placement(part.key, copy, x, y)


def _packed(
    stock: Stock, loose: Sequence[tuple[Part, int]], gap: float
) -> tuple[list[tuple[Placement, ...]], tuple[str, ...]]:
    """Return the placements sheet by sheet, and the parts that are too large for the stock."""
    room = stock.length - 2 * stock.margin + gap, stock.width - 2 * stock.margin + gap
    boxes = [Bounds.around(path.bounds for path in outlines_of(part)) for part, _copy in loose]
    spots = packed([(box.right - box.left + gap, box.top - box.bottom + gap) for box in boxes], room)
    sheets: dict[int, list[Placement]] = defaultdict(list)
    for (part, copy), box, spot in zip(loose, boxes, spots, strict=True):
        if spot is not None:
            x, y = spot.x + stock.margin - box.left, spot.y + stock.margin - box.bottom
            sheets[spot.sheet].append(_at(part, copy, x, y))
    rows = [tuple(sorted(sheets[n], key=lambda p: (p.part, p.copy))) for n in sorted(sheets)]
    overflow = [part.key for (part, _copy), spot in zip(loose, spots, strict=True) if spot is None]
    return rows, tuple(dict.fromkeys(overflow))
