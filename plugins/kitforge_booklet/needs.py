"""What to have ready before the first cut, with actual sizes and amounts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.kit import CutterKind, Grain
from kitforge.language import capital, decimal, say, say_as, say_counted, say_many
from kitforge.print.figures import Measure, Units, grouped, listed, sentence, stock_title
from kitforge.print.pictures.cutter import dimensioned_cutter
from kitforge.units import inch_fraction
from kitforge.workshop.records import HoldKind
from kitforge_booklet.amounts import finish_span
from kitforge_booklet.records import CutterItem, Item, Needs
from kitforge_booklet.safety import first_holds, uses

if TYPE_CHECKING:
    from kitforge.kit import Cutter, Hardware, Kit, Stock
    from kitforge.plan import Plan
    from kitforge.workshop.records import Finish

_LONGEST = 66.0
_ML_PER_OUNCE = 29.5735
_MM2_PER_SQUARE_FOOT = 304.8**2


def needs(kit: Kit, plan: Plan, units: Units, coated: float, grow: float = 1.0) -> Needs:
    """Return everything to buy or lay out. coated: surface to finish, mm²; grow: how much larger words are drawn."""
    return Needs(
        stock=tuple(_stock_item(stock, plan, units) for stock in kit.stock.values()),
        cutters=_cutters(plan, units, grow),
        cutter_scale=_scale_words(_scale(plan)),
        hold_down=_hold_down(kit),
        hardware=tuple(_hardware_item(thing) for thing in kit.hardware),
        finishing=_finishing(kit, units, coated),
        protection=_protection(kit),
    )


def _hardware_item(thing: Hardware) -> Item:
    if thing.use and thing.note:
        return Item(thing.item, sentence(thing.use), thing.count, sentence(thing.note))
    return Item(thing.item, thing.use or "", thing.count, thing.note or "")


def _stock_item(stock: Stock, plan: Plan, units: Units) -> Item:
    pieces = stock.count or sum(sheet.stock.key == stock.key for sheet in plan.sheets) or 1
    thickness = units.length(stock.actual)
    size = units.size(stock.length, stock.width)
    if math.isclose(stock.nominal, stock.actual):
        detail = say("{size}, {thickness} thick as measured.", size=size, thickness=thickness)
    else:
        detail = say(
            "{size}, {thickness} thick as measured (sold as {nominal}).",
            size=size,
            thickness=thickness,
            nominal=units.length(stock.nominal).main,
        )
    return Item(stock_title(stock), detail, f"{pieces} ×", _grain_words(stock, units))


def _grain_words(stock: Stock, units: Units) -> str:
    if stock.grain is Grain.NONE:
        return ""
    side = stock.length if stock.grain is Grain.LENGTH else stock.width
    return say("Grain along the {side} side.", side=units.length(side, 1).main)


def _cutters(plan: Plan, units: Units, grow: float) -> tuple[CutterItem, ...]:
    used: dict[str, list[int]] = {}
    cutters: dict[str, Cutter] = {}
    for step in plan.steps:
        used.setdefault(step.cutter.key, []).append(step.number)
        cutters[step.cutter.key] = step.cutter
    scale = _scale(plan)
    return tuple(
        CutterItem(
            say_as(cutters[key].name),
            cutter_words(cutters[key], units),
            _steps(numbers),
            dimensioned_cutter(cutters[key], units, scale, grow),
        )
        for key, numbers in used.items()
    )


def _scale(plan: Plan) -> float:
    """Return the standard scale (ISO 5455) at which the longest cutter fits its column."""
    tallest = max(step.cutter.overall_length for step in plan.steps)
    return next((scale for scale in (1.0, 0.5, 0.2, 0.1) if tallest * scale <= _LONGEST), 0.01)


def _steps(numbers: Sequence[int]) -> str:
    steps = listed([str(number) for number in numbers])
    return say_many("Step {steps}", "Steps {steps}", len(numbers), steps=steps)


def _scale_words(scale: float) -> str:
    return say("drawn full size") if scale == 1 else say("drawn at {scale}", scale=f"1 : {decimal(f'{1 / scale:g}')}")


def cutter_words(cutter: Cutter, units: Units) -> str:
    """Return a cutter's measures in a line, with the nearest inch fraction marked as such."""
    words = [
        f"Ø {units.length(cutter.diameter, 3)}",
        say_counted("one flute", "{count} flutes", cutter.flutes),
        say("high-speed steel") if cutter.substrate == "hss" else say_as(cutter.substrate),
    ]
    if cutter.angle:
        angle = decimal(f"{cutter.angle:g}")
        drill = cutter.kind is CutterKind.DRILL
        words.append(say("{angle}° point angle", angle=angle) if drill else say("{angle}° included angle", angle=angle))
    if cutter.kind is CutterKind.BOWL:
        words.append(say("corner radius {radius}", radius=units.length(cutter.corner_radius)))
    words.append(say("shank Ø {shank}", shank=units.length(cutter.shank, 3)))
    if units.first == "in":
        words.append(say("about {fraction}", fraction=inch_fraction(cutter.shank)))
    if cutter.max_speed:
        words.append(say("marked for at most {speed} rpm", speed=grouped(cutter.max_speed)))
    return ", ".join(words)


