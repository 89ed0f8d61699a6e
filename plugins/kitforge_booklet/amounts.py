"""How much of everything: wood as it is sold, finish and abrasive from the surface as cut, what holds it down."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.language import decimal, say, say_as
from kitforge.model.kit import Face
from kitforge.model.units import plain_number
from kitforge.model.workshop import HoldKind
from kitforge.pack.finish import FINISH_WASTE, finish_span
from kitforge.planning.trial_stock import coupons_of
from kitforge.print.buying import how_words, to_buy, volume_text
from kitforge.print.figures import grouped, stock_title
from kitforge.surface.figures import Areas
from kitforge.workshop.bench import bench
from kitforge_booklet.fastening import FASTENERS, fastener_uses
from kitforge_booklet.surface_areas import SQUARE_FOOT, surface_text, surface_texts

if TYPE_CHECKING:
    from collections.abc import Sequence

    from kitforge.model.kit import Kit
    from kitforge.model.plan import Plan, PlannedSetup, Prepared
    from kitforge.model.workshop import HoldDown
    from kitforge.pictures.drawn.shots import Shots
    from kitforge.print.buying import ToBuy
    from kitforge.print.figures import Units

_ML_PER_OUNCE = 29.5735
_TAPE_WIDTH = 50.0
TAPE_WASTE = 1.15
"""What is bought of a tape, as a multiple of what lies under the parts: common practice, no source."""


@dataclass(frozen=True, slots=True)
class AmountRow:
    """A thing, how much the kit takes, how much to buy with waste, and how that was found."""

    what: str
    uses: str
    buy: str
    how: str


def surface_of(kit: Kit, shots: Shots) -> Areas:
    """Return the areas of all copies of all parts, from the surface as cut."""
    found = [(part.count, shots.parts[part.key].areas) for part in kit.parts]
    return Areas(
        sum(count * areas.faces for count, areas in found),
        sum(count * areas.hollows for count, areas in found),
        sum(count * areas.walls for count, areas in found),
        sum(count * areas.edges for count, areas in found),
    )


@dataclass(frozen=True, slots=True)
class FinishAmounts:
    """What all coats take, what one takes, and what is bought with what stays in brush and rag, in words."""

    uses: str
    each: str
    buy: str


def finish_amounts(kit: Kit, area: float, units: Units) -> FinishAmounts:
    """Return how much finish `area` mm² takes, the same figures wherever they are printed."""
    assert kit.finishing.finish is not None
    coats = kit.finishing.finish.coats
    low, high = (value / coats for value in finish_span(kit, area))
    metric = tuple(_rounded_up(value, _step(value)) for value in (low, high))
    places = 1 if high >= _ML_PER_OUNCE else 2
    ounces = tuple(_rounded_up(value / _ML_PER_OUNCE, 10.0**-places) for value in (low, high))
    bought, bought_oz = (coats * span[1] * (1 + FINISH_WASTE) for span in (metric, ounces))
    return FinishAmounts(
        _span_text(metric, ounces, coats, places, units),
        _span_text(metric, ounces, 1, places, units),
        str(units.pick(f"{_up(bought)} ml", f"{_rounded_up(bought_oz, 0.1):.1f} fl oz")),
    )


def _span_text(metric: Sequence[float], ounces: Sequence[float], coats: int, places: int, units: Units) -> str:
    """Return what so many coats take, as many times what is printed for one; metric in ml, ounces in fl oz."""
    in_ml = dict.fromkeys(grouped(coats * value) for value in metric)
    in_oz = dict.fromkeys(f"{coats * value:.{places}f}" for value in ounces)
    return str(units.pick(f"{'–'.join(in_ml)} ml", f"{'–'.join(in_oz)} fl oz"))


def sheets_of_paper(area: float, grit: int) -> int:
    """Return how many sheets of paper of a grit sand `area` mm² once by hand: common practice, no source."""
    return max(1, math.ceil(area / 1e6 / paper_lasts(grit)))


def paper_lasts(grit: int) -> float:
    """Return how many m² one sheet of a grit sands by hand before it is dull: common practice, no source."""
    return 0.4 if grit <= 100 else 0.6 if grit <= 180 else 0.8


def amounts(kit: Kit, plan: Plan, shots: Shots, units: Units) -> tuple[AmountRow, ...]:
    """Return what to buy of everything that is measured out."""
    surface = surface_of(kit, shots)
    rows = [_wood(one, kit, plan, units) for one in to_buy(kit, plan, units)]
    rows += [_finish(kit, surface, units)] if kit.finishing.finish and kit.finishing.finish.coats else []
    rows += [_paper(*sanded) for sanded in sanded_areas(kit, surface, units)]
    rows += _fasteners(plan, units)
    for planned in plan.setups:
        rows += _holding(planned, kit, units)
    return _merged(rows)


def _merged(rows: Sequence[AmountRow]) -> tuple[AmountRow, ...]:
    return tuple(dict.fromkeys(rows))


def _wood(one: ToBuy, kit: Kit, plan: Plan, units: Units) -> AmountRow:
    """Return how much of the stocks of one material and thickness to buy, with what fit coupons are cut from."""
    coupons = [piece for ready in one.ready for piece in coupons_of(kit, plan, ready.stock.key)]
    trials = sum(piece.length * piece.width for piece in coupons)
    how = how_words(one, units)
    if one.ready[0].stock.material.is_panel:
        area = sum(ready.pieces * ready.stock.length * ready.stock.width for ready in one.ready)
        how += " " + say("The fit coupon is counted.") if trials else ""
        return AmountRow(one.title, area_text(area + trials, units), str(one.bought), how)
    volume = sum(map(wood_volume, one.ready)) + trials * one.ready[0].sold
    return AmountRow(one.title, volume_text(volume, units), str(one.bought), how)


def wood_volume(ready: Prepared) -> float:
    """Return the volume of the boards that all pieces of a solid stock take, without waste, mm³.

    Boards count with their rough thickness, as the trade counts board feet; a glue-up takes its strips as sawn.
    """
    glue, stock = ready.glue, ready.stock
    area = stock.length * stock.width if glue is None else glue.strips * glue.sawn * glue.length
    return ready.pieces * area * ready.sold


def area_text(area: float, units: Units) -> str:
    """Return an area in m² and square feet, rounded up."""
    metric, feet = math.ceil(area / 1e4 - 1e-9) / 100, math.ceil(area / SQUARE_FOOT * 10 - 1e-9) / 10
    return str(units.pick(f"{metric:.2f} m²", f"{feet:.1f} sq ft"))


def _finish(kit: Kit, surface: Areas, units: Units) -> AmountRow:
    finish = kit.finishing.finish
    assert finish is not None
    amounts = finish_amounts(kit, surface.total, units)
    return AmountRow(
        say_as(finish.name),
        amounts.uses,
        amounts.buy,
        say(
            "{coats} × {area} at {low:g}–{high:g} m² per litre; {waste:.0f} % stays in brush and rag.",
            coats=finish.coats,
            area=surface_text(surface.total, units),
            low=finish.coverage.low,
            high=finish.coverage.high,
            waste=100 * FINISH_WASTE,
        ),
    )


def _up(value: float) -> str:
    return grouped(_rounded_up(value, _step(value)))


def _step(value: float) -> float:
    """Return to what an amount is rounded up, ml: about one figure in twenty."""
    return 1 if value < 20 else 5 if value < 100 else 10


def _rounded_up(value: float, step: float) -> float:
    return math.ceil(value / step - 1e-9) * step


def sanded_areas(kit: Kit, surface: Areas, units: Units) -> tuple[tuple[int, float, str], ...]:
    """Return each grit, what is sanded with it, mm², and that in words: all but the walls after the first grit."""
    said = surface_texts(surface, units)
    first, next_ones = (surface.total, said.total), (surface.total - surface.walls, said.without_walls)
    return tuple((grit, *(next_ones if index else first)) for index, grit in enumerate(kit.finishing.sanding))


def _paper(grit: int, area: float, words: str) -> AmountRow:
    count = sheets_of_paper(area, grit)
    part = plain_number(math.ceil(area / 1e5 / paper_lasts(grit)) / 10, 1)
    return AmountRow(
        say("Abrasive paper, grit {grit}", grit=grit),
        say("1 sheet") if part == "1" else say("{part} sheets", part=decimal(part)),
        say("{count} of 230 × 280 mm", count=count),
        say("{area} by hand, {lasts:g} m² a sheet.", area=words, lasts=paper_lasts(grit)),
    )


def _holding(planned: PlannedSetup, kit: Kit, units: Units) -> list[AmountRow]:
    """Return what tape the first hold-down of a setup uses up: common practice, no source."""
    hold = next(iter(planned.setup.hold_downs), None)
    if hold is None or hold.kind not in (HoldKind.DOUBLE_SIDED_TAPE, HoldKind.TAPE_AND_GLUE):
        return []
    metres = tape_length(hold, planned, kit)
    how = say("The whole underside of the parts in strips {width} wide.", width=units.length(_TAPE_WIDTH, 0).main)
    if hold.kind is HoldKind.TAPE_AND_GLUE:
        how += say(" On the stock and on the spoilboard, with a thread of glue between.")
    name = f"{say_as(hold.name)}: {_setup_title(planned)}"
    return [AmountRow(name, metres_text(metres, units), metres_text(metres * TAPE_WASTE, units), how)]


def _setup_title(planned: PlannedSetup) -> str:
    name = stock_title(planned.stock)
    return name if planned.face is Face.TOP else say("{stock}, underside up", stock=name)


def _fasteners(plan: Plan, units: Units) -> list[AmountRow]:
    """Return the fasteners of the set-up that takes most of each kind: they serve again for the next one."""
    most: dict[str, list[int]] = {}
    for planned in plan.setups:
        for use in fastener_uses(planned, units):
            if use.item in FASTENERS:
                name = say("{name}, {size}", name=say_as(bench()[use.item].name), size=use.detail)
                most.setdefault(name, []).append(use.count)
    return [
        AmountRow(
            name,
            str(max(counts)),
            str(max(counts) + max(2, math.ceil(max(counts) / 5))),
            say("The crosses of the setting-up picture, and some to spare.")
            if len(counts) == 1
            else say("The crosses of the set-up that has most, and some to spare. They serve again for the others."),
        )
        for name, counts in most.items()
    ]


def tape_length(hold: HoldDown, planned: PlannedSetup, kit: Kit) -> float:
    """Return how much tape lies under the parts of a setup, m."""
    area = sum(abs(kit.part(p.part).outline.area) for sheet in planned.sheets for p in sheet.placements)
    return (2 if hold.kind is HoldKind.TAPE_AND_GLUE else 1) * area / _TAPE_WIDTH / 1000


def metres_text(metres: float, units: Units) -> str:
    """Return a length of tape, m, as it is bought."""
    return str(units.pick(f"{math.ceil(metres * 10) / 10:.1f} m", f"{math.ceil(metres / 0.3048)} ft"))
