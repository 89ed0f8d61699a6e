"""Hold-downs that do not suit what is cut: foam tape, cups and small pieces on vacuum, tape on oily wood."""

from __future__ import annotations

from collections.abc import Iterator

from kitforge.model.findings import Finding, Severity
from kitforge.model.messages import Message, area_mm2, msg
from kitforge.model.plan import Plan, PlannedSetup
from kitforge.model.workshop import HoldDown
from kitforge.planning.acting import TAPES, Refused, offered, refused
from kitforge_holding import kinds


def check_suited(plan: Plan) -> Iterator[Finding]:
    """Yield hold-downs that are not offered, other than for want of a place, and tape on oily wood."""
    for setup in plan.setups:
        left = offered(setup)
        for hold in setup.setup.hold_downs:
            why = refused(setup, hold)
            if why is not None and why is not Refused.NO_PLACE:
                yield _unsuited(setup, hold, why, others=left)
        if setup.stock.material.oily and left and left[0].kind in TAPES:
            yield _oily(setup, left[0])


def _unsuited(setup: PlannedSetup, hold: HoldDown, why: Refused, others: list[HoldDown]) -> Finding:
    instead = msg("Put {hold} first, or delete this one.", hold=others[0].name) if others else _OTHER
    return kinds.HOLD_UNSUITED.new(
        msg(
            "{stock}, {face} face up: {hold} is not offered: {why}",
            stock=setup.stock.title,
            face=setup.face.value,
            hold=hold.name,
            why=_why(hold, why),
        ),
        instead,
        source=setup.setup.source,
        severity=Severity.ERROR if hold is setup.setup.hold_downs[0] else Severity.WARNING,
    )


_OTHER = msg("List another hold-down, such as screws in the waste, clamps, or masking tape and cyanoacrylate.")


def _why(hold: HoldDown, why: Refused) -> Message:
    if why is Refused.GIVES:
        return msg("it gives, so the work moves while a cut goes through it.")
    if why is Refused.NO_LENGTH:
        return msg("no length that is sold goes through the stock and ends within the spoilboard.")
    if why is Refused.CUPS:
        return msg("a cut goes through the stock, and over a cup it would let the air in at once.")
    least = hold.least_area.value if hold.least_area else 0.0
    return msg("it does not hold a piece of less than {least}.", least=area_mm2(least, 0))


def _oily(setup: PlannedSetup, hold: HoldDown) -> Finding:
    return kinds.TAPE_ON_OILY_WOOD.new(
        msg(
            "{stock}, {face} face up: {hold} sticks badly on {wood}, which is oily by nature.",
            stock=setup.stock.title,
            face=setup.face.value,
            hold=hold.name,
            wood=setup.stock.material.name,
        ),
        msg(
            "Hold it with screws, brads or clamps; or wipe the face with alcohol, let it dry and test the tape by hand."
        ),
        source=setup.setup.source,
    )
