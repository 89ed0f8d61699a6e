"""The feed: chip charts, machine, force, power, bending; and the rubbing floor below."""

from __future__ import annotations

from kitforge.cutting.chipload import ChipRange
from kitforge.cutting.chips import engaged_teeth, maximum_chip, mean_chip_ratio
from kitforge.cutting.chips import feed as feed_rate
from kitforge.cutting.depth import LoadBound, load_bounds
from kitforge.cutting.job import Engagement, Job, engagement
from kitforge.cutting.loads import Stiffness, feed_for_power, feed_for_side_force
from kitforge.cutting.records import DERIVED, Given, Limit
from kitforge.cutting.speed import feed_ceiling
from kitforge.cutting.workings import HERE, force_constant


def feed_low(job: Job, floor: Limit, speed: float) -> Limit:
    """Return the least feed mm/min: z n times the rubbing floor."""
    teeth = job.cutter.flutes
    inputs = (*_teeth_and_speed(job, speed), Given("rubbing floor", "fz_min", floor.value, "mm", floor.source))
    return Limit(feed_rate(floor.value, teeth, speed), floor.reason, "vf >= fz_min * z * n", inputs, floor.source)


def feed_highs(
    job: Job, engaged: Engagement, depth: float, speed: float, chips: ChipRange, bend: Stiffness
) -> tuple[Limit, ...]:
    """Return everything that bounds the feed from above, mm/min, at a depth per pass and a speed.

    A wall that a floor pass finishes beside it counts with its whole height.
    """
    teeth, base = job.cutter.flutes, _teeth_and_speed(job, speed)
    found: list[Limit | None] = [feed_ceiling(job)]
    for chip in chips.highs:
        value = feed_rate(chip.value, teeth, speed)
        found.append(Limit(value, chip.reason, f"vf <= {chip.formula} * z * n", (*chip.inputs, *base), chip.source))
    found += [_load_limit(job, engaged, depth, speed, bound) for bound in load_bounds(job, bend)]
    wall = job.wall_beside()
    if wall:
        beside = engagement(wall, wall.cut.depth, None)
        found += [_load_limit(wall, beside, wall.cut.depth, speed, bound) for bound in load_bounds(wall, bend)]
    return tuple(limit for limit in found if limit)


def _load_limit(job: Job, engaged: Engagement, depth: float, speed: float, bound: LoadBound) -> Limit | None:
    if bound.per_newton is None:
        fz = feed_for_power(job, engaged, speed, bound.given.value)
        formula, inputs = _power_formula(job, engaged, fz)
    elif job.is_drilling:
        return None
    else:
        fz = feed_for_side_force(job, engaged, depth, bound.given.value / bound.per_newton.value)
        formula, inputs = _force_formula(job, engaged, depth, fz, bound)
    value = feed_rate(fz, job.cutter.flutes, speed)
    inputs = (bound.given, *inputs, *_teeth_and_speed(job, speed))
    return Limit(value, bound.reason, formula, inputs, DERIVED, bound.hard)


def _force_formula(
    job: Job, engaged: Engagement, depth: float, fz: float, bound: LoadBound
) -> tuple[str, tuple[Given, ...]]:
    """Return vf from F = ks t ap A h^(1 - m) / e, the chip being fz k e on the slant of the edge."""
    inputs = [
        Given("chip on the slant over plain chip", "e", engaged.ratio, "", DERIVED),
        Given("thickest chip over feed per tooth", "k", maximum_chip(1.0, engaged.worst), "", DERIVED),
        job.given("side force over tooth force", "ks", job.data.force_ratios.side_resultant, ""),
        Given("teeth that cut at once", "t", engaged_teeth(job.cutter.flutes, engaged.worst), "", DERIVED),
        Given("deepest pass of the window", "ap", depth, "mm", HERE),
        Given("force constant", "Af", force_constant(job, job.worst_grain), "N/mm2 mm^m", HERE),
        Given("exponent of the chip", "m", job.model.chip_exponent, "", DERIVED),
    ]
    force = bound.given.symbol
    if bound.per_newton is not None and bound.per_newton.symbol != "1":
        inputs.append(bound.per_newton)
        force = f"{bound.given.symbol} / {bound.per_newton.symbol}"
    chip = fz * inputs[0].value * inputs[1].value
    return f"vf <= z * n / (e * k) * {_chip_term(job, f'{force} * e / (ks * t * ap * Af)', chip)}", tuple(inputs)


def _power_formula(job: Job, engaged: Engagement, fz: float) -> tuple[str, tuple[Given, ...]]:
    """Return vf from P = A h^-m S vf / 60 000, the chip being fz k e on the slant of the edge."""
    inputs = (
        Given("chip on the slant over plain chip", "e", engaged.ratio, "", DERIVED),
        Given("mean chip over feed per tooth", "k", mean_chip_ratio(engaged.worst), "", DERIVED),
        Given("largest section cut", "S", engaged.section, "mm2", DERIVED),
        Given("force constant", "Ap", force_constant(job, job.mean_grain), "N/mm2 mm^m", HERE),
        Given("exponent of the chip", "m", job.model.chip_exponent, "", DERIVED),
    )
    chip = fz * inputs[0].value * inputs[1].value
    return f"vf <= z * n / (e * k) * {_chip_term(job, '60000 * P_max * e * k / (S * z * n * Ap)', chip)}", inputs


def _chip_term(job: Job, line_force: str, chip: float) -> str:
    """Return the chip from a force per mm of edge; outside the model's range kc stays what it is at the range's end."""
    model = job.model
    if model.thinnest <= chip <= model.thickest:
        return f"({line_force})^(1 / (1 - m))"
    return f"({line_force}) * {model.thinnest if chip < model.thinnest else model.thickest:g}^m"


def _teeth_and_speed(job: Job, speed: float) -> tuple[Given, Given]:
    return (
        Given("flutes", "z", job.cutter.flutes, "", "cutter"),
        Given("spindle speed", "n", speed, "min-1", HERE),
    )
