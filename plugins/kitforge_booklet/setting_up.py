"""Preparing the stock, laying it on the machine, finding zero, and proving the job in the air."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.kit import Face
from kitforge.print.figures import Units, counted, handy, listed, sentence
from kitforge.print.pictures.sheet import as_it_lies, sheet_picture
from kitforge.units import MM_PER_INCH
from kitforge_booklet.records import HoldRow, Preparation, SettingUp

if TYPE_CHECKING:
    from kitforge.kit import Kit, Stock
    from kitforge.plan import HoldResult, MachinePlan, Plan, PlannedSetup
    from kitforge.workshop.records import HoldDown

_PICTURE = (114.0, 104.0)


def preparations(kit: Kit, plan: Plan, units: Units) -> tuple[Preparation, ...]:
    """Return how each stock is made ready."""
    return tuple(Preparation(stock.title, _prepare(stock, plan, units)) for stock in kit.stock.values())


def _prepare(stock: Stock, plan: Plan, units: Units) -> tuple[str, ...]:
    steps = [sentence(line) for line in stock.prepare]
    if not stock.material.is_panel:
        steps.append("Let the wood lie in the room where the piece will live for a week before you cut it.")
    through = [step for step in plan.steps if step.part.stock.key == stock.key and step.operation.through]
    measured = units.length(stock.actual)
    steps.append(f"Measure the thickness at all four corners and in the middle. The kit is drawn for {measured}.")
    if through:
        spare = min(step.operation.allowance for step in through)
        steps.append(
            f"If any reading is more than {units.length(stock.actual + spare)}, the through cuts will not come "
            "through: enter your thickness as their depth."
        )
    steps.append(f"Cut the piece to {units.size(stock.length, stock.width)} or larger, with two square edges at X0 Y0.")
    return tuple(steps)


def setting_up(kit: Kit, plan: Plan, machines: Sequence[MachinePlan], units: Units) -> tuple[SettingUp, ...]:
    """Return how each face of each stock piece is laid on the machine, in order."""
    return tuple(_setting_up(kit, plan, planned, machines, units) for planned in plan.setups)


def setup_title(planned: PlannedSetup) -> str:
    """Return the name of a setup: the stock, and the face when it is turned over."""
    return planned.stock.title + ("" if planned.face is Face.TOP else ", turned over")


def _setting_up(
    kit: Kit, plan: Plan, planned: PlannedSetup, machines: Sequence[MachinePlan], units: Units
) -> SettingUp:
    sheets = planned.sheets
    hold = next(iter(planned.setup.hold_downs), None)
    fitting = [machine for machine in machines if machine.fits]
    alike = _alike(planned)
    shown = sheets[:1] if alike else sheets
    pictures = tuple(sheet_picture(kit, sheet, planned.fasteners, units, *_PICTURE, planned.face) for sheet in shown)
    captions = tuple(_caption(planned, index, alike) for index in range(len(shown)))
    return SettingUp(
        title=setup_title(planned),
        pictures=pictures,
        captions=captions,
        steps=_steps(planned),
        spots=_spots(planned, units),
        cautions=tuple(sentence(line) for line in hold.cautions) if hold else (),
        machines=tuple(machine.machine.name for machine in fitting),
        rows=_hold_rows(plan, fitting, planned),
        messages=(),
    )


def _alike(planned: PlannedSetup) -> bool:
    layouts = {tuple((p.part, p.x, p.y) for p in sheet.placements) for sheet in planned.sheets}
    return len(layouts) == 1


def _caption(planned: PlannedSetup, index: int, alike: bool) -> str:
    total = len(planned.sheets)
    if total == 1:
        return "From above. X0 Y0 is the lower left corner of the stock, Z0 its upper face."
    return f"All {total} pieces are laid out alike." if alike else f"Piece {index + 1} of {total}."


def _steps(planned: PlannedSetup) -> tuple[str, ...]:
    hold = planned.setup.hold_downs[0] if planned.setup.hold_downs else None
    steps = []
    if planned.face is Face.BOTTOM:
        steps.append(
            "Turn the piece over like a page of a book, its left edge to the right. What was the lower right corner "
            "is now the lower left one."
        )
    if hold is not None:
        steps.append(_hold_words(hold))
    if planned.fasteners:
        steps.append(_fastener_words(planned))
    steps += [
        "Set X0 Y0 at the lower left corner of the stock and Z0 on its upper face.",
        "After each change of cutter set Z0 again on the same spot, and leave X and Y as they are.",
    ]
    if planned.setup.note:
        steps.append(sentence(planned.setup.note))
    return tuple(steps)


def _fastener_words(planned: PlannedSetup) -> str:
    places = planned.fasteners
    kinds = listed(sorted({place.kind if place.kind.endswith("s") else f"{place.kind}s" for place in places}))
    return f"The crosses mark {counted(len(places), 'place')} for {kinds}. The cutter stays out of the dashed circles."


def _spots(planned: PlannedSetup, units: Units) -> str:
    """Return where the fasteners stand, from X0 Y0, left to right."""
    lying = [as_it_lies(place, planned.stock, planned.face) for place in planned.fasteners]
    places = sorted((place.x, place.y) for place in lying)
    pairs = (f"{_bare(units, x)}, {_bare(units, y)}" for x, y in places)
    return f"X, Y of each cross in {units.unit('mm').main}: {'; '.join(pairs)}." if places else ""


def _bare(units: Units, value: float) -> str:
    return units.pick(f"{value:.0f}", f"{value / MM_PER_INCH:.2f}").main


def _hold_words(hold: HoldDown) -> str:
    about = sentence(hold.about)
    return about if about.lower().startswith(hold.name.lower()) else f"{sentence(hold.name)} {about}"


def _hold_rows(plan: Plan, machines: Sequence[MachinePlan], planned: PlannedSetup) -> tuple[HoldRow, ...]:
    """One row for each thing that holds, one verdict for each machine class."""
    key = (planned.stock.key, planned.face.value)
    found: dict[tuple[str, str], dict[str, str]] = {}
    for machine in machines:
        for result in machine.holding.get(key, ()):
            when = "" if result.hold_down is not None else f"while “{plan.step(result.step).title}” is cut"
            found.setdefault((result.held_by, when), {})[machine.machine.key] = _verdict(result)
    return tuple(
        HoldRow(sentence(held_by).rstrip("."), when, tuple(verdicts.get(m.machine.key, "–") for m in machines))
        for (held_by, when), verdicts in found.items()
    )


def _verdict(result: HoldResult) -> str:
    """Name the pull, sideways or upwards, that comes nearer to the limit."""
    side, up = (result.demand, result.capacity), (result.lift_demand, result.lift_capacity)
    demand, capacity = max((side, up), key=lambda pair: pair[0] / max(pair[1], 1e-9))
    way = "" if (demand, capacity) == side else " upwards"
    return f"{'Yes' if result.holds else 'No'}, {handy(demand)} of {handy(capacity)} N{way}"


def proving(plan: Plan, units: Units) -> tuple[str, ...]:
    """Return the proving pass in the air, its height computed from the deepest cut."""
    deepest = max(step.depth for step in plan.steps)
    step = 5.0 if units.first != "in" else MM_PER_INCH / 4
    lifted = units.length(math.ceil((deepest + 10) / step) * step, 0)
    return (
        f"Set Z0 {lifted} above the stock. The deepest cut of this kit goes {units.length(deepest, 1)} down, so the "
        "cutter stays clear of the wood.",
        "Run the whole job with the spindle off and a hand on the stop button. Watch that the cutter stays over the "
        "stock and clears every clamp and screw on its way.",
        "Compare the first and the last position of each step with the pictures. A job that runs mirrored or turned "
        "shows itself here.",
        "Put Z0 back on the face of the stock before you cut. Write it on your hand if you must.",
    )
