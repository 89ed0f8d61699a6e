"""Time at the machine that is not cutting: setting up, flipping, changing cutters."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from kitforge.model.plan import PlannedSetup, Prepared
from kitforge.model.steps import Step, StepSettings

# Minutes to place, hold and zero one sheet, and for a cutter change with zeroing: common practice, no source.
SET_UP_MINUTES = (8.0, 20.0)
CHANGE_MINUTES = (2.0, 5.0)


def cutter_changes(setups: Sequence[PlannedSetup], steps: Sequence[Step]) -> int:
    """Return how often the cutter is changed over all sheets, the first cutter of the day not counted."""
    by_key = {step.key: step for step in steps}
    cutters = [by_key[key].cutter.key for setup in setups for _sheet in setup.sheets for key in setup.steps]
    return sum(a != b for a, b in itertools.pairwise(cutters))


def handling_seconds(setups: Sequence[PlannedSetup], changes: int) -> tuple[float, float]:
    """Return the short and the long time in seconds for set-ups and cutter changes."""
    count = sum(len(setup.sheets) for setup in setups)
    low, high = (60 * (count * SET_UP_MINUTES[i] + changes * CHANGE_MINUTES[i]) for i in (0, 1))
    return low, high


def flattening_seconds(ready: Prepared, settings: StepSettings) -> tuple[float, float]:
    """Return the short and the long time in seconds to flatten all pieces of a stock: passes, set-ups, one change."""
    flattening = ready.flattening
    if flattening is None:
        return 0.0, 0.0
    low, high = (
        ready.pieces * (flattening.passes * settings.seconds[i] + 60 * len(flattening.faces) * SET_UP_MINUTES[i])
        + 60 * CHANGE_MINUTES[i]
        for i in (0, 1)
    )
    return low, high
