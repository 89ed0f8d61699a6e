"""What holds a setup in print: the hold-down of first choice, those to take instead, and those that are left out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.language import capital, decimal, inside, render_text, say, say_as
from kitforge.model.messages import Message, inner, msg
from kitforge.model.units import MM_PER_INCH
from kitforge.pictures.drawn.sheet import as_it_lies, sheet_picture
from kitforge.planning.acting import TAPES, Refused, further, places_for, reason
from kitforge.print.figures import Units, handy, listed, sentence, step_title
from kitforge.workshop.bench import bench
from kitforge_booklet.amounts import TAPE_WASTE, metres_text, tape_length
from kitforge_booklet.fastening import fastener_uses, spoilboard_lines
from kitforge_booklet.records import HoldRow, OtherHold

if TYPE_CHECKING:
    from kitforge.model.holds import FastenerPlace, HoldResult
    from kitforge.model.kit import Kit
    from kitforge.model.lines import Use
    from kitforge.model.plan import MachinePlan, Plan, PlannedSetup
    from kitforge.model.steps import Step
    from kitforge.model.workshop import HoldDown

_PICTURE = (90.0, 70.0)


def other_holds(
    kit: Kit, plan: Plan, planned: PlannedSetup, machines: Sequence[MachinePlan], units: Units
) -> tuple[OtherHold, ...]:
    """Return the hold-downs that may be taken instead of the first: they have a place, and bear it on a class."""
    return tuple(
        _other(kit, plan, planned, hold, machines, units)
        for hold, why in further(planned)
        if why is None and _bears(planned, hold, machines)
    )


def left_out(planned: PlannedSetup, machines: Sequence[MachinePlan]) -> tuple[str, ...]:
    """Return why hold-downs that the maker names are not offered for this setup, a sentence each."""
    return tuple(
        render_text(msg("Do not take {hold} here: {why}", hold=inner(hold.name), why=_why(hold, why)))
        for hold, why in further(planned)
        if why is not None or not _bears(planned, hold, machines)
    )


def _why(hold: HoldDown, why: Refused | None) -> Message:
    return msg("it does not bear the cut on any class of machine.") if why is None else reason(hold, why)


def _bears(planned: PlannedSetup, hold: HoldDown, machines: Sequence[MachinePlan]) -> bool:
    """Return whether all that is to be held is, on one class at least; near the limit counts as for the first one."""
    found = [_with(machine, planned, hold) for machine in machines]
    return any(results and all(one.holds or one.near_limit for one in results) for results in found)


def _other(
    kit: Kit, plan: Plan, planned: PlannedSetup, hold: HoldDown, machines: Sequence[MachinePlan], units: Units
) -> OtherHold:
    places = places_for(hold, planned.fasteners)
    pictures = (sheet_picture(kit, planned.sheets[0], places, units, *_PICTURE, planned.face),) if places else ()
    return OtherHold(
        title=say("Or hold it with {hold_down}", hold_down=inside(say_as(hold.name))),
        about=hold_words(hold),
        words=(_takes(kit, planned, hold, units), *map(str, spoilboard_lines(planned, units, hold))),
        spots=spots(planned, places, units),
        pictures=pictures,
        cautions=tuple(sentence(say_as(one)) for one in hold.cautions),
        rows=hold_rows(plan, machines, planned, hold),
    )


def _takes(kit: Kit, planned: PlannedSetup, hold: HoldDown, units: Units) -> str:
    """Return what is bought and laid out for a hold-down that is taken instead of the first."""
    counted = {use.item: use for use in fastener_uses(planned, units, hold)}
    things = [_thing(counted.pop(use.item, use)) for use in hold.uses]
    things += [_thing(use) for use in counted.values()]
    words = say("It takes: {things}.", things=listed(things))
    if hold.kind in TAPES:
        length = metres_text(tape_length(hold, planned, kit) * TAPE_WASTE, units)
        words += " " + say("Lay it under the parts, side by side; {length} of tape are enough.", length=length)
    return words


def _thing(use: Use) -> str:
    name = inside(say_as(bench()[use.item].name))
    if use.detail:
        name = say("{name}, {size}", name=name, size=use.detail)
    return say("{count} × {name}", count=use.count, name=name) if use.count else name


def hold_words(hold: HoldDown) -> str:
    """Return what a hold-down is and how it is done."""
    return f"{sentence(say_as(hold.name))} {sentence(say_as(hold.about))}"


def spots(planned: PlannedSetup, places: Sequence[FastenerPlace], units: Units) -> str:
    """Return where the fasteners stand, from X0 Y0, left to right."""
    lying = [as_it_lies(place, planned.stock, planned.face) for place in places]
    pairs = (say("{x}, {y}", x=_bare(units, x), y=_bare(units, y)) for x, y in sorted((one.x, one.y) for one in lying))
    if not places:
        return ""
    return say("X, Y of each cross ({unit}): {places}.", unit=units.unit("mm").main, places="; ".join(pairs))


def _bare(units: Units, value: float) -> str:
    return decimal(units.pick(f"{value:.0f}", f"{value / MM_PER_INCH:.2f}").main)


def hold_rows(
    plan: Plan, machines: Sequence[MachinePlan], planned: PlannedSetup, other: HoldDown | None = None
) -> tuple[HoldRow, ...]:
    """Return one row for each thing that holds, with one verdict for each machine class.

    other: the hold-down that is asked about, where it is not the one of first choice. Of several cuts of one name, held
    alike, the one that comes nearest to its limit stands for all.
    """
    found: dict[tuple[Message, str], dict[str, HoldResult]] = {}
    for machine in machines:
        for result in _with(machine, planned, other):
            when = "" if result.hold_down is not None else _while_cutting(plan.step(result.step))
            row, key = found.setdefault((result.held_by, when), {}), machine.machine.key
            if key not in row or _strain(result) > _strain(row[key]):
                row[key] = result
    keys = [machine.machine.key for machine in machines]
    return tuple(
        HoldRow(_name_of(held_by), when, tuple(_verdict(row[key]) if key in row else "–" for key in keys))
        for (held_by, when), row in found.items()
    )


def _strain(result: HoldResult) -> float:
    """Return how much of what holds is used, sideways or upwards, the larger share."""
    sides = (result.demand, result.capacity), (result.lift_demand, result.lift_capacity)
    return max(demand / max(capacity, 1e-9) for demand, capacity in sides)


def _with(machine: MachinePlan, planned: PlannedSetup, other: HoldDown | None) -> list[HoldResult]:
    """Return how everything stands with the hold-down of first choice, or with another one."""
    hold = other or next(iter(planned.setup.hold_downs), None)
    return [
        result
        for result in machine.holding.get(planned.key, ())
        if (result.hold_down == hold if result.hold_down is not None else result.instead == other)
    ]


def _name_of(held_by: Message) -> str:
    return capital(render_text(held_by)).rstrip(".")


def _while_cutting(step: Step) -> str:
    return say("while “{step}” is cut", step=step_title(step))


def _verdict(result: HoldResult) -> str:
    """Name the pull, sideways or upwards, that comes nearer to the limit."""
    side, up = (result.demand, result.capacity), (result.lift_demand, result.lift_capacity)
    demand, capacity = max((side, up), key=lambda pair: pair[0] / max(pair[1], 1e-9))
    answer = say("Yes") if result.holds else say("With less safety") if result.near_limit else say("No")
    demanded, borne = handy(demand), handy(capacity)
    if (demand, capacity) == side:
        return say("{answer}, {demand} of {capacity} N", answer=answer, demand=demanded, capacity=borne)
    return say("{answer}, {demand} of {capacity} N upwards", answer=answer, demand=demanded, capacity=borne)
