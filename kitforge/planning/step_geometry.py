"""The geometry of steps that settings need: worked out while planning, once for all machine classes."""

from __future__ import annotations

from dataclasses import replace

from kitforge.model.kit import Kit
from kitforge.model.plan import Step
from kitforge.model.step_geometry import StepGeometry
from kitforge.planning.retention import retention_of
from kitforge.planning.room import places_of, room_of
from kitforge.planning.visits import visits_of


def with_geometry(kit: Kit, step: Step) -> Step:
    """Return a step with the geometry that its settings need."""
    return replace(step, geometry=step_geometry_of(kit, step))


def step_geometry_of(kit: Kit, step: Step) -> StepGeometry:
    """Return the room, the visits and the retention of a step of a kit. Raises KeyError for a face without a setup."""
    places = places_of(step)
    return StepGeometry(room_of(step, places), visits_of(step, places), retention_of(kit, step))
