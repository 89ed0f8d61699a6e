"""Where screws, brads and clamps go: the author's places, else the free area of the sheet, clear of every cut."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from shapely import box, contains_xy, covers, get_parts, prepare, union_all
from shapely.geometry.base import BaseGeometry

from kitforge.model.holds import FastenerPlace
from kitforge.model.kit import Grain, Kit, Part, Setup, Stock
from kitforge.model.plan import PlannedSetup, Sheet
from kitforge.model.steps import Step
from kitforge.model.workshop import HoldDown, HoldKind
from kitforge.planning.areas import filled
from kitforge.workshop.spoilboard import spoilboard

# Common practice, no source: a fastener every 250 mm of the sheet's edge, at least four, 10 mm in from the edge of a
# panel, which has no grain to split along.
SPACING = 250.0
LEAST = 4
EDGE = 10.0
LENGTHS = (12.0, 16.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 120.0, 140.0, 160.0)
"""Lengths in which wood screws and brads are sold, mm: common practice, no source."""
_GRID = 4.0
_QUARTER = 8
_ROUNDED = 0.1
_SLACK = 1e-9
FASTENED = (HoldKind.BRADS, HoldKind.SCREWS)
HELD_AT_POINTS = (*FASTENED, HoldKind.CLAMPS)


def fastener_length(hold: HoldDown, setup: PlannedSetup) -> float | None:
    """Return the length to buy, mm: through the stock and as far into the spoilboard as it should, as it is sold.

    Its tip stays in the spoilboard, so it may go less deep than that. None where no length does both.
    """
    thickness = setup.thickness
    deepest = thickness + setup.setup.spoilboard - spoilboard().left.value
    sold = [length for length in LENGTHS if thickness < length <= deepest + _SLACK]
    wanted = thickness + (hold.penetration or 0.0)
    return next((length for length in sold if length >= wanted - _SLACK), sold[-1] if sold else None)


def as_driven(hold: HoldDown, setup: PlannedSetup) -> HoldDown:
    """Return a hold-down with the length of its fasteners that is in the spoilboard, counted as what it should be."""
    length = fastener_length(hold, setup) if hold.kind in FASTENED else None
    if length is None or hold.penetration is None:
        return hold
    return replace(hold, penetration=min(hold.penetration, length - setup.thickness))


def placed_hold_downs(setup: Setup) -> tuple[HoldDown, ...]:
    """Return the hold-downs of the setup that need places on the sheet: one of each kind, the author's first choice.

    Two of one kind share their places, so each is given the room of the larger one.
    """
    found: dict[HoldKind, HoldDown] = {}
    for hold in setup.hold_downs:
        if hold.kind in HELD_AT_POINTS:
            first = found.setdefault(hold.kind, hold)
            found[hold.kind] = replace(first, keep_out=max(first.keep_out, hold.keep_out))
    return tuple(found.values())


def fastener_places(
    kit: Kit, setup: Setup, sheets: Sequence[Sheet], steps: Sequence[Step]
) -> tuple[FastenerPlace, ...]:
    """Return the fasteners and clamps of a setup in the sheet's coordinates; computed where the author gave none.

    Hold-downs to choose from have their own places each, which may lie over those of another kind. Computed places are
    clear of the cuts and parts of all the sheets of the setup: what holds one holds the next.
    """
    return tuple(place for hold in placed_hold_downs(setup) for place in _places(kit, setup, hold, sheets, steps))


def _places(
    kit: Kit, setup: Setup, hold: HoldDown, sheets: Sequence[Sheet], steps: Sequence[Step]
) -> tuple[FastenerPlace, ...]:
    given = setup.clamps if hold.kind is HoldKind.CLAMPS else setup.fasteners
    if given:
        return tuple(FastenerPlace(x, y, hold.keep_out, hold.kind.value, proposed=False) for x, y in given)
    stock = sheets[0].stock
    wanted = max(LEAST, math.ceil(2 * (stock.length + stock.width) / SPACING))
    free = free_area(kit, sheets, steps, hold)
    return tuple(
        FastenerPlace(round(x, 1), round(y, 1), hold.keep_out, hold.kind.value, proposed=True)
        for x, y in _spread_out(free, wanted)
    )


def taken_area(kit: Kit, sheet: Sheet, steps: Sequence[Step]) -> BaseGeometry:
    """Return what the cutter sweeps on a sheet and what the parts cover, in the sheet's coordinates."""
    own = {key: _taken_by(kit.part(key), steps) for key in {place.part for place in sheet.placements}}
    parts = [place.shape(own[place.part]) for place in sheet.placements]
    faced = [step.swept for step in steps if step.operation.whole and step.swept is not None and sheet.runs(step)]
    return union_all([*parts, *faced])


