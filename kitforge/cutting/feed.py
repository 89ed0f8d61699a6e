"""The feed: chip charts, machine, force, power, bending; and the rubbing floor below."""

from __future__ import annotations

from dataclasses import dataclass

from kitforge.cutting.chipload import ChipRange
from kitforge.cutting.chips import feed as feed_rate
from kitforge.cutting.depth import LoadBound, load_bounds
from kitforge.cutting.engaged import Meeting, write_engagement
from kitforge.cutting.job import Engagement, Job, engagement
from kitforge.cutting.loads import Stiffness, feed_for_power, feed_for_side_force
from kitforge.cutting.notebook import Notebook
from kitforge.cutting.records import DERIVED, Given, Limit
from kitforge.cutting.sources import HERE, READINGS
from kitforge.cutting.speed import feed_ceiling
from kitforge.cutting.workings import force_constant, side_ratio


def feed_low(job: Job, floor: Limit, speed: float) -> Limit:
    """Return the least feed mm/min: z n times the rubbing floor."""
    teeth = job.cutter.flutes
    inputs = (*_teeth_and_speed(job, speed), Given("rubbing floor", "fz_min", floor.value, "mm", floor.source))
    return Limit(feed_rate(floor.value, teeth, speed), floor.reason, "vf >= fz_min * z * n", inputs, floor.source)


def feed_highs(
    job: Job, meeting: Met, speed: float, chips: ChipRange, bend: Stiffness, book: Notebook
) -> tuple[Limit, ...]:
    """Return everything that bounds the feed from above, mm/min, for a pass as it was met and a speed.

    A wall that a floor pass finishes beside it counts with its whole height.
    """
    teeth, base = job.cutter.flutes, _teeth_and_speed(job, speed)
    found: list[Limit | None] = [feed_ceiling(job)]
    for chip in chips.highs:
        value = feed_rate(chip.value, teeth, speed)
        found.append(Limit(value, chip.reason, f"vf <= {chip.formula} * z * n", (*chip.inputs, *base), chip.source))
    found += [_load_limit(job, meeting, speed, bound) for bound in load_bounds(job, bend)]
    wall = job.wall_beside()
    if wall:
        height = Given("height of the wall beside", "ap", wall.cut.depth, "mm", "kit")
        book.line("depth of the wall beside", "ap", "ap", (height,), wall.cut.depth, "mm", "kit")
        beside = meet(wall, wall.cut.depth, None, "on the wall beside", book)
        found += [_load_limit(wall, beside, speed, bound) for bound in load_bounds(wall, bend)]
    return tuple(limit for limit in found if limit)


@dataclass(frozen=True, slots=True)
class Met:
    """A depth mm with its engagement, as numbers and as inputs that were written down."""

    depth: float
    engaged: Engagement
    meeting: Meeting


def meet(job: Job, depth: float, stepover: float | None, where: str, book: Notebook) -> Met:
    """Return the engagement of a pass `depth` mm deep, written down."""
    engaged = engagement(job, depth, stepover)
    return Met(depth, engaged, write_engagement(job, engaged, depth, stepover, where, book))


def _load_limit(job: Job, met: Met, speed: float, bound: LoadBound) -> Limit | None:
    engaged, depth = met.engaged, met.depth
    if bound.per_newton is None:
        fz = feed_for_power(job, engaged, speed, bound.given.value)
        formula, inputs = _power_formula(job, met.meeting, fz)
    elif job.is_drilling:
        return None
    else:
        fz = feed_for_side_force(job, engaged, depth, bound.given.value / bound.per_newton.value)
        formula, inputs = _force_formula(job, met, fz, bound)
    value = feed_rate(fz, job.cutter.flutes, speed)
    inputs = (bound.given, *inputs, *_teeth_and_speed(job, speed))
    return Limit(value, bound.reason, formula, inputs, DERIVED, bound.hard)


def _force_formula(job: Job, met: Met, fz: float, bound: LoadBound) -> tuple[str, tuple[Given, ...]]:
    """Return vf from F = ks t ap A h^(1 - m) / e, the chip being fz k e on the slant of the edge."""
    inputs = [
        met.meeting.slant,
        met.meeting.peak,
        side_ratio(job),
        met.meeting.teeth,
        Given("depth of the pass", "ap", met.depth, "mm", HERE),
        Given("force constant", "Af", force_constant(job, job.worst_grain), "N/mm2 mm^m", HERE),
        Given("exponent of the chip", "m", job.model.chip_exponent, "", READINGS),
    ]
    force = bound.given.symbol
    if bound.per_newton is not None and bound.per_newton.symbol != "1":
        inputs.append(bound.per_newton)
        force = f"{bound.given.symbol} / {bound.per_newton.symbol}"
    chip = fz * inputs[0].value * inputs[1].value
    return f"vf <= z * n / (e * k) * {_chip_term(job, f'{force} * e / (ks * t * ap * Af)', chip)}", tuple(inputs)


def _power_formula(job: Job, meeting: Meeting, fz: float) -> tuple[str, tuple[Given, ...]]:
    """Return vf from P = A h^-m S vf / 60 000, the chip being fz k e on the slant of the edge."""
    inputs = (
        meeting.slant,
        meeting.mean,
        meeting.section,
        Given("force constant", "Ap", force_constant(job, job.mean_grain), "N/mm2 mm^m", HERE),
        Given("exponent of the chip", "m", job.model.chip_exponent, "", READINGS),
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
