"""Depth per pass: cutting length, rule by class, and the loads at a chip that every class uses alike."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import ceil

from kitforge.cutting.chipload import chip_range, rubbing_floor
from kitforge.cutting.job import Job, engagement
from kitforge.cutting.loads import Stiffness, loads
from kitforge.cutting.practice import (
    FINISHING_DEPTH_OVER_DIAMETER,
    SURFACING_DEPTH_OVER_DIAMETER,
    WIDEST_FOR_DEPTH,
    depth_share,
)
from kitforge.cutting.records import COMMON, DERIVED, CutterShape, Given, Limit, Loads
from kitforge.cutting.speed import feed_ceiling, reference_speed

LOAD_REASONS = ("machine force", "spindle power", "cutter bends", "cutter may break")
LoadOf = Callable[[Loads], float]


def depth_limits(job: Job, stepover: float | None, bend: Stiffness) -> tuple[Limit, ...]:
    """Return everything that bounds the depth of one pass, mm.

    Loads are taken at the low end of the hobby starting range (or the rubbing floor) and at one speed for all classes,
    so that a weaker class never gets a deeper pass; the feed window then follows from the depth.
    """
    if job.is_drilling:
        return (_whole_depth(job), _cutting_length(job), _peck_rule(job))
    plain = [_whole_depth(job), _cutting_length(job), _class_rule(job)]
    most = min(limit.value for limit in plain)
    return (*plain, *_load_limits(job, stepover, bend, most))


def passes_for(depth: float, per_pass: float) -> int:
    """Return the whole number of equal passes; a hair over counts as none (rounding of inch sizes)."""
    return max(1, ceil(depth / per_pass - 1e-6))


def reference_loads(job: Job, depth: float, stepover: float | None, bend: Stiffness) -> tuple[Loads, float]:
    """Return the loads of a pass `depth` deep at the common chip and speed, and that feed per tooth."""
    engaged = engagement(job, depth, stepover)
    fz = max(chip_range(job, engaged, depth).reference, rubbing_floor(job, engaged).value)
    speed, most = reference_speed(job), feed_ceiling(job).value / job.cutter.flutes
    found = loads(job, engaged, depth, fz, speed, bend)
    if fz * speed <= most:
        return found, fz
    # The class cannot feed that fast at this speed: its power is what it takes at its full feed.
    return replace(found, power=loads(job, engaged, depth, most / speed, speed, bend).power), fz


@dataclass(frozen=True, slots=True)
class LoadBound:
    """A load and its bound. per_newton: what turns the side force into that load, None for power."""

    reason: str
    given: Given
    load: LoadOf
    per_newton: Given | None
    hard: bool = True


def load_bounds(job: Job, bend: Stiffness) -> tuple[LoadBound, ...]:
    """Return the bounds of side force, power, deflection and bending stress."""
    source = job.machine.source
    force = Given("force the class bears", "F_max", job.machine.force_limit, "N", source)
    power = Given("power at the cutter, weak end of the class", "P_max", job.machine.cutter_power.low, "W", source)
    bends = job.given("deflection allowed", "d_max", job.bends_to, "mm")
    compliance = Given("bending per N", "c", bend.compliance, "mm/N", "this calculation")
    found = [
        LoadBound("machine force", force, lambda load: load.side_force, Given("", "1", 1.0, "", DERIVED)),
        LoadBound("spindle power", power, lambda load: load.power, None),
        LoadBound("cutter bends", bends, lambda load: load.deflection, compliance, hard=False),
    ]
    strength = job.tool_material.allowable_stress
    if strength is not None:
        allowed = job.given("stress allowed", "s_max", strength, "MPa")
        per_newton = Given("bending stress per N", "cs", bend.stress, "MPa/N", "this calculation")
        found.append(LoadBound("cutter may break", allowed, lambda load: load.bending_stress, per_newton))
    return tuple(found)


def _load_limits(job: Job, stepover: float | None, bend: Stiffness, most: float) -> list[Limit]:
    at_most, fz = reference_loads(job, most, stepover, bend)
    exceeded = [bound for bound in load_bounds(job, bend) if bound.load(at_most) > bound.given.value]
    return [_load_limit(job, stepover, bend, most, bound, bound.load(at_most), fz) for bound in exceeded]


def _load_limit(
    job: Job, stepover: float | None, bend: Stiffness, most: float, bound: LoadBound, load: float, fz: float
) -> Limit:
    value = _depth_at(job, stepover, bend, most, bound.load, bound.given.value)
    inputs = (
        bound.given,
        Given("depth tried", "ap_0", most, "mm", "this calculation"),
        Given("that load at the depth tried", "X", load, "", "this calculation"),
        Given("feed per tooth the depth is set by", "fz", fz, "mm", COMMON),
    )
    straight = most * bound.given.value / load
    formula = f"ap <= ap_0 * {bound.given.symbol} / X"
    if abs(straight - value) > 1e-3 * value:
        formula = f"ap <= by trial, until the load is {bound.given.symbol}"
    return Limit(value, bound.reason, formula, inputs, DERIVED, bound.hard)


def _depth_at(job: Job, stepover: float | None, bend: Stiffness, most: float, load_of: LoadOf, bound: float) -> float:
    """Return the depth at which a load reaches its bound, by bisection: loads rise with depth for every profile."""
    low, high = 0.0, most
    for _ in range(40):
        middle = (low + high) / 2
        if load_of(reference_loads(job, middle, stepover, bend)[0]) <= bound:
            low = middle
        else:
            high = middle
        if high - low < 1e-5:
            break
    return low


def _whole_depth(job: Job) -> Limit:
    inputs = (Given("height of wood to take away", "H", job.cut.depth, "mm", "kit"),)
    return Limit(job.cut.depth, "whole depth", "ap <= H", inputs, "kit")


def _cutting_length(job: Job) -> Limit:
    length = job.cutter.cutting_length
    inputs = (Given("cutting length", "APMX", length, "mm", "cutter"),)
    return Limit(length, "cutting length", "ap <= APMX", inputs, "cutter", hard=True)


def _peck_rule(job: Job) -> Limit:
    factor = job.data.plunge.peck_depth
    inputs = (
        Given("depth of one peck over diameter", "kp", factor.high, "", job.cite(factor)),
        Given("diameter", "D", job.cutter.diameter, "mm", "cutter"),
    )
    return Limit(factor.high * job.cutter.diameter, "chip clearing", "ap <= kp * D", inputs, inputs[0].source)


def _class_rule(job: Job) -> Limit:
    share = depth_share(job.machine)
    if job.along_wall:
        share = FINISHING_DEPTH_OVER_DIAMETER
    elif job.cutter.shape is CutterShape.SURFACING:
        share *= SURFACING_DEPTH_OVER_DIAMETER
    inputs = (Given("share for this class", "kD", share, "", COMMON), _counted(job))
    return Limit(share * inputs[1].value, "depth rule", "ap <= kD * D", inputs, COMMON)


def _counted(job: Job) -> Given:
    """Return the size that the depth rule counts: a bowl cutter's corner radius, else the diameter up to 12.7 mm."""
    cutter = job.cutter
    if cutter.shape is CutterShape.SURFACING:
        return Given("diameter", "D", cutter.diameter, "mm", "cutter")
    if cutter.shape is CutterShape.BOWL and cutter.corner_radius > 0:
        return Given("corner radius, a bowl cutter's working depth", "D", cutter.corner_radius, "mm", "cutter")
    name = f"diameter, counted up to {WIDEST_FOR_DEPTH:g} mm"
    return Given(name, "D", min(cutter.diameter, WIDEST_FOR_DEPTH), "mm", "cutter")
