"""Build options against the plan: which machine classes were asked for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.model.errors import KitforgeError
from kitforge.workshop.names import find

if TYPE_CHECKING:
    from kitforge.model.plan import MachinePlan, Plan


def chosen_machines(plan: Plan, keys: Sequence[str]) -> tuple[MachinePlan, ...]:
    """Return the plans of the machine classes named by `keys`, in the plan's order; all of them when `keys` is empty.

    Raises KitforgeError, naming the classes there are, when the kit is not planned for one of the keys.
    """
    classes = {machine.machine.key: machine.machine for machine in plan.machines}
    found = {key: find(classes, key) for key in keys}
    unknown = sorted(key for key, named in found.items() if named is None)
    if unknown:
        names = ", ".join(f"'{key}'" for key in unknown)
        made_for = ", ".join(classes)
        raise KitforgeError(f"The kit is not made for the machine class {names}; it is made for: {made_for}.")
    wanted = {named.entry.key for named in found.values() if named is not None}
    return tuple(machine for machine in plan.machines if not keys or machine.machine.key in wanted)
