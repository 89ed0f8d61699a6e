"""What keeps a piece that a step cuts loose, as a limit on the force of that step.

The plan puts tabs where the wood bears most, adds some and makes them wider until they bear the hardest cut: that
costs no time at the machine. Where that does not do, or where the author fixed them or asked for a skin, the depth per
pass yields: a shallower pass pushes and lifts less. Where nothing at all keeps the piece no depth would help; that is
for the check of the hold-downs to say.
"""

from __future__ import annotations

from functools import lru_cache

from kitforge.model.kit import Kit, Setup
from kitforge.model.settings import Retention
from kitforge.model.steps import Step
from kitforge.planning.bare import KEPT, StepAreas, bare_setup, bare_step, step_areas
from kitforge.planning.holding import keeps_of_step


def retention_of(kit: Kit, step: Step) -> Retention | None:
    """Return what keeps the piece that a step cuts loose; None where nothing is cut loose or nothing keeps it."""
    if not step.operation.through:
        return None
    return _worked_out(bare_setup(kit.setup(step.part.stock.key, step.face)), bare_step(step), step_areas(step))


@lru_cache(maxsize=KEPT)
def _worked_out(setup: Setup, step: Step, _areas: StepAreas) -> Retention | None:
    kept = keeps_of_step(setup, step)
    if kept is None or kept.sideways <= 0:
        return None
    return Retention(str(kept.held_by), kept.sideways, kept.trail.lines, kept.upwards)
