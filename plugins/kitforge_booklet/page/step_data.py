"""What the script knows of each step: its cut, what the author wishes, its depths and ways; other thicknesses too."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from kitforge.cutting.working import Working
from kitforge.cutting.worksheet.plain import Plain, plain
from kitforge.model.settings import CutDirection
from kitforge.planning.layers import rung_folders
from kitforge.planning.overrides import requested_settings
from kitforge_booklet.page.paths import path_data

if TYPE_CHECKING:
    from kitforge.cutting.working import Taken
    from kitforge.model.plan import Plan, Rung
    from kitforge.model.steps import Step


def taken_of(plan: Plan, step: Step) -> Taken | None:
    """Return what the settings of a step were computed from on the weakest class; None where nobody knows."""
    for machine in plan.machines:
        settled, blocked = machine.settings.get(step.key), machine.blocked.get(step.key)
        detail = settled.detail if settled else blocked.detail if blocked else None
        if detail is not None and isinstance(detail.working, Working):
            return detail.working.taken
    return None


def step_data(plan: Plan, step: Step) -> dict[str, Plain]:
    """Return the cut of a step and what its row and its time take beside it."""
    taken = taken_of(plan, step)
    assert taken is not None
    cut = taken[0]
    if cut.keeping is not None:
        cut = replace(cut, keeping=replace(cut.keeping, lines=()))
    return {
        "number": step.number,
        "cut": plain(cut),
        "cutter": step.cutter.key,
        "geometry": plain(taken[1]),
        "stock": step.part.stock.key,
        "wishes": {
            key: plain(asked)
            for key in (one.machine.key for one in plan.machines)
            if (asked := requested_settings(step.operation, key))
        },
        "wish": plain(requested_settings(step.operation, None)),
        "stepover": bool(step.stepover),
        "top": step.top,
        "depth": step.depth,
        "through": step.through,
        "ways": _ways(plan, step),
        "diameter": step.cutter.diameter,
        "path": path_data(step),
    }


def _ways(plan: Plan, step: Step) -> str:
    """Return 'none' where a step has no direction of cut, 'either' where both are as good, else nothing."""
    found = {machine.settings[step.key].direction for machine in plan.machines if step.key in machine.settings}
    return "either" if CutDirection.EITHER in found else "none" if found == {None} else ""


def rung_data(plan: Plan, steps: Sequence[Step]) -> list[Plain]:
    """Return the thicknesses that there are drawings for: the folder of each, and what is other in which step."""
    return [_rung(plan, steps, rung, folder) for folder, rung in zip(rung_folders(plan), plan.rungs, strict=True)]


def _rung(plan: Plan, steps: Sequence[Step], rung: Rung, folder: str) -> dict[str, Plain]:
    there = {step.key: step for step in rung.plan.steps if taken_of(rung.plan, step) is not None}
    changes: dict[str, Plain] = {}
    for step in steps:
        if step.key in there and rung.plan is not plan:
            change = _changed(step_data(plan, step), step_data(rung.plan, there[step.key]))
            if change:
                changes[str(step.number)] = change
    return {"stock": rung.stock, "thickness": rung.thickness, "folder": folder, "steps": changes}


def _changed(one: dict[str, Plain], other: dict[str, Plain]) -> dict[str, Plain]:
    """Return what is other in a second record, of records within it as well."""
    found: dict[str, Plain] = {}
    for name, value in other.items():
        before = one[name]
        if isinstance(before, dict) and isinstance(value, dict) and before.keys() == value.keys():
            if inner := _changed(before, value):
                found[name] = inner
        elif before != value:
            found[name] = value
    return found
