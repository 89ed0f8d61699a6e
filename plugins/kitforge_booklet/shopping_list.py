"""What to have ready before the first cut, with actual sizes and amounts."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from kitforge.language import capital, decimal, render_text, say, say_as, say_counted, say_many
from kitforge.model.kit import CutterKind, Grain
from kitforge.model.units import MM_PER_INCH, inch_fraction
from kitforge.pictures.drawn.cutter import dimensioned_cutter
from kitforge.planning.stand_ins import stand_ins
from kitforge.planning.trial_stock import trial_stock
from kitforge.print.figures import Units, grouped, listed, scale_words, sentence, stock_title
from kitforge.workshop.bench import BenchKind, Wanted, wanted
from kitforge_booklet.amounts import finish_amounts
from kitforge_booklet.instead import stand_in_words
from kitforge_booklet.records import CutterItem, Item, Needs
from kitforge_booklet.surface_areas import surface_text

if TYPE_CHECKING:
    from kitforge.model.kit import Cutter, Hardware, Kit, Stock
    from kitforge.model.lines import Use
    from kitforge.model.plan import Plan
    from kitforge.planning.trial_stock import TrialStock

_LONGEST = 66.0


NOTHING_YET = Needs((), (), "", (), (), (), (), ())
"""What stands in a booklet until its sentences are there, from which the list is computed."""


def needs(kit: Kit, plan: Plan, units: Units, uses: Iterable[Use], coated: float, grow: float = 1.0) -> Needs:
    """Return everything to buy or lay out. uses: of all sentences; coated: surface to finish, mm²; grow: how much
    larger words are drawn."""
    found = wanted(uses)
    return Needs(
        stock=tuple(_stock_item(stock, plan, units) for stock in kit.stock.values()),
        cutters=_cutters(plan, units, grow),
        cutter_scale=_scale_words(_scale(plan)),
        hold_down=_of(BenchKind.HOLDING, found),
        hardware=(*(_hardware_item(thing) for thing in kit.hardware), *_of(BenchKind.GLUE, found)),
        finishing=(*_finish_item(kit, units, coated), *_of(BenchKind.FINISH, found)),
        tools=_of(BenchKind.TOOL, found),
        protection=_of(BenchKind.PROTECTION, found),
        trials=tuple(_trial_item(one, units) for one in trial_stock(kit, plan)),
    )


def _of(kind: BenchKind, found: Sequence[Wanted]) -> tuple[Item, ...]:
    return tuple(_bench_item(one) for one in found if one.item.kind is kind)


def _bench_item(wanted: Wanted) -> Item:
    details = [say_as(wanted.item.detail)] if wanted.item.detail else []
    detail = sentence(capital("; ".join([*details, *wanted.details]))) if (details or wanted.details) else ""
    return Item(say_as(wanted.item.name), detail, f"{wanted.count} ×" if wanted.count else "")


def _hardware_item(thing: Hardware) -> Item:
    if thing.use and thing.note:
        return Item(thing.item, sentence(capital(thing.use)), thing.count, sentence(thing.note))
    return Item(thing.item, sentence(capital(thing.use or thing.note or "")), thing.count)


def _trial_item(trial: TrialStock, units: Units) -> Item:
    size = units.size(trial.stock.length, trial.stock.width, places=0)
    if trial.coupon:
        words = say("{size}, of the same piece as the parts: for the fit coupon.", size=size)
    else:
        words = say("Scrap of more than {size}, with room for what holds it: for the proof strip.", size=size)
    return Item(stock_title(trial.stock), words, "1 ×")


def _stock_item(stock: Stock, plan: Plan, units: Units) -> Item:
    pieces = stock.count or sum(sheet.stock.key == stock.key for sheet in plan.sheets) or 1
    thickness = units.length(stock.actual)
    size = units.size(stock.length, stock.width, places=1)
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
    if math.isclose(stock.length, stock.width, abs_tol=0.05):
        return say("It is square: mark which way the grain runs.")
    side = stock.length if stock.grain is Grain.LENGTH else stock.width
    return say("Grain along the {side} side.", side=units.length(side, 1).main)


def _cutters(plan: Plan, units: Units, grow: float) -> tuple[CutterItem, ...]:
    used: dict[str, list[int]] = {}
    for step in plan.steps:
        used.setdefault(step.cutter.key, []).append(step.number)
    flattening = {one.flattening.step.cutter.key for one in plan.prepared if one.flattening is not None}
    scale, instead = _scale(plan), stand_ins(plan)
    return tuple(
        CutterItem(
            render_text(cutter.name),
            _with_note(cutter_words(cutter, units), cutter.note),
            _uses(used.get(cutter.key, ()), flattens=cutter.key in flattening),
            stand_in_words(instead[cutter.key], units) if cutter.key in instead else "",
            dimensioned_cutter(cutter, units, scale, grow),
        )
        for cutter in plan.cutters
    )


def _with_note(words: str, note: str | None) -> str:
    return f"{sentence(words)} {sentence(note)}" if note else sentence(words)


def _uses(numbers: Sequence[int], *, flattens: bool) -> str:
    if not flattens:
        return _steps(numbers)
    return say("{steps}, and to flatten the stock", steps=_steps(numbers)) if numbers else say("To flatten the stock")


def _scale(plan: Plan) -> float:
    """Return the standard scale (ISO 5455) at which the longest cutter fits its column."""
    tallest = max(cutter.overall_length for cutter in plan.cutters)
    return next((scale for scale in (1.0, 0.5, 0.2, 0.1) if tallest * scale <= _LONGEST), 0.01)


def _steps(numbers: Sequence[int]) -> str:
    steps = listed([str(number) for number in numbers])
    return say_many("Step {steps}", "Steps {steps}", len(numbers), steps=steps)


def _scale_words(scale: float) -> str:
    return say("drawn full size") if scale == 1 else say("drawn at {scale}", scale=scale_words(scale))


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
    words.append(_shank_words(cutter, units))
    if cutter.max_speed:
        words.append(say("marked for at most {speed} rpm", speed=grouped(cutter.max_speed)))
    return ", ".join(words)


def _shank_words(cutter: Cutter, units: Units) -> str:
    shank = say("shank Ø {shank}", shank=units.length(cutter.shank, 3))
    if units.first != "in":
        return shank
    fraction = inch_fraction(cutter.shank)
    exact = math.isclose(round(cutter.shank / MM_PER_INCH * 64) / 64 * MM_PER_INCH, cutter.shank, abs_tol=1e-6)
    return f"{shank} = {fraction}" if exact else f"{shank}, {say('about {fraction}', fraction=fraction)}"


def _finish_item(kit: Kit, units: Units, coated: float) -> tuple[Item, ...]:
    finish = kit.finishing.finish
    if finish is None or not finish.coats:
        return ()
    amounts = finish_amounts(kit, coated, units)
    words = say_counted(
        "{amount} for one coat on {area}",
        "{amount} for {count} coats on {area}",
        finish.coats,
        amount=amounts.buy,
        area=surface_text(coated, units),
    )
    return (Item(say_as(finish.name), words),)
