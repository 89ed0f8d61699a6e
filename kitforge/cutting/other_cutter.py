"""Settings worked again with another cutter: whether it may stand in for the one that a step was planned with."""

from __future__ import annotations

from kitforge.cutting.settings import settings
from kitforge.cutting.working import Working
from kitforge.model.settings import CutSettings, CutterGeometry, NoWindow


def cutter_of(found: CutSettings) -> CutterGeometry | None:
    """Return the cutter that settings are for; None where they do not know how they were computed."""
    return found.working.taken[1] if isinstance(found.working, Working) else None


def with_cutter(found: CutSettings, other: CutterGeometry) -> CutSettings | NoWindow | None:
    """Return the settings of the same cut in the same wood on the same class with another cutter.

    None where the settings do not know how they were computed, as those that a plugin made up.
    """
    if not isinstance(found.working, Working):
        return None
    cut, _cutter, material, machine, data, wish, added = found.working.taken
    return settings(cut, other, material, machine, data, wish, added)
