"""Slots that take the edge of another part: the play in width and length, with the corners that the cutter leaves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitforge.model.findings import Finding
from kitforge.model.kit import Kit, Operation, Part
from kitforge.model.needs import JointNeed
from kitforge.model.plan import Plan
from kitforge.model.units import format_mm, plain_number
from kitforge.planning.joints import EXACT, Slot, slots_of
from kitforge_needs import kinds
from kitforge_needs.words import place, purpose, title


def prove_joint(kit: Kit, plan: Plan, need: JointNeed) -> Iterator[Finding]:
    """Yield every slot that is too tight or too loose, or that all are well."""
    part = kit.part(need.part)
    operation = part.operation(need.feature)
    slots = slots_of(kit, plan, need)
    if not slots:
        yield _nothing(part, need)
        return
    unmet = [finding for slot in slots for finding in _judge(kit, part, operation, need, slot)]
    yield from unmet
    if not unmet:
        yield _met(kit, part, need, slots)


def _judge(kit: Kit, part: Part, operation: Operation, need: JointNeed, slot: Slot) -> Iterator[Finding]:
    least, most = need.clearance
    for fit in slot.fits:
        tight, loose = fit.play < least - EXACT, fit.play > most + EXACT
        if not (tight or loose):
            continue
        advice = f"Make the slot {format_mm(least - fit.play if tight else fit.play - most)} "
        advice += "larger." if tight else "smaller."
        if tight and slot.sharp:
            advice = "Its corners are rounded by the cutter: set 'corner_relief: dog-bone', or use a smaller cutter."
        play = f"{format_mm(fit.play)} of play" if fit.play >= 0 else f"{format_mm(-fit.play)} too little"
        room = f"takes {format_mm(fit.slot)}" if fit.slot else "has no room at all"
        yield kinds.MATES.new(
            f"{title(part, need.feature)} near {place(slot.at)} is too {'tight' if tight else 'loose'} for "
            f"'{kit.part(need.takes).title}'{purpose(need)}: its {fit.name} {room}, the part measures "
            f"{format_mm(fit.part)}, which is {play}; {_limits(need)} is asked for.",
            advice,
            source=need.source, part=part.key, operation=operation.name, at=slot.at,
        )  # fmt: skip


def _limits(need: JointNeed) -> str:
    least, most = need.clearance
    return f"{plain_number(least, 2)} to {format_mm(most)}"


def _met(kit: Kit, part: Part, need: JointNeed, slots: Sequence[Slot]) -> Finding:
    names = [fit.name for fit in slots[0].fits]
    plays = [[slot.fits[index].play for slot in slots] for index in range(len(names))]
    figures = " and ".join(f"{_span(play)} in {name}" for name, play in zip(names, plays, strict=True))
    places = f"in {len(slots)} slots" if len(slots) > 1 else f"near {place(slots[0].at)}"
    return kinds.MET.new(
        f"{title(part, need.feature)} takes '{kit.part(need.takes).title}'{purpose(need)} {places} with a play of "
        f"{figures}; {_limits(need)} is asked for.",
        "",
        source=need.source, part=part.key, operation=need.feature,
    )  # fmt: skip


def _span(plays: Sequence[float]) -> str:
    low, high = format_mm(min(plays)), format_mm(max(plays))
    return low if low == high else f"{low} to {high}"


def _nothing(part: Part, need: JointNeed) -> Finding:
    where = f" at {place(need.at)}" if need.at else ""
    return kinds.MATES.new(
        f"{title(part, need.feature)} cuts no slot{where} that could take '{need.takes}'.",
        "Put `at` into the middle of the slot." if need.at else "Name a pocket, groove or profile with closed shapes.",
        source=need.source, part=part.key, operation=need.feature, at=need.at,
    )  # fmt: skip
