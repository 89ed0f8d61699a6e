"""How long a step takes on a machine class: its real paths layer by layer, the ways down and up, and between.

A place is cleared in one go: the cutter goes down once in each layer and moves over from round to round.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

from kitforge.cutting.motion import LARGE, TimedTravel, move_time, path_time, vertical_time
from kitforge.lettering.engrave import between
from kitforge.model.identity import IdentityKey
from kitforge.model.kit import OperationKind, Part
from kitforge.model.plan import Step
from kitforge.model.settings import CutSettings
from kitforge.model.travel import Travel as Points
from kitforge.model.travel import travel_along
from kitforge.model.workshop import MachineClass
from kitforge.workshop.cutting_data import cutting_data
from kitforge_settings.room import room_of

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

CLEAR = 5.0


def step_seconds(step: Step, machine: MachineClass, found: CutSettings) -> tuple[float, float]:
    """Return the short and the long time in seconds of one step for all its copies.

    Short: the class's best acceleration and little overhead; long: its weakest and much (common practice).
    """
    practice = cutting_data().motion
    low, high = (
        _one_copy(step, machine, found, acceleration) * overhead
        for acceleration, overhead in (
            (machine.acceleration.high, practice.overhead.low),
            (machine.acceleration.low, practice.overhead.high),
        )
    )
    return low * step.copies, high * step.copies


def _one_copy(step: Step, machine: MachineClass, found: CutSettings, acceleration: float) -> float:
    tolerance = cutting_data().motion.corner_tolerance_default.value
    entries, speed, along = room_of(step).entries, found.feed.start / 60, 0.0
    if step.operation.does is OperationKind.ENGRAVE:
        return _engraved(step, machine, found, acceleration)
    if step.travel is not None and len(step.travel.lengths):
        along = path_time(_moves(step.travel), speed, acceleration, tolerance)
        # rounds of one place are joined at depth by a move to the next one
        along += max(0, step.plunges - entries) * move_time(step.stepover or 0.0, speed, acceleration)
    if step.stepover and found.stepover:
        along *= step.stepover / found.stepover.start
    layers = 1 if step.operation.does is OperationKind.DRILL else found.passes
    return layers * (along + entries * (_down_and_up(step, machine, found) + _across(step, machine, acceleration)))


def _engraved(step: Step, machine: MachineClass, found: CutSettings, acceleration: float) -> float:
    """Return the time of an engraving: in each layer only the ways that go deeper than the one before."""
    tolerance = cutting_data().motion.corner_tolerance_default.value
    feed, seconds = found.feed.start, 0.0
    once = _down_and_up(step, machine, found) + _across(step, machine, acceleration)
    for layer in _layers(IdentityKey(step), found.depth_per_pass.start, found.passes):
        lengths = _held_back(layer, feed / machine.plunge_limit)
        if len(lengths):
            moves = TimedTravel(lengths.tolist(), layer.angles[1:].tolist())
            seconds += path_time(moves, feed / 60, acceleration, tolerance)
        seconds += layer.starts * once
    return seconds


def _held_back(way: Points, ratio: float) -> NDArray[np.float64]:
    """Return the pieces as long as they last at the feed, where the way goes up and down too steeply for the Z axis."""
    import numpy as np

    rises = [np.abs(np.diff(chain, axis=0)[:, 2]) for chain in way.chains if len(chain) > 1]
    steps = [np.linalg.norm(np.diff(chain, axis=0), axis=1) > 0 for chain in way.chains if len(chain) > 1]
    if not rises:
        return way.lengths
    held: NDArray[np.float64] = np.maximum(way.lengths, np.concatenate(rises)[np.concatenate(steps)] * ratio)
    return held


@lru_cache(maxsize=64)
def _layers(same: IdentityKey[Step], depth: float, passes: int) -> tuple[Points, ...]:
    """Return what is cut in each layer of an engraving: the ways deeper than the layer above, no deeper than this."""
    chains = same.one.travel.chains if same.one.travel is not None else ()
    found = []
    for number in range(passes):
        low, high = number * depth, (number + 1) * depth if number + 1 < passes else math.inf
        pieces = [piece for chain in chains for piece in between(chain, low, math.inf)]
        found.append(travel_along(_no_deeper(piece, high) for piece in pieces))
    return tuple(found)


def _no_deeper(chain: NDArray[np.float64], depth: float) -> NDArray[np.float64]:
    import numpy as np

    return np.column_stack([chain[:, :2], np.minimum(chain[:, 2], depth)])


def _down_and_up(step: Step, machine: MachineClass, found: CutSettings) -> float:
    depth = step.depth if step.operation.does is OperationKind.DRILL else found.depth_per_pass.start
    lift = machine.plunge_limit
    if found.entry.travel:
        return found.entry.travel / (found.entry.feed / 60)
    down = vertical_time(depth, found.plunge.start, lift, machine)
    clear = vertical_time(CLEAR, lift, lift, machine)
    return sum(down) / 2 + sum(clear) / 2


def _across(step: Step, machine: MachineClass, acceleration: float) -> float:
    """Return the time of one move above the work to the next start: a third of the part's diagonal, taken as usual."""
    distance = _diagonal(IdentityKey(step.part)) / 3 / max(1.0, math.sqrt(room_of(step).entries))
    speed = machine.feed_limit / 60
    return distance / speed + speed / acceleration


@lru_cache(maxsize=64)
def _diagonal(same: IdentityKey[Part]) -> float:
    box = same.one.outline.bounds
    return math.hypot(box.width, box.height)


@lru_cache(maxsize=256)
def _moves(points: Points) -> TimedTravel:
    if len(points.lengths) < LARGE:
        return TimedTravel(points.lengths.tolist(), points.angles[1:].tolist())
    return TimedTravel(points.lengths, points.angles[1:])
