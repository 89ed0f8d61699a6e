"""How long a step takes on a machine class: its real paths layer by layer, the ways down and up, and between.

Counted are the cut of every layer with its ramps, plunges and pecks, the joins between rounds and the way back to the
first one, the lifts over tabs, and the moves above the work from place to place and from copy to copy.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache, partial
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kitforge.cutting.motion import LARGE, TimedTravel, move_time, path_time
from kitforge.model.kit import OperationKind, Part
from kitforge.model.settings import CutSettings, Manner
from kitforge.model.step_geometry import Visits
from kitforge.model.steps import Step
from kitforge.model.workshop import MachineClass
from kitforge.workshop.cutting_data import cutting_data
from kitforge_settings.layers import Layer, layers_of

if TYPE_CHECKING:
    from kitforge.model.travel import Travel

CLEAR = 5.0
"""So high above the work the cutter moves, mm (common practice)."""
APPROACH = 1.0
"""So far above or beside the wood it slows down, mm (common practice)."""
HAIR = 1e-6
Seconds = Callable[[float], float]
"""Gives seconds at an acceleration in mm/s2."""


def step_seconds(step: Step, visits: Visits, machine: MachineClass, found: CutSettings) -> tuple[float, float]:
    """Return the short and the long time in seconds of one step for all its copies.

    Short: the class's best acceleration and little overhead; long: its weakest and much (common practice).
    """
    practice = cutting_data().motion
    if step.operation.does is OperationKind.ENGRAVE:
        one_copy = _engraved_in(step, machine, found)
    else:
        one_copy = partial(_one_copy, step, visits, machine, found)
    low, high = (
        one_copy(acceleration) * overhead
        for acceleration, overhead in (
            (machine.acceleration.high, practice.overhead.low),
            (machine.acceleration.low, practice.overhead.high),
        )
    )
    return low * step.copies, high * step.copies


def _one_copy(step: Step, visits: Visits, machine: MachineClass, found: CutSettings, a: float) -> float:
    """Return the seconds of one copy at an acceleration `a` mm/s2."""
    speed, tolerance = found.feed.start / 60, cutting_data().motion.corner_tolerance_default
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
    distances = (_diagonal(step.part), *visits.hops)
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
    each, lift, down = found.depth_per_pass.start, machine.plunge_limit / 60, found.plunge.start / 60
    by_height: dict[float, float] = {}  # tabs of one step are alike but for those that the author made otherwise
    for height in {tab.height for tab in step.tabs}:
        over = height + step.into_spoilboard
        layers = max(1, math.ceil(over / each - HAIR))
        rises = [min(number * each, over) for number in range(1, layers + 1)]
        by_height[height] = sum(move_time(rise, lift, a) + move_time(rise, down, a) for rise in rises)
    return sum(by_height[tab.height] for tab in step.tabs)


def _engraved_in(step: Step, machine: MachineClass, found: CutSettings) -> Seconds:
    """Return what gives the time of an engraving at an acceleration, with its layers worked out.

    As with any other cut the cutter comes once from anywhere in the part; from start to start it goes a shorter way.
    """
    tolerance, feed = cutting_data().motion.corner_tolerance_default.value, found.feed.start
    each, far, ratio = found.depth_per_pass.start, _diagonal(step.part), feed / machine.plunge_limit
    layers = layers_of(step.travel, each, found.passes) if step.travel is not None else ()
    ways = [(_timed(_held_back(layer, ratio), layer.angles), layer.starts) for layer in layers]

    def seconds(a: float) -> float:
        hop = _above(far / 3 / math.sqrt(max(1, step.plunges)), each, machine, a)
        once = _down(step, machine, found, a) + hop
        total = _above(far, step.depth, machine, a) - hop
        for way, starts in ways:
            if len(way.lengths):
                total += path_time(way, feed / 60, a, tolerance)
            total += starts * once
        return total

    return seconds


def _held_back(layer: Layer, ratio: float) -> NDArray[np.float64]:
    """Return the pieces as long as they last at the feed, where the way goes up and down too steeply for the Z axis."""
    held: NDArray[np.float64] = np.maximum(layer.lengths, layer.rises * ratio)
    return held


def _diagonal(part: Part) -> float:
    box = part.outline.bounds
    return math.hypot(box.width, box.height)


def _timed(lengths: NDArray[np.float64], angles: NDArray[np.float64]) -> TimedTravel:
    if len(lengths) < LARGE:
        return TimedTravel(lengths.tolist(), angles[1:].tolist())
    return TimedTravel(lengths, angles[1:])


@lru_cache(maxsize=256)
def _moves(travel: Travel) -> TimedTravel:
    return _timed(travel.lengths, travel.angles)
