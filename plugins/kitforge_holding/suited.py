"""Hold-downs that do not suit what is cut: foam tape, cups and small pieces on vacuum, tape on oily wood."""

from __future__ import annotations

from collections.abc import Iterator

from kitforge.model.findings import Finding, Severity
from kitforge.model.messages import inner, msg
from kitforge.model.plan import Plan, PlannedSetup
from kitforge.model.workshop import HoldDown
from kitforge.planning.acting import TAPES, Refused, offered, reason, refused
from kitforge_holding import kinds
from kitforge_holding.words import where


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
    instead = msg("Put {hold} first, or delete this one.", hold=inner(others[0].name)) if others else _OTHER
    return kinds.HOLD_UNSUITED.new(
        msg(
            "{where}: {hold} is not offered: {why}",
            where=where(setup),
            hold=inner(hold.name),
            why=reason(hold, why),
        ),
        instead,
        source=setup.setup.source,
        severity=Severity.ERROR if hold is setup.setup.hold_downs[0] else Severity.WARNING,
    )


_OTHER = msg("List another hold-down, such as screws in the waste, clamps, or masking tape and cyanoacrylate.")


def _oily(setup: PlannedSetup, hold: HoldDown) -> Finding:
    return kinds.TAPE_ON_OILY_WOOD.new(
        msg(
            "{where}: {hold} sticks badly on {wood}, which is oily by nature.",
            where=where(setup),
            hold=inner(hold.name),
            wood=inner(setup.stock.material.name),
        ),
        msg(
            "Hold it with screws, brads or clamps; or wipe the face with alcohol, let it dry and test the tape by hand."
        ),
        source=setup.setup.source,
    )