def _taken_by(part: Part, steps: Sequence[Step]) -> BaseGeometry:
    """Return what a part covers and what is swept for it, in its own coordinates; cuts within it add nothing."""
    outline = filled([part.outline])
    prepare(outline)
    own = [step for step in steps if step.part.key == part.key and not step.operation.whole]
    swept = [step.swept for step in own if step.swept is not None]
    beyond = [piece for shape in swept for piece in get_parts(shape)[~covers(outline, get_parts(shape))]]
    return union_all([outline, *beyond])


def edge_distances(hold: HoldDown, stock: Stock) -> tuple[float, float]:
    """Return how far a fastener or clamp stays from the sides of the stock at least, along x and along y, mm.

    From the ends of a solid board a screw or brad stays farther than from its edges: it would split it.
    """
    x, y = min(EDGE, stock.length / 10), min(EDGE, stock.width / 10)
    if stock.material.is_panel or hold.diameter is None or hold.to_end is None or hold.to_edge is None:
        return min(x, y), min(x, y)
    end, edge = hold.to_end.value * hold.diameter, hold.to_edge.value * hold.diameter
    along, across = (edge, end) if stock.grain is Grain.WIDTH else (end, edge)
    return max(x, along), max(y, across)


def free_area(kit: Kit, sheets: Sequence[Sheet], steps: Sequence[Step], hold: HoldDown) -> BaseGeometry:
    """Return where the middle of a fastener may be on every one of the sheets, in their coordinates."""
    stock = sheets[0].stock
    x, y = edge_distances(hold, stock)
    if 2 * x >= stock.length or 2 * y >= stock.width:
        return box(0, 0, 0, 0)
    sheet_area: BaseGeometry = box(x, y, stock.length - x, stock.width - y)
    if hold.kind is HoldKind.CLAMPS:
        sheet_area = sheet_area.difference(sheet_area.buffer(-_GRID))
    layouts = {sheet.placements: sheet for sheet in sheets}
    taken = union_all([taken_area(kit, sheet, steps) for sheet in layouts.values()])
    # A round corner drawn in chords lies inside the circle; and places are rounded to 0.1 mm afterwards.
    reach = hold.keep_out / math.cos(math.pi / (4 * _QUARTER)) + _ROUNDED
    return sheet_area.difference(taken.buffer(reach, quad_segs=_QUARTER))


def _spread_out(area: BaseGeometry, count: int) -> list[tuple[float, float]]:
    """Return points of the area far from each other: the first nearest a corner, each next the farthest from all."""
    points = grid_points(area)
    if not len(points):
        return []
    low = points.min(axis=0)
    chosen = [int(np.argmin(np.hypot(*(points - low).T)))]
    distance = np.hypot(*(points - points[chosen[0]]).T)
    while len(chosen) < min(count, len(points)):
        chosen.append(int(np.argmax(distance)))
        distance = np.minimum(distance, np.hypot(*(points - points[chosen[-1]]).T))
    return [(float(x), float(y)) for x, y in points[chosen]]


def grid_points(area: BaseGeometry) -> NDArray[np.float64]:
    """Return points of an area in a grid, mm, one a row; none of an empty area."""
    if area.is_empty:
        return np.empty((0, 2))
    left, bottom, right, top = area.bounds
    step = max(_GRID, math.sqrt((right - left) * (top - bottom) / 40000))
    x, y = np.meshgrid(_ticks(left, right, step), _ticks(bottom, top, step))
    points = np.column_stack([x.ravel(), y.ravel()])
    padded = area.buffer(1e-6)
    prepare(padded)
    inside = contains_xy(padded, points[:, 0], points[:, 1])
    kept: NDArray[np.float64] = points[inside]
    return kept


def _ticks(low: float, high: float, step: float) -> NDArray[np.float64]:
    return np.linspace(low, high, max(2, math.ceil((high - low) / step) + 1))
