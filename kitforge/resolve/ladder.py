"""Ladders as written to rungs in mm; what cannot be one is reported."""

from __future__ import annotations

import math

from kitforge.definition import kinds
from kitforge.definition.ladder import LadderEntry
from kitforge.definition.positions import Place
from kitforge.definition.values import expression_in
from kitforge.model.family import MOST_RUNGS, Ladder, count_of_rungs
from kitforge.model.findings import Mend
from kitforge.model.messages import Message, msg
from kitforge.resolve.values import ResolveContext, ValueRange, label

_THICKNESS = ValueRange(0.3, 150.0)
_STEP = ValueRange(0.02, 5.0)
_HAIR = 1e-6


def resolve_ladder(
    sheet: ResolveContext, entry: LadderEntry | None, written: object, actual: float, place: Place
) -> Ladder | None:
    """Return the rungs of a ladder, thinnest first; None where there is none or it is wrong.

    written: the actual thickness as the author wrote it, which must follow the parameter; actual: what it comes to, mm.
    """
    if entry is None:
        return None
    before = sheet.failures
    sheet.look_up(sheet.names, entry.of, msg("parameter"), *place, "of")
    low = sheet.length(entry.from_, *place, "from", within=_THICKNESS)
    high = sheet.length(entry.to, *place, "to", within=_THICKNESS)
    step = sheet.length(entry.step, *place, "step", within=_STEP)
    if sheet.failures > before or math.isnan(actual):
        return None
    problem = _problem(sheet, entry, written, actual, (low, high, step), place)
    if problem is not None:
        said, advice, mend = problem
        message = msg("{place}: {said}.", place=label(place), said=said)
        sheet.add(kinds.LADDER_UNFIT.new(message, advice, source=sheet.where.of(*place), mend=mend))
        return None
    count = count_of_rungs(low, high, step)
    return Ladder(entry.of, tuple(round(low + number * step, 4) for number in range(count)), sheet.where.key(*place))


def _thickness(sheet: ResolveContext, place: Place) -> tuple[str, ...]:
    """Return the keys at which the actual thickness of the stock is written."""
    written = (*place[:-1], "thickness")
    apart = any(one[: len(written)] == written and len(one) > len(written) for one in sheet.where.values)
    return ("thickness", "actual") if apart else ("thickness",)


def _problem(
    sheet: ResolveContext,
    entry: LadderEntry,
    written: object,
    actual: float,
    rungs: tuple[float, float, float],
    place: Place,
) -> tuple[Message, Message, Mend | None] | None:
    """Return what is wrong, what to do, and the change that does it where there is but one."""
    low, high, step = rungs
    count, stock = (high - low) / step, str(place[-2])
    if high < low + step - _HAIR:
        said = msg("there is no rung between {low} and {high}", low=sheet.show(low), high=sheet.show(high))
        return said, msg("Write the thinnest as `from` and the thickest as `to`."), None
    if abs(count - round(count)) > 1e-3:
        said = msg("steps of {step} do not lead to {high}", step=sheet.show(step), high=sheet.show(high))
        whole = round(low + max(round(count), 1) * step, 4)
        mend = None if round(count) >= MOST_RUNGS else Mend(("ladder", "to"), whole, stock=stock)
        return said, msg("Choose `to` a whole number of steps above `from`."), mend
    if count > MOST_RUNGS - 1 + 1e-3:
        said = msg(
            "there are {count} rungs; {most} is the limit", count=count_of_rungs(low, high, step), most=MOST_RUNGS
        )
        return said, msg("Take larger steps; 0.2 mm suits joints that slip."), None
    expression = expression_in(written)
    if expression is None or entry.of not in expression.names:
        said = msg("the actual thickness of the stock does not follow '{name}'", name=entry.of)
        advice = msg("Write `actual: {name}`, so that every rung is a thickness of the stock.", name=entry.of)
        return said, advice, Mend(_thickness(sheet, place), entry.of, stock=stock)
    offset = (actual - low) / step
    if abs(offset - round(offset)) > 1e-3 or not low - _HAIR <= actual <= high + _HAIR:
        said = msg("{actual}, for which the kit is drawn, is none of the rungs", actual=sheet.show(actual))
        return said, msg("Choose the parameter, or the ladder, so that it is one."), None
    return None
