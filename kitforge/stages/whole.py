"""What makes a kit whole before and after its plan, in one order for all who plan: sizes, thicknesses, trial pieces."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.stages.rungs import rungs_of, with_rungs
from kitforge.stages.same_parts import with_same
from kitforge.stages.trials import with_trials

if TYPE_CHECKING:
    from kitforge.model.family import KitChoice
    from kitforge.model.kit import Cutter, Kit
    from kitforge.model.plan import Plan
    from kitforge.plugins import Plugins
    from kitforge.stages.read import ReadKit
    from kitforge.stages.rungs import ResolvedRungs


def to_plan(written: ReadKit, choice: KitChoice, kit: Kit, plugins: Plugins) -> ResolvedRungs:
    """Return a resolved kit, compared with its other sizes, with what it is at every thickness."""
    return rungs_of(written, choice, with_same(written, choice, kit, plugins), plugins)


def planned_whole(
    rungs: ResolvedRungs, kit: Kit, plan: Plan, plugins: Plugins, cutters: Sequence[Cutter] = ()
) -> tuple[Kit, Plan]:
    """Return a planned kit with its trial pieces and with the plan of every thickness; cutters: of the reader's."""
    kit, plan = with_trials(kit, plan, plugins)
    return with_rungs(rungs, kit, plan, plugins, cutters)
