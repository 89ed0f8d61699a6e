"""Proof strips: short grooves at rising feed over the window of a step, one pass deep, a layer for each.

No feed is above the window of its class, so that nothing that limits the window (chip, force, power, deflection, what
keeps the piece, the fastest feed of the class) is passed.
"""

from __future__ import annotations

import math

from kitforge.model.coupon import ProofStrip, ProofWish
from kitforge.model.plan import MachinePlan, Plan, served
from kitforge.model.steps import Step

# What stays between two grooves, mm, and how much of each runs at its full feed at least (choices of taste).
_WEB, _STEADY = 10.0, 20.0
# Feeds are set in whole tens of mm/min, as they are dialled in.
_ROUND = 10.0
_HAIR = 1e-6


def proof_strips(plan: Plan, wish: ProofWish) -> tuple[ProofStrip, ...]:
    """Return the strip of a step for every machine class on which it has settings, weakest class first."""
    step = next((one for one in plan.steps if _tries(one, wish)), None)
    if step is None:
        return ()
    found = (_strip(step, machine, wish) for machine in served(plan.machines))
    return tuple(one for one in found if one is not None)


def _tries(step: Step, wish: ProofWish) -> bool:
    return (step.part.key, step.operation.name) == (wish.part, wish.operation)


def _strip(step: Step, machine: MachinePlan, wish: ProofWish) -> ProofStrip | None:
    settings = machine.settings.get(step.key)
    if settings is None or settings.stepover is not None:  # a groove would take more than a step that goes sideways
        return None
    feeds = rising(settings.feed.low, settings.feed.high, wish.cuts)
    if len(feeds) < 2:
        return None
    length = max(wish.length, 2 * run_up(feeds[-1], machine.machine.acceleration.low) + _STEADY)
    depth = min(settings.depth_per_pass.start, step.depth)
    return ProofStrip(
        wish, step.key, machine.machine.key, settings.speed.start, depth, feeds,
        math.ceil(length), math.ceil(step.cutter.diameter + _WEB),
    )  # fmt: skip


def rising(low: float, high: float, count: int) -> tuple[float, ...]:
    """Return so many feeds from low to high, evenly, in whole tens and never beyond either end, each once."""
    least, most = math.ceil(low / _ROUND - _HAIR) * _ROUND, math.floor(high / _ROUND + _HAIR) * _ROUND
    if most < least:
        return ()
    steps = (least + (most - least) * number / (count - 1) for number in range(count))
    return tuple(dict.fromkeys(math.floor(feed / _ROUND + _HAIR) * _ROUND for feed in steps))


def run_up(feed: float, acceleration: float) -> float:
    """Return the way in mm until a feed, mm/min, is reached: v^2 / 2a, of uniform acceleration in mm/s2."""
    return (feed / 60) ** 2 / (2 * acceleration)
