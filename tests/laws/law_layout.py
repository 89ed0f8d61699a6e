"""Every copy of every part lies once on a sheet of its own stock, inside the margin, and none over another."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

import pytest
from kit_samples import Sample
from planted import Fault
from shapely import Polygon
from shapely.affinity import rotate, translate

from kitforge.model.kit import Kit, Part, Stock
from kitforge.model.plan import Placement, Sheet
from kitforge.planning import layout
from kitforge.stages import planning

LAW = "every copy lies once on its stock, inside the margin, and none over another"
_HAIR = 0.01  # mm


def broken(sample: Sample) -> list[str]:
    """Return every copy that is missing, twice there, beside the stock or over another."""
    kit, sheets = sample.kit, sample.plan.sheets
    return [*_miscounted(kit, sheets), *(said for sheet in sheets for said in _misplaced(kit, sheet))]


def _miscounted(kit: Kit, sheets: tuple[Sheet, ...]) -> Iterator[str]:
    laid = Counter((place.part, place.copy) for sheet in sheets for place in sheet.placements)
    left_out = {part for sheet in sheets for part in sheet.overflow}
    wanted = {(part.key, copy) for part in kit.parts if part.key not in left_out for copy in range(1, part.count + 1)}
    yield from (f"{part} copy {copy} lies nowhere" for part, copy in sorted(wanted - set(laid)))
    yield from (f"{part} copy {copy} lies {times} times" for (part, copy), times in laid.items() if times > 1)


def _misplaced(kit: Kit, sheet: Sheet) -> Iterator[str]:
    lying = [(place, kit.part(place.part), _outline(kit.part(place.part), place)) for place in sheet.placements]
    for index, (place, part, shape) in enumerate(lying):
        if part.stock.key != sheet.stock.key:
            yield f"{place.part} copy {place.copy} lies on {sheet.stock.key}"
        if not part.places and _sticks_out(shape, sheet.stock):
            yield f"{place.part} copy {place.copy} lies over the margin of sheet {sheet.number}"
        for other, other_part, other_shape in lying[:index]:
            by_hand = part.places and other_part.places  # what the author places is for the checks
            if not by_hand and shape.intersection(other_shape).area > _HAIR:
                yield f"{place.part} copy {place.copy} lies over {other.part} copy {other.copy}"


def _outline(part: Part, place: Placement) -> Polygon:
    return translate(rotate(part.outline.to_polygon(0.05), place.turn, origin=(0, 0)), place.x, place.y)


def _sticks_out(shape: Polygon, stock: Stock) -> bool:
    left, bottom, right, top = shape.bounds
    least = stock.margin - _HAIR
    room = (stock.length - 2 * stock.margin, stock.width - 2 * stock.margin)
    if right - left > room[0] or top - bottom > room[1]:
        return False  # it cannot: a single part without room is centred, and the checks say so
    return min(left, bottom, stock.length - right, stock.width - top) < least


def _moved(patch: pytest.MonkeyPatch) -> None:
    lay_out = layout.lay_out
    patch.setattr(planning, "lay_out", lambda kit: tuple(_shifted(sheet) for sheet in lay_out(kit)))


def _shifted(sheet: Sheet) -> Sheet:
    return replace(sheet, placements=tuple(replace(place, x=place.x + 400) for place in sheet.placements))


def _last_copy_lost(patch: pytest.MonkeyPatch) -> None:
    lay_out = layout.lay_out
    patch.setattr(
        planning,
        "lay_out",
        lambda kit: tuple(replace(sheet, placements=sheet.placements[:-1]) for sheet in lay_out(kit)),
    )


def _no_gap(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(layout, "spacing_for", lambda _parts: -20.0)


FAULTS = (
    Fault("everything lies 400 mm too far to the right", _moved),
    Fault("the last copy of every sheet is forgotten", _last_copy_lost),
    Fault("parts are packed closer than they are wide", _no_gap, {"several copies"}),
)
