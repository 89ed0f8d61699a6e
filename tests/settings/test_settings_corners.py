"""No corner of the printed settings of a demo kit passes a limit or rubs; what keeps a piece included."""

from __future__ import annotations

from cut_corners import faults
from random_cuts import Case

from kitforge.model.settings import RequestedSettings
from kitforge.pipeline import CheckedKit
from kitforge_settings.adapter import cut_of, geometry_of, planned_geometry


def test_no_corner_of_a_demo_kit_passes_a_limit_or_rubs(demo: CheckedKit) -> None:
    """Every step on every class that has settings for it, worked again from the records of the plan."""
    tried, found = 0, []
    for machine in demo.plan.machines:
        for step in demo.plan.steps:
            settings = machine.settings.get(step.key)
            if settings is None or settings.detail is None or step.operation.overrides:
                continue
            cut, cutter = cut_of(step, planned_geometry(demo.kit, step)), geometry_of(step.cutter)
            case = Case(cut, cutter, step.part.stock.material, machine.machine, RequestedSettings())
            found += [f"{step.key} on {machine.machine.key}: {fault}" for fault in faults(case, settings.detail)]
            tried += 1
    assert tried and found == []
