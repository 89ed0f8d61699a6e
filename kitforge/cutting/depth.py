"""Depth per pass: cutting length, rule by class, and the loads at a chip that every class uses alike."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import ceil

from kitforge.cutting.chipload import chip_range, rubbing_floor
from kitforge.cutting.engaged import write_engagement
from kitforge.cutting.job import Engagement, Job, engagement
from kitforge.cutting.loads import Stiffness, loads
from kitforge.cutting.notebook import Notebook
from kitforge.cutting.practice import (
    FINISHING_DEPTH_OVER_DIAMETER,
    SURFACING_DEPTH_OVER_DIAMETER,
    WIDEST_FOR_DEPTH,
    depth_share,
)
from kitforge.cutting.records import COMMON, DERIVED, CutterKind, Given, Limit, Loads
from kitforge.cutting.sources import HERE
from kitforge.cutting.speed import feed_ceiling, reference_speed
from kitforge.cutting.workings import write_reference

PIECE_HELD = "piece held"
LOAD_REASONS = ("machine force", "spindle power", "cutter bends", "cutter may break", PIECE_HELD)
LoadOf = Callable[[Loads], float]


def depth_limits(job: Job, stepover: float | None, bend: Stiffness, book: Notebook) -> tuple[Limit, ...]:
    """Return everything that bounds the depth of one pass, mm.

    Loads are taken at the low end of the hobby starting range (or the rubbing floor) and at one speed for all classes,
    so that a weaker class never gets a deeper pass; the feed window then follows from the depth. All are written down.
    """
    plain = [_whole_depth(job), _cutting_length(job), _peck_rule(job) if job.is_drilling else _class_rule(job)]
    for limit in plain:
        _write(limit, book)
    if job.is_drilling:
        return tuple(plain)
    most = min(limit.value for limit in plain)
    loaded = _load_limits(job, stepover, bend, most, book)
    for limit in loaded:
        _write(limit, book)
    return (*plain, *loaded)


def _write(limit: Limit, book: Notebook) -> None:
    book.limit("depth per pass at most", "ap", "mm", limit)


def passes_for(depth: float, per_pass: float) -> int:
    """Return the whole number of equal passes; a hair over counts as none (rounding of inch sizes)."""
    return max(1, ceil(depth / per_pass - 1e-6))


@dataclass(frozen=True, slots=True)
class Reference:
    """Loads of a pass at the chip fz mm and the speed that depths are set by; power_fz: the chip for the power."""

    engaged: Engagement
    loads: Loads
    fz: float
    power_fz: float


def reference_loads(job: Job, depth: float, stepover: float | None, bend: Stiffness) -> Reference:
    """Return the loads of a pass `depth` deep at the common chip and speed."""
    engaged = engagement(job, depth, stepover)
    fz = max(chip_range(job, engaged, depth).reference, rubbing_floor(job, engaged).value)
    speed, most = reference_speed(job), feed_ceiling(job).value / job.cutter.flutes
    found = loads(job, engaged, depth, fz, speed, bend)
    if fz * speed <= most:
        return Reference(engaged, found, fz, fz)
    # The class cannot feed that fast at this speed: its power is what it takes at its full feed.
    power = loads(job, engaged, depth, most / speed, speed, bend).power
    return Reference(engaged, replace(found, power=power), fz, most / speed)


@dataclass(frozen=True, slots=True)
class LoadBound:
    """A load and its bound. per_newton: what turns the side force into that load, None for power."""

    reason: str
    given: Given
    load: LoadOf
    per_newton: Given | None
    hard: bool = True


def load_bounds(job: Job, bend: Stiffness) -> tuple[LoadBound, ...]:
    """Return the bounds of side force, power, deflection and bending stress, and of what keeps the piece in place."""
    machine = job.machine
    force = Given("force the class bears", "F_max", machine.force_limit, "N", machine.side_force.source)
    able = machine.cutter_power
    power = Given("power at the cutter, weak end of the class", "P_max", able.low, "W", able.source)
    bends = job.given("deflection allowed", "d_max", job.bends_to, "mm")
    compliance = Given("bending per N", "c", bend.compliance, "mm/N", HERE)
    found = [
        LoadBound("machine force", force, lambda load: load.side_force, Given("", "1", 1.0, "", DERIVED)),
        LoadBound("spindle power", power, lambda load: load.power, None),
        LoadBound("cutter bends", bends, lambda load: load.deflection, compliance, hard=False),
    ]
    if job.cut.keeping is not None:
        held = Given(f"what is borne by {job.cut.keeping.name}", "F_hold", job.cut.keeping.bears, "N", HERE)
        found.append(LoadBound(PIECE_HELD, held, lambda load: load.side_force, Given("", "1", 1.0, "", DERIVED)))
    strength = job.tool_material.allowable_stress
    if strength is not None:
        allowed = job.given("stress allowed", "s_max", strength, "MPa")
        per_newton = Given("bending stress per N", "cs", bend.stress, "MPa/N", HERE)
        found.append(LoadBound("cutter may break", allowed, lambda load: load.bending_stress, per_newton))
    return tuple(found)


def _load_limits(job: Job, stepover: float | None, bend: Stiffness, most: float, book: Notebook) -> list[Limit]:
    tried = reference_loads(job, most, stepover, bend)
    exceeded = [bound for bound in load_bounds(job, bend) if bound.load(tried.loads) > bound.given.value]
    if not exceeded:
        return []
    loaded = _write_tried(job, tried, most, stepover, book)
    return [_load_limit(job, stepover, bend, most, bound, bound.load(tried.loads), loaded) for bound in exceeded]


def _write_tried(
    job: Job, tried: Reference, most: float, stepover: float | None, book: Notebook
) -> tuple[Given, Given]:
    """Write down the loads of the depth tried first and return side force and power."""
    floor, chips = rubbing_floor(job, tried.engaged), chip_range(job, tried.engaged, most)
    meeting = write_engagement(job, tried.engaged, most, stepover, "at the depth tried", book)
    inputs = (
        Given("low end of the hobby starting range", "fz_r", chips.reference, "mm", COMMON),
        Given("least feed per tooth there", "fz_min", floor.value, "mm", floor.source),
    )
    name = "feed per tooth that depths are set by"
    book.line(name, "fz", "max(fz_r, fz_min)", inputs, tried.fz, "mm", COMMON)
    fz = Given(name, "fz", tried.fz, "mm", HERE)
    return write_reference(job, meeting, fz, tried.power_fz, most, tried.loads, book)


def _load_limit(
    job: Job, stepover: float | None, bend: Stiffness, most: float, bound: LoadBound, load: float,
    loaded: tuple[Given, Given],
) -> Limit:  # fmt: skip
    value = _depth_at(job, stepover, bend, most, bound.load, bound.given.value)
    side, power = loaded
    tried = Given("depth tried", "ap_0", most, "mm", HERE)
    per_newton = bound.per_newton
    inputs: tuple[Given, ...] = (bound.given, tried, power if per_newton is None else side)
    formula = f"ap <= ap_0 * {bound.given.symbol} / {inputs[-1].symbol}"
    if per_newton is not None and per_newton.symbol != "1":
        inputs, formula = (*inputs, per_newton), f"ap <= ap_0 * {bound.given.symbol} / (X * {per_newton.symbol})"
    if abs(most * bound.given.value / load - value) > 1e-3 * value:
        formula = f"ap <= by trial, until the load is {bound.given.symbol}"
    return Limit(value, bound.reason, formula, inputs, DERIVED, bound.hard)


def _depth_at(job: Job, stepover: float | None, bend: Stiffness, most: float, load_of: LoadOf, bound: float) -> float:
    """Return the depth at which a load reaches its bound, by bisection: loads rise with depth for every profile."""
    low, high = 0.0, most
    for _ in range(40):
        middle = (low + high) / 2
        if load_of(reference_loads(job, middle, stepover, bend).loads) <= bound:
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
    elif job.cutter.shape is CutterKind.SURFACING:
        share *= SURFACING_DEPTH_OVER_DIAMETER
    inputs = (Given("share for this class", "kD", share, "", COMMON), _counted(job))
    return Limit(share * inputs[1].value, "depth rule", "ap <= kD * D", inputs, COMMON)


def _counted(job: Job) -> Given:
    """Return the size that the depth rule counts: a bowl cutter's corner radius, else the diameter up to 12.7 mm."""
    cutter = job.cutter
    if cutter.shape is CutterKind.SURFACING:
        return Given("diameter", "D", cutter.diameter, "mm", "cutter")
    if cutter.shape is CutterKind.BOWL and cutter.corner_radius > 0:
        return Given("corner radius, a bowl cutter's working depth", "D", cutter.corner_radius, "mm", "cutter")
    name = f"diameter, counted up to {WIDEST_FOR_DEPTH:g} mm"
    return Given(name, "D", min(cutter.diameter, WIDEST_FOR_DEPTH), "mm", "cutter")
