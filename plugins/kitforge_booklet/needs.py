"""What to have ready before the first cut, with actual sizes and amounts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.kit import CutterKind, Grain
from kitforge.print.figures import Measure, Units, counted, grouped, listed
from kitforge.print.pictures.cutter import dimensioned_cutter
from kitforge.units import inch_fraction
from kitforge.workshop.records import HoldKind
from kitforge_booklet.records import CutterItem, Item, Needs
from kitforge_booklet.safety import first_holds, uses

if TYPE_CHECKING:
    from kitforge.kit import Cutter, Kit, Part, Stock
    from kitforge.plan import Plan

_LONGEST = 66.0
_ML_PER_OUNCE = 29.5735
_MM2_PER_SQUARE_FOOT = 304.8**2


def needs(kit: Kit, plan: Plan, units: Units) -> Needs:
    """Return everything to buy or lay out."""
    return Needs(
        stock=tuple(_stock_item(stock, plan, units) for stock in kit.stock.values()),
        cutters=_cutters(plan, units),
        cutter_scale="drawn full size" if _scale(plan) == 1 else f"drawn at 1 : {1 / _scale(plan):g}",
        hold_down=_hold_down(kit),
        hardware=tuple(Item(h.item, h.use or "", h.count, h.note or "") for h in kit.hardware),
        finishing=_finishing(kit, units),
        protection=_protection(kit),
    )


def _stock_item(stock: Stock, plan: Plan, units: Units) -> Item:
    pieces = stock.count or sum(sheet.stock.key == stock.key for sheet in plan.sheets) or 1
    thickness = units.length(stock.actual)
    detail = f"{units.size(stock.length, stock.width)}, {thickness} thick as measured"
    if not math.isclose(stock.nominal, stock.actual):
        detail += f" (sold as {units.length(stock.nominal).main})"
    detail += "."
    grain = {
        Grain.LENGTH: f"Grain along the {units.length(stock.length, 1).main} side.",
        Grain.WIDTH: f"Grain along the {units.length(stock.width, 1).main} side.",
        Grain.NONE: "",
    }[stock.grain]
    return Item(stock.title, detail, f"{pieces} ×", grain)


def _cutters(plan: Plan, units: Units) -> tuple[CutterItem, ...]:
    used: dict[str, list[int]] = {}
    cutters: dict[str, Cutter] = {}
    for step in plan.steps:
        used.setdefault(step.cutter.key, []).append(step.number)
        cutters[step.cutter.key] = step.cutter
    scale = _scale(plan)
    return tuple(
        CutterItem(
            cutters[key].name,
            cutter_words(cutters[key], units),
            _steps(numbers),
            dimensioned_cutter(cutters[key], units, scale),
        )
        for key, numbers in used.items()
    )


def _scale(plan: Plan) -> float:
    """Return the standard scale (ISO 5455) at which the longest cutter fits its column."""
    tallest = max(step.cutter.overall_length for step in plan.steps)
    return next((scale for scale in (1.0, 0.5, 0.2, 0.1) if tallest * scale <= _LONGEST), 0.01)


def _steps(numbers: Sequence[int]) -> str:
    return f"{'Step' if len(numbers) == 1 else 'Steps'} {listed([str(number) for number in numbers])}"


def cutter_words(cutter: Cutter, units: Units) -> str:
    """Return a cutter's measures in a line, with the nearest inch fraction marked as such."""
    words = [f"Ø {units.length(cutter.diameter, 3)}", counted(cutter.flutes, "flute"), cutter.substrate]
    words += (
        [f"{cutter.angle:g}° {'point' if cutter.kind is CutterKind.DRILL else 'included'} angle"]
        if cutter.angle
        else []
    )
    words += [f"corner radius {units.length(cutter.corner_radius)}"] if cutter.kind is CutterKind.BOWL else []
    words += (
        [f"shank Ø {units.length(cutter.shank, 3)}, about {inch_fraction(cutter.shank)}"]
        if units.first == "in"
        else [f"shank Ø {units.length(cutter.shank, 3)}"]
    )
    words += [f"marked for at most {grouped(cutter.max_speed)} rpm"] if cutter.max_speed else []
    return ", ".join(words)


def _hold_down(kit: Kit) -> tuple[Item, ...]:
    found = []
    for hold in first_holds(kit):
        listed_things = hold.consumables or (hold.name,)
        found += [Item(thing[0].upper() + thing[1:], "") for thing in listed_things]
    return tuple(dict.fromkeys(found))


def _finishing(kit: Kit, units: Units) -> tuple[Item, ...]:
    finishing = kit.finishing
    items = (
        [Item("Abrasive paper", f"Grit {listed([str(grit) for grit in finishing.sanding])}")]
        if finishing.sanding
        else []
    )
    if finishing.finish is not None:
        items.append(
            Item(
                finishing.finish.name,
                f"{finish_words(kit, units)} for {counted(finishing.finish.coats, 'coat')} on {area_words(kit, units)}",
            )
        )
        between = finishing.finish.between_coats_grit
        items += [Item("Fine abrasive", f"Grit {between}, between coats")] if between else []
        items.append(Item("Lint-free cloths", "To wipe dust off and finish on"))
    return tuple(items)


def finish_words(kit: Kit, units: Units) -> Measure:
    """Return how much finish all coats take, rounded up to amounts that can be measured."""
    low, high = finish_amount(kit)
    ounces = f"{low / _ML_PER_OUNCE:.1f}–{high / _ML_PER_OUNCE:.1f} fl oz"
    return units.pick(f"{_rounded(low)}–{_rounded(high)} ml", ounces)


def area_words(kit: Kit, units: Units) -> str:
    """Return the area that is coated, in the first unit system."""
    area = surface_area(kit)
    return units.pick(f"{area / 1e6:.2f} m²", f"{area / _MM2_PER_SQUARE_FOOT:.1f} sq ft").main


def finish_amount(kit: Kit) -> tuple[float, float]:
    """Return how much finish all coats take, (low, high) in ml; coverage is m2 per litre for one coat."""
    finish = kit.finishing.finish
    assert finish is not None
    wanted = surface_area(kit) / 1e6 * finish.coats * 1000
    return wanted / finish.coverage.high, wanted / finish.coverage.low


def surface_area(kit: Kit) -> float:
    """Return the area of all parts, mm2: both faces and the edges; pocket walls add little and are left out."""
    return sum(part.count * _part_area(part) for part in kit.parts)


def _part_area(part: Part) -> float:
    return 2 * abs(part.outline.area) + part.outline.length * part.stock.actual


def _rounded(value: float) -> str:
    step = 1 if value < 20 else 5 if value < 100 else 10
    return str(int(math.ceil(value / step) * step))


def _protection(kit: Kit) -> tuple[Item, ...]:
    items = [
        Item("Eye protection", "Marked for impact"),
        Item("Ear protection", "For as long as the spindle turns"),
        Item("Dust mask", "One that seals to the face, for cutting and sanding"),
        Item("Extraction at the cutter", ""),
        Item("Calliper", "To measure stock, depth and cutters"),
    ]
    if uses(kit, HoldKind.TAPE_AND_GLUE) or kit.finishing.finish is not None:
        items.append(Item("Nitrile gloves", "For glue and finish only, never near the spindle"))
    return tuple(items)
