"""The geometry of steps that settings need: worked out while planning, once for all machine classes."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from kitforge.model.kit import Kit
from kitforge.model.step_geometry import CutRoom, StepGeometry, Visits
from kitforge.model.steps import Step
from kitforge.planning.alike import alike
from kitforge.planning.bare import KEPT, StepAreas, bare_step, step_areas
from kitforge.planning.retention import retention_of
from kitforge.planning.room import places_of, room_of
from kitforge.planning.visits import visits_of


def with_geometry(kit: Kit, step: Step, like: Step | None = None) -> Step:
    """Return a step with the geometry that its settings need; like: the same step at another thickness."""
    return replace(step, geometry=step_geometry_of(kit, step, like))


def step_geometry_of(kit: Kit, step: Step, like: Step | None = None) -> StepGeometry:
    """Return the room, the visits and the retention of a step of a kit. Raises KeyError for a face without a setup.

    like: the same step at another thickness; what keeps a piece is worked out once for both.
    """
    known = like.geometry if like is not None and alike(step, like) else None
    kept = retention_of(kit, step) if known is None else known.retention
    return StepGeometry(*_moves(bare_step(step), step_areas(step)), kept)


@lru_cache(maxsize=KEPT)
def _moves(step: Step, _areas: StepAreas) -> tuple[CutRoom, Visits]:
    places = places_of(step)
    return room_of(step, places), visits_of(step, places)
