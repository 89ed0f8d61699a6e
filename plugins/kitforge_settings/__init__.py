"""Computes the settings window of every step on every machine class, and reports where there is none or a risk.

| code | severity | meaning |
|---|---|---|
| settings-none | error, warning or note | no sound window: error when no class that fits has one |
| settings-override | error or warning | the author's own value lies outside the window, or past a hard limit |
| settings-risk | warning or note | burn or chatter risk, a fragile cutter, a cutter beyond the tables |
| settings-weak-input | note | figures of the woods, classes, hold-downs, finish without a source that was read |
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from kitforge import hookimpl

if TYPE_CHECKING:
    from kitforge.model.findings import Finding
    from kitforge.model.kit import Kit
    from kitforge.model.plan import Plan
    from kitforge.model.steps import BlockedStep, Step, StepSettings
    from kitforge.model.workshop import MachineClass


@hookimpl
def kitforge_step_settings(kit: Kit, step: Step, machine: MachineClass) -> StepSettings | BlockedStep | None:
    """Compute the window from the physics of the cut."""
    from kitforge_settings.adapter import settings_of

    return settings_of(kit, step, machine)


@hookimpl
def kitforge_check(kit: Kit, plan: Plan) -> Iterator[Finding]:
    """Report steps without a window, overrides outside it, risks and weak figures, gathered over the classes."""
    from kitforge_settings.findings import findings_of
    from kitforge_settings.inputs import weak_inputs

    yield from findings_of(kit, plan)
    yield from weak_inputs(kit, plan)
