"""How long a step takes on a machine class: its real paths layer by layer, the ways down and up, and between.

Counted are the cut of every layer with its ramps, plunges and pecks, the joins between rounds and the way back to the
first one, the lifts over tabs, and the moves above the work from place to place and from copy to copy.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

from kitforge.cutting.motion import LARGE, TimedTravel, move_time, path_time
from kitforge.lettering.engrave import between
from kitforge.model.identity import IdentityKey
from kitforge.model.kit import OperationKind, Part
from kitforge.model.plan import Step
from kitforge.model.settings import CutSettings, Manner
from kitforge.model.travel import Travel as Points
from kitforge.model.travel import travel_along
from kitforge.model.workshop import MachineClass
from kitforge.workshop.cutting_data import cutting_data
from kitforge_settings.visits import Visits, visits_of

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

CLEAR = 5.0
"""So high above the work the cutter moves, mm (common practice)."""
APPROACH = 1.0
"""So far above or beside the wood it slows down, mm (common practice)."""
HAIR = 1e-6


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


def _one_copy(step: Step, machine: MachineClass, found: CutSettings, a: float) -> float:
    """Return the seconds of one copy at an acceleration `a` mm/s2."""
    if step.operation.does is OperationKind.ENGRAVE:
        return _engraved(step, machine, found, a)
    visits, speed, tolerance = visits_of(step), found.feed.start / 60, cutting_data().motion.corner_tolerance_default
    if step.operation.does is OperationKind.DRILL:
        return visits.places * _hole(step, machine, found, a) + _between(step, visits, machine, a)
    along = sum(move_time(join, speed, a) for join in visits.joins)
    if step.travel is not None and len(step.travel.lengths):
        along += path_time(_moves(step.travel), speed, a, tolerance.value)
    if step.stepover and found.stepover:
        along *= step.stepover / found.stepover.start
    layers = found.passes
    back = sum(_above(distance, (step.top + step.depth) / 2, machine, a) for distance in visits.backs)
    down = visits.places * _down(step, machine, found, a)
    tabs = _over_tabs(step, machine, found, a)
    return layers * (along + down) + (layers - 1) * back + tabs + _between(step, visits, machine, a)


def _between(step: Step, visits: Visits, machine: MachineClass, a: float) -> float:
    """Return the seconds above the work: once to the copy, and from place to place."""
    distances = (_diagonal(IdentityKey(step.part)), *visits.hops)
    return sum(_above(distance, step.depth, machine, a) for distance in distances)


def _above(distance: float, depth: float, machine: MachineClass, a: float) -> float:
    """Return the seconds of going up from a depth, over by a distance, and down again, at the class's full speed."""
    lift = move_time(depth + CLEAR, machine.plunge_limit / 60, a)
    return 2 * lift + move_time(distance, machine.feed_limit / 60, a)


def _down(step: Step, machine: MachineClass, found: CutSettings, a: float) -> float:
    """Return the seconds of the way into one layer; a ramp comes back along its own groove while it cuts."""
    entry = found.entry
    if entry.travel:
        return move_time(entry.travel, entry.feed / 60, a)
    if entry.manner is Manner.OUTSIDE:
        aside = move_time(step.cutter.diameter / 2 + APPROACH, found.feed.start / 60, a)
        return move_time(found.depth_per_pass.start, machine.plunge_limit / 60, a) + aside
    return move_time(found.depth_per_pass.start + APPROACH, found.plunge.start / 60, a)


def _hole(step: Step, machine: MachineClass, found: CutSettings, a: float) -> float:
    """Return the seconds of one hole: each peck begins close above the one before and clears the chips above the face.

    The last way up is counted with the move to the next hole.
    """
    lift, pecks = machine.plunge_limit / 60, found.passes if found.entry.manner is Manner.PECK else 1
    height = step.depth - step.top
    cut = pecks * move_time(height / pecks + APPROACH, found.plunge.start / 60, a)
    clears = (step.top + height * number / pecks + CLEAR for number in range(1, pecks))
    return cut + sum(2 * move_time(way, lift, a) for way in clears)


def _over_tabs(step: Step, machine: MachineClass, found: CutSettings, a: float) -> float:
    """Return the seconds of going up and down at every tab, in all layers that reach into it."""
    if not step.tabs or not step.through:
        return 0.0
    each, lift = found.depth_per_pass.start, machine.plunge_limit / 60
    seconds = 0.0
    for tab in step.tabs:
        layers = max(1, math.ceil((tab.height + step.into_spoilboard) / each - HAIR))
        rises = [min(number * each, tab.height + step.into_spoilboard) for number in range(1, layers + 1)]
        seconds += sum(move_time(rise, lift, a) + move_time(rise, found.plunge.start / 60, a) for rise in rises)
    return seconds


def _engraved(step: Step, machine: MachineClass, found: CutSettings, acceleration: float) -> float:
    """Return the time of an engraving: in each layer only the ways that go deeper than the one before.

    As with any other cut the cutter comes once from anywhere in the part; from start to start it goes a shorter way.
    """
    tolerance = cutting_data().motion.corner_tolerance_default.value
    feed, far = found.feed.start, _diagonal(IdentityKey(step.part))
    hop = _above(far / 3 / math.sqrt(max(1, step.plunges)), found.depth_per_pass.start, machine, acceleration)
    once = _down(step, machine, found, acceleration) + hop
    seconds = _above(far, step.depth, machine, acceleration) - hop
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


@lru_cache(maxsize=64)
def _diagonal(same: IdentityKey[Part]) -> float:
    box = same.one.outline.bounds
    return math.hypot(box.width, box.height)


@lru_cache(maxsize=256)
def _moves(points: Points) -> TimedTravel:
    if len(points.lengths) < LARGE:
        return TimedTravel(points.lengths.tolist(), points.angles[1:].tolist())
    return TimedTravel(points.lengths, points.angles[1:])
