"""The feed: chip charts, machine, force, power, bending; and the rubbing floor below."""

from __future__ import annotations

from kitforge.cutting.chipload import ChipRange
from kitforge.cutting.chips import feed as feed_rate
from kitforge.cutting.depth import load_bounds
from kitforge.cutting.job import Engagement, Job
from kitforge.cutting.loads import Stiffness, feed_for_power, feed_for_side_force
from kitforge.cutting.records import DERIVED, Given, Limit
from kitforge.cutting.speed import feed_ceiling


def feed_low(job: Job, floor: Limit, speed: float) -> Limit:
    """Return the least feed mm/min: z n times the rubbing floor."""
    teeth = job.cutter.flutes
    inputs = (*_teeth_and_speed(job, speed), Given("rubbing floor", "fz_min", floor.value, "mm", floor.source))
    return Limit(feed_rate(floor.value, teeth, speed), floor.reason, "vf >= fz_min z n", inputs, floor.source)


def feed_highs(
    job: Job, engaged: Engagement, depth: float, speed: float, chips: ChipRange, bend: Stiffness
) -> tuple[Limit, ...]:
    """Return everything that bounds the feed from above, mm/min, at a depth per pass and a speed."""
    teeth, base = job.cutter.flutes, _teeth_and_speed(job, speed)
    found = [feed_ceiling(job)]
    for chip in chips.highs:
        value = feed_rate(chip.value, teeth, speed)
        found.append(Limit(value, chip.reason, f"{chip.formula} z n", (*chip.inputs, *base), chip.source))
    for reason, bound, fz, hard in _by_load(job, engaged, depth, speed, bend):
        inputs = (
            bound,
            Given("depth per pass, largest allowed", "ap", depth, "mm", DERIVED),
            Given("unfavourable end: used edge and band", "w b", job.unfavourable, "", DERIVED),
            *base,
        )
        found.append(
            Limit(feed_rate(fz, teeth, speed), reason, f"vf at which {bound.name} is reached", inputs, DERIVED, hard)
        )
    return tuple(found)


def _by_load(
    job: Job, engaged: Engagement, depth: float, speed: float, bend: Stiffness
) -> list[tuple[str, Given, float, bool]]:
    per_newton = {"machine force": 1.0, "cutter bends": bend.compliance, "cutter may break": bend.stress}
    found = []
    for reason, bound, _, hard in load_bounds(job):
        if reason == "spindle power":
            fz = feed_for_power(job, engaged, speed, bound.value)
        elif job.is_drilling:
            continue
        else:
            fz = feed_for_side_force(job, engaged, depth, bound.value / per_newton[reason])
        found.append((reason, bound, fz, hard))
    return found


def _teeth_and_speed(job: Job, speed: float) -> tuple[Given, Given]:
    return (
        Given("flutes", "z", job.cutter.flutes, "", "cutter"),
        Given("spindle speed", "n", speed, "min-1", "this calculation"),
    )
