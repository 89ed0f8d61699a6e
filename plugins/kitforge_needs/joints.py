"""Slots that take the edge of another part: the play in width and length, with the corners that the cutter leaves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitforge.model.findings import Finding
from kitforge.model.kit import Kit, Operation, Part
from kitforge.model.messages import Message, bare_mm, listed, mm, msg, msg_many, term
from kitforge.model.needs import JointNeed
from kitforge.model.plan import Plan
from kitforge.model.units import plain_number
from kitforge.planning.joints import EXACT, JointFit, Slot, slots_of
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
        yield kinds.MATES.new(
            msg(
                "{slot} near {place} is too {which} for '{other}'{purpose}: its {side} {room}, the part measures "
                "{part}, "
                "which is {play}; {limits} is asked for.",
                slot=title(part, need.feature),
                place=place(slot.at),
                which=msg("tight") if tight else msg("loose"),
                other=kit.part(need.takes).title,
                purpose=purpose(need),
                side=term(fit.name),
                room=msg("takes {size}", size=mm(fit.slot)) if fit.slot else msg("has no room at all"),
                part=mm(fit.part),
                play=msg("{size} of play", size=mm(fit.play))
                if fit.play >= 0
                else msg("{size} too little", size=mm(-fit.play)),
                limits=_limits(need),
            ),
            _advice(fit, slot, need),
            source=need.source,
            part=part.key,
            operation=operation.name,
            at=slot.at,
        )


def _advice(fit: JointFit, slot: Slot, need: JointNeed) -> Message:
    least, most = need.clearance
    if fit.play > most:
        return msg("Make the slot {by} smaller.", by=mm(fit.play - most))
    if slot.sharp:
        return msg("Its corners are rounded by the cutter: set 'corner_relief: dog-bone', or use a smaller cutter.")
    return msg("Make the slot {by} larger.", by=mm(least - fit.play))


def _limits(need: JointNeed) -> Message:
    least, most = need.clearance
    return msg("{low} to {high}", low=bare_mm(least), high=mm(most))


def _met(kit: Kit, part: Part, need: JointNeed, slots: Sequence[Slot]) -> Finding:
    names = [fit.name for fit in slots[0].fits]
    plays = [[slot.fits[index].play for slot in slots] for index in range(len(names))]
    figures = [
        msg("{play} in {side}", play=_span(play), side=term(name)) for name, play in zip(names, plays, strict=True)
    ]
    places = msg_many("near {place}", "in {count} slots", len(slots), place=place(slots[0].at))
    return kinds.MET.new(
        msg(
            "{slot} takes '{other}'{purpose} {places} with a play of {figures}; {limits} is asked for.",
            slot=title(part, need.feature),
            other=kit.part(need.takes).title,
            purpose=purpose(need),
            places=places,
            figures=listed(figures),
            limits=_limits(need),
        ),
        source=need.source,
        part=part.key,
        operation=need.feature,
    )


def _span(plays: Sequence[float]) -> Message:
    low, high = min(plays), max(plays)
    if plain_number(low, 2) == plain_number(high, 2):
        return msg("{size}", size=mm(low))
    return msg("{low} to {high}", low=mm(low), high=mm(high))


def _nothing(part: Part, need: JointNeed) -> Finding:
    slot = title(part, need.feature)
    if need.at:
        message = msg(
            "{slot} cuts no slot at {place} that could take '{other}'.",
            slot=slot,
            place=place(need.at),
            other=need.takes,
        )
        advice = msg("Put `at` into the middle of the slot.")
    else:
        message = msg("{slot} cuts no slot that could take '{other}'.", slot=slot, other=need.takes)
        advice = msg("Name a pocket, groove or profile with closed shapes.")
    return kinds.MATES.new(message, advice, source=need.source, part=part.key, operation=need.feature, at=need.at)
