"""Whether the kit fits the machine classes."""

from __future__ import annotations

from collections.abc import Iterator

from kitforge.model.findings import Finding, Severity
from kitforge.model.kit import Kit
from kitforge.model.messages import msg, series
from kitforge.model.plan import Plan
from kitforge_cutterfit import kinds


def check_machines(kit: Kit, plan: Plan) -> Iterator[Finding]:
    """Yield the classes that the kit does not fit: an error if it fits none, else by whether the author named them."""
    unfit = [machine for machine in plan.machines if not machine.fits]
    for machine in unfit:
        if len(unfit) == len(plan.machines):
            severity = Severity.ERROR
        else:
            severity = Severity.WARNING if kit.machines_named else Severity.NOTE
        reasons = series(machine.misfits, "; ")
        yield kinds.CLASS_UNFIT.new(
            msg("The kit does not fit the class {name}: {reasons}.", name=machine.machine.name, reasons=reasons),
            msg("Smaller stock, thinner stock or other shanks would make it fit.")
            if severity is not Severity.NOTE
            else msg("The booklet leaves this class out."),
            source=kit.source,
            severity=severity,
        )