def _hold_down(kit: Kit) -> tuple[Item, ...]:
    found = []
    for hold in first_holds(kit):
        listed_things = hold.consumables or (hold.name,)
        found += [Item(capital(say_as(thing)), "") for thing in listed_things]
    return tuple(dict.fromkeys(found))


def _finishing(kit: Kit, units: Units, coated: float) -> tuple[Item, ...]:
    finishing = kit.finishing
    items = []
    if finishing.sanding:
        grits = listed([str(grit) for grit in finishing.sanding])
        items.append(Item(say("Abrasive paper"), say("Grit {grit}", grit=grits)))
    if finishing.finish is not None:
        items.append(Item(say_as(finishing.finish.name), _amount_words(kit, finishing.finish, units, coated)))
        between = finishing.finish.between_coats_grit
        items += [Item(say("Fine abrasive"), say("Grit {grit}, between coats", grit=between))] if between else []
        items.append(Item(say("Lint-free cloths"), say("To wipe dust off and finish on")))
    return tuple(items)


def _amount_words(kit: Kit, finish: Finish, units: Units, coated: float) -> str:
    return say_counted(
        "{amount} for one coat on {area}",
        "{amount} for {count} coats on {area}",
        finish.coats,
        amount=finish_words(kit, units, coated),
        area=area_words(units, coated),
    )


def finish_words(kit: Kit, units: Units, coated: float) -> Measure:
    """Return how much finish all coats take, rounded up to amounts that can be measured."""
    low, high = finish_span(kit, coated)
    ounces = decimal(f"{low / _ML_PER_OUNCE:.1f}–{high / _ML_PER_OUNCE:.1f} fl oz")
    return units.pick(f"{_rounded(low)}–{_rounded(high)} ml", ounces)


def area_words(units: Units, area: float) -> str:
    """Return the area that is coated, in the first unit system."""
    return decimal(units.pick(f"{area / 1e6:.2f} m²", f"{area / _MM2_PER_SQUARE_FOOT:.1f} sq ft").main)


def _rounded(value: float) -> str:
    step = 1 if value < 20 else 5 if value < 100 else 10
    return str(int(math.ceil(value / step) * step))


def _protection(kit: Kit) -> tuple[Item, ...]:
    items = [
        Item(say("Eye protection"), say("Marked for impact")),
        Item(say("Ear protection"), say("For as long as the spindle turns")),
        Item(say("Dust mask"), say("One that seals to the face, for cutting and sanding")),
        Item(say("Extraction at the cutter"), ""),
        Item(say("Calliper"), say("To measure stock, depth and cutters")),
    ]
    if uses(kit, HoldKind.TAPE_AND_GLUE) or kit.finishing.finish is not None:
        items.append(Item(say("Nitrile gloves"), say("For glue and finish only, never near the spindle")))
    return tuple(items)
