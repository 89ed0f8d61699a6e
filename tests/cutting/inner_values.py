"""Values within a calculation that its results do not hold, by the symbols of the worksheet."""

from __future__ import annotations

from random_cuts import Case

from kitforge.cutting.chipload import chip_range, rubbing_floor, start_chip
from kitforge.cutting.depth import reference_loads
from kitforge.cutting.job import Job, engagement
from kitforge.cutting.loads import stiffness
from kitforge.cutting.records import CutSettings
from kitforge.cutting.speed import feed_ceiling, reference_speed
from kitforge.cutting.workings import force_constant
from kitforge.workshop.cutting_data import cutting_data


def inner_values(case: Case, found: CutSettings) -> dict[str, float]:
    """Return stiffness, force constants, the engagement and chips of the deepest pass, the loads of the first depth."""
    job = Job(case.cut, case.cutter, case.material, case.machine, cutting_data())
    bend = stiffness(job)
    lane = found.stepover.start if found.stepover else None
    deepest = max(found.depth_per_pass.high, found.depth_per_pass.start)
    met = engagement(job, deepest, lane)
    chips, floor = chip_range(job, met, deepest), rubbing_floor(job, met)
    values = {
        "c": bend.compliance,
        "cs": bend.stress,
        "Af": force_constant(job, job.worst_grain),
        "Ap": force_constant(job, job.mean_grain),
        "n_ref": reference_speed(job),
        "vf_cap": feed_ceiling(job).value,
        "deep.De": met.diameter,
        "deep.x": met.share,
        "deep.xw": met.worst,
        "deep.S": met.section,
        "deep.e": met.ratio,
        "fz_min": floor.value,
        "fz_range": chips.start.value,
        "fz_ref": chips.reference,
        "fz_0": start_chip(chips, floor),
    }
    if not job.is_drilling:
        plain = [limit.value for limit in found.depth_per_pass.highs if limit.source != "derived"]
        tried = reference_loads(job, min(plain), lane, bend)
        values |= {
            "ap_0": min(plain),
            "first.fz": tried.fz,
            "first.Fs": tried.loads.side_force,
            "first.P": tried.loads.power,
        }
    return values
