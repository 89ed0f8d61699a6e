"""What an author insists on for a step, of all that is written under the operation's `settings`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge.model.settings import RequestedSettings

if TYPE_CHECKING:
    from kitforge.model.kit import Operation


def requested_settings(operation: Operation, machine: str | None) -> RequestedSettings | None:
    """Return what is asked for on a machine class, by its key; None for nothing. Later entries win over earlier ones.

    machine: None for a machine of the reader's own, for which only what is asked of all classes counts.
    """
    asked = RequestedSettings()
    for override in operation.overrides:
        if not override.machines or machine in override.machines:
            asked = RequestedSettings(
                override.speed or asked.speed,
                override.feed or asked.feed,
                override.plunge or asked.plunge,
                override.depth_per_pass or asked.depth_per_pass,
                override.stepover or asked.stepover,
            )
    return None if asked == RequestedSettings() else asked
