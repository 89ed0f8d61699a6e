"""How dry to buy solid wood, how damp it becomes where the piece is used, and by how much its widest part moves."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge.language import decimal, say
from kitforge.model.kit import Grain
from kitforge.workshop.climates import climates
from kitforge_booklet.seasonal_clearance import play_words
from kitforge_booklet.seasons import climate_of, seasons

if TYPE_CHECKING:
    from collections.abc import Sequence

    from kitforge.model.kit import Kit, Stock
    from kitforge.model.path import Bounds
    from kitforge.model.plan import Plan
    from kitforge.model.workshop import Material
    from kitforge.print.figures import Units
    from kitforge.workshop.climates import Climate


def movement_words(alike: Sequence[Stock], kit: Kit, plan: Plan, units: Units) -> tuple[str, ...]:
    """Return what the seasons do to the widest part that is cut from any of some pieces of one wood."""
    keys = {stock.key for stock in alike if stock.grain is not Grain.NONE}
    widths = [_part_across(part.outline.bounds, part.stock) for part in kit.parts if part.stock.key in keys]
    graded = next((stock for stock in alike if stock.key in keys), alike[0])
    where = climate_of(kit)
    found = seasons(graded, max(widths), where) if widths else None
    if found is None:
        return ()
    return (
        *_place_words(where),
        say(
            "Between the two, the widest part, {width} across the grain, changes by up to {change}. Along the grain it "
            "hardly moves.",
            width=units.length(found.width),
            change=units.length(found.change),
        ),
        *_quartersawn_words(graded.material),
        *dict.fromkeys(line for stock in alike for line in play_words(stock, kit, plan, units)),
        _source_words(where),
    )


def _quartersawn_words(wood: Material) -> tuple[str, ...]:
    """Return how much less quartersawn strips move: radial over tangential coefficient, Wood Handbook Table 13-5."""
    if wood.movement_radial is None or wood.movement_tangential is None:
        return ()
    share = 100 * wood.movement_radial.value / wood.movement_tangential.value
    return (say("Quartersawn strips move {share:.0f} % of that.", share=share),)


def _place_words(where: Climate) -> tuple[str, ...]:
    rooms, weather = climates()
    if not where.outdoors:
        return (
            say(
                "Buy wood at {low}–{high} % moisture. In a room of {warm:.0f} °C it settles at {dry} % in dry winter "
                "air ({dry_air:.0f} % humidity) and at {damp} % in damp summer air ({damp_air:.0f} %).",
                low=f"{rooms.bought.low:g}", high=f"{rooms.bought.high:g}", warm=rooms.temperature.value,
                dry_air=rooms.humidity.low, damp_air=rooms.humidity.high,
                dry=decimal(f"{where.dry:.1f}"), damp=decimal(f"{where.damp:.1f}"),
            ),
        )  # fmt: skip
    beyond = say(
        "Look up your own weather: wood falls to {desert} % in a desert and reaches {coast} % on a rainy coast; faces "
        "that rain wets go up to {wet} %.",
        desert=f"{weather.desert.value:g}",
        coast=f"{weather.rain_coast.value:g}",
        wet=f"{weather.wetted.value:g}",
    )
    values = {"low": f"{weather.bought.low:g}", "high": f"{weather.bought.high:g}"}
    damp = f"{where.damp:g}"
    if where.indoors:
        dry = decimal(f"{where.dry:.1f}")
        return (
            say(
                "Buy wood at {low}–{high} % moisture. It may be used indoors and outdoors: it settles at {dry} % in a "
                "heated room in winter and at up to {damp} % outdoors under cover.",
                dry=dry, damp=damp, **values,
            ),
            beyond,
        )  # fmt: skip
    return (
        say(
            "Buy wood at {low}–{high} % moisture. Outdoors under cover it settles at {dry} % in the driest month of "
            "temperate places and at {damp} % in the dampest.",
            dry=f"{where.dry:g}", damp=damp, **values,
        ),
        beyond,
    )  # fmt: skip


def _source_words(where: Climate) -> str:
    if where.outdoors:
        return say(
            "Computed after the Wood Handbook: equation 13-3 of FPL-GTR-190, moisture outdoors after Table 13-1 of "
            "FPL-GTR-282, second hand."
        )
    return say(
        "Computed after the Wood Handbook, FPL-GTR-190, equations 4-5 and 13-2; it holds from 6 to 14 % moisture."
    )


def _part_across(box: Bounds, stock: Stock) -> float:
    return box.width if stock.grain is Grain.WIDTH else box.height
