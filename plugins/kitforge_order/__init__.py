"""Checks the order of the steps, whether the author wrote it or it was computed.

| code | what it finds |
|---|---|
| `freeing-not-last` | a part is cut further after it was cut free |
| `hole-after-freeing` | the same, with a hole that goes through |
| `freed-before-other-face` | a part is cut free before its other face has been cut |
| `freeing-early` | a part is cut free while others on the stock still get cut |
| `finishing-first` | finishing comes before roughing |
| `facing-late` | facing comes after other cuts |
| `deep-first` | a deep cut comes before the shallow one around it |
| `cutter-changes` | more cutter changes than the computed order needs, with both numbers |
"""

from __future__ import annotations

from collections.abc import Iterator

from kitforge import hookimpl
from kitforge.model.findings import Finding
from kitforge.model.kit import Kit
from kitforge.model.plan import Plan
from kitforge_order.kinds import KINDS

__all__ = ["KINDS", "kitforge_check"]


@hookimpl
def kitforge_check(kit: Kit, plan: Plan) -> Iterator[Finding]:
    """Yield steps that stand in the wrong order."""
    from kitforge_order.freeing import check_freeing
    from kitforge_order.sense import check_changes, check_depths, check_phases
    from kitforge_order.sequence import steps_of

    yield from check_freeing(plan)
    for steps in [steps_of(plan, setup) for setup in plan.setups]:
        yield from check_phases(steps)
        yield from check_depths(steps)
    yield from check_changes(kit, plan)
