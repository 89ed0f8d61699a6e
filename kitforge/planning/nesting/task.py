"""From a kit to what its layout is asked for, one task for each stock, and the rectangles that are known already."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from kitforge.model.kit import Grain, Kit, Part, Stock
from kitforge.model.layout import LaidSheet, Placement
from kitforge.model.piece import Bounds
from kitforge.planning.areas import filled
from kitforge.planning.fasteners import FASTENED, placed_hold_downs
from kitforge.planning.layout import WEB, outlines_of, spacing_for
from kitforge.planning.nesting.records import ALL_TURNS, GRAIN_TURNS, Copies, Laid, LayoutTask, Room
from kitforge.planning.rectangles import shortened

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

MOST_COPIES = 400
"""Copies of one stock that are laid out by shape; more would take minutes."""
_MORE_ROOMS = 2


def parts_of(kit: Kit) -> Mapping[str, list[Part]]:
    """Return the parts of a kit by the key of their stock, in the order of the kit."""
    found: dict[str, list[Part]] = defaultdict(list)
    for part in kit.parts:
        found[part.stock.key].append(part)
    return found


def to_search(parts: Sequence[Part]) -> bool:
    """Return whether there is anything to look for: two copies or more without a place of the author's, beside any."""
    copies, placed = sum(part.count for part in parts), sum(len(part.places) for part in parts)
    if any(filled([part.outline]).is_empty for part in parts):
        return False  # the checks tell what is wrong with it
    return copies > 1 and copies > placed and copies <= MOST_COPIES


def wanted_of(kit: Kit, stock: Stock, parts: Sequence[Part], rooms: int) -> LayoutTask:
    """Return the task of one stock with so many pieces of it; the author's places are kept, on the first of them."""
    from shapely import box

    fixed = tuple(
        Placement(part.key, copy, x, y) for part in parts for copy, (x, y) in enumerate(part.places[: part.count], 1)
    )
    edge, kept_out = box(0, 0, stock.length, stock.width), kept_out_of(kit, stock, parts)
    turns = turns_on(stock)
    return LayoutTask(
        tuple(
            Room(f"{stock.key} {number}", edge, stock.margin, turns, kept_out, fixed if number == 1 else ())
            for number in range(1, rooms + 1)
        ),
        tuple(
            Copies(part.key, outlines_of(part), tuple(range(len(part.places) + 1, part.count + 1)))
            for part in parts
            if part.count > len(part.places)
        ),
        spacing_for(parts),
        {part.key: part.outline for part in parts if part.places},
    )


def turns_on(stock: Stock) -> tuple[int, ...]:
    """Return how parts may be turned on a stock: by half turns where it has a grain, else by quarters."""
    return ALL_TURNS if stock.grain is Grain.NONE else GRAIN_TURNS


def kept_out_of(kit: Kit, stock: Stock, parts: Sequence[Part]) -> tuple[tuple[BaseGeometry, float], ...]:
    """Return the author's screws, brads and clamps on a stock, with how far a part must stay from them, mm.

    The cutter runs around a part, so its whole diameter lies between the two.
    """
    from shapely import Point

    cutter = (spacing_for(parts) - WEB) / 2
    found: dict[tuple[float, float], float] = {}
    for setup in kit.setups:
        if setup.stock != stock.key:
            continue
        for hold in placed_hold_downs(setup):
            for spot in setup.fasteners if hold.kind in FASTENED else setup.clamps:
                found[spot] = max(found.get(spot, 0.0), hold.keep_out + cutter)
    return tuple((Point(spot), away) for spot, away in sorted(found.items()))


def rectangles_of(kit: Kit, stock: Stock, parts: Sequence[Part]) -> Laid:
    """Return candidate zero: the parts as rectangles, none turned, on as short a piece as they need."""
    gap = spacing_for(parts)
    copies = [(part, copy) for part in parts for copy in range(len(part.places) + 1, part.count + 1)]
    boxes = [Bounds.around(path.bounds for path in outlines_of(part)) for part, _copy in copies]
    sizes = [(box.width + gap, box.height + gap) for box in boxes]
    spots = shortened(sizes, (stock.length - 2 * stock.margin + gap, stock.width - 2 * stock.margin + gap))
    fixed = wanted_of(kit, stock, parts, 1).rooms[0].fixed
    rows: dict[int, list[Placement]] = defaultdict(list)
    rows[0] = list(fixed)
    for (part, copy), box, spot in zip(copies, boxes, spots, strict=True):
        if spot is not None:
            # on a hundredth, towards the inside of the gap that is kept either way
            x, y = (math.floor(value * 100 + 0.5) / 100 for value in (
                spot.x + stock.margin - box.left, spot.y + stock.margin - box.bottom
            ))  # fmt: skip
            rows[spot.sheet + bool(fixed)].append(Placement(part.key, copy, x, y))
    left_over = tuple((part.key, copy) for (part, copy), spot in zip(copies, spots, strict=True) if spot is None)
    count = max(rows) + 1 + (_MORE_ROOMS if left_over else 0)
    return Laid(tuple(tuple(sorted(rows[n], key=lambda p: (p.part, p.copy))) for n in range(count)), left_over)


def sheets_of(stock: Stock, laid: Laid) -> tuple[LaidSheet, ...]:
    """Return a layout as sheets of a stock, numbered from 1; rooms in which nothing lies are none."""
    used = [row for row in laid.rooms if row]
    return tuple(LaidSheet(stock.key, number, row) for number, row in enumerate(used, 1))
