"""Loads of a cut at the unfavourable end of the force model, and the chip at which a load limit is reached."""

from __future__ import annotations

from dataclasses import dataclass
from math import tau

from kitforge.cutting.bending import stepped_compliance, stepped_stress
from kitforge.cutting.chips import engaged_teeth, maximum_chip, mean_chip_ratio
from kitforge.cutting.force import axial_lift, cutting_power, tooth_force
from kitforge.cutting.job import Engagement, Job, stick_out
from kitforge.cutting.records import CutterKind, Loads


@dataclass(frozen=True, slots=True)
class Stiffness:
    """Deflection mm and bending stress MPa of the cutter per N at its tip, as stuck out."""

    compliance: float
    stress: float


def stiffness(job: Job) -> Stiffness:
    """Return how the cutter answers to a sideways force: cutting part at the equivalent diameter, shank full."""
    cutter, length, front = job.cutter, stick_out(job), front_diameter(job)
    core = job.data.equivalent_diameter.value
    return Stiffness(
        stepped_compliance(cutter.cutting_length, length, front, cutter.shank, job.tool_material.modulus.value, core),
        stepped_stress(cutter.cutting_length, length, front, cutter.shank, core),
    )


def front_diameter(job: Job) -> float:
    """Return the diameter that stands for the head: a V, bowl or surfacing head is taken as stiff as its shank."""
    shaped = job.cutter.shape in (CutterKind.V_BIT, CutterKind.BOWL, CutterKind.SURFACING)
    return job.cutter.shank / job.data.equivalent_diameter.value if shaped else job.cutter.diameter


def loads(job: Job, engaged: Engagement, depth: float, fz: float, speed: float, bend: Stiffness) -> Loads:
    """Return the loads at a feed per tooth mm and a spindle speed. Derived from the force model, see `force`."""
    model, density = job.model, job.material.density.value
    thick = maximum_chip(fz, engaged.worst)
    peak = model.specific_force(thick * engaged.ratio, density, job.worst_grain.value, job.unfavourable)
    tooth = tooth_force(peak, _edge_depth(job, depth), thick)
    side = tooth * job.data.force_ratios.side_resultant.value * engaged_teeth(job.cutter.flutes, engaged.worst)
    removal = engaged.section * fz * job.cutter.flutes * speed
    mean = fz * mean_chip_ratio(engaged.worst) * engaged.ratio
    average = model.specific_force(mean, density, job.mean_grain.value, job.unfavourable)
    sideways = 0.0 if job.is_drilling else side
    return Loads(
        specific_force=peak,
        tooth_force=tooth,
        side_force=side,
        lift=max(0.0, axial_lift(tooth, job.cutter.helix_angle)),
        power=cutting_power(average, removal),
        deflection=sideways * bend.compliance,
        bending_stress=sideways * bend.stress,
        removal=removal,
    )


def feed_for_side_force(job: Job, engaged: Engagement, depth: float, force: float) -> float:
    """Return the feed per tooth mm at which the side force reaches `force` N; the inverse of `loads`."""
    teeth = engaged_teeth(job.cutter.flutes, engaged.worst)
    per_mm = force / (job.data.force_ratios.side_resultant.value * teeth * _edge_depth(job, depth))
    factor = job.worst_grain.value * job.unfavourable
    chip = job.model.chip_for_line_force(per_mm * engaged.ratio, job.material.density.value, factor)
    return chip / engaged.ratio / maximum_chip(1.0, engaged.worst)


def feed_for_power(job: Job, engaged: Engagement, speed: float, power: float) -> float:
    """Return the feed per tooth mm at which the power reaches `power` W; the inverse of `loads`."""
    ratio = mean_chip_ratio(engaged.worst) * engaged.ratio
    per_mm = power * 60_000 * ratio / (engaged.section * job.cutter.flutes * speed)
    factor = job.mean_grain.value * job.unfavourable
    return job.model.chip_for_line_force(per_mm, job.material.density.value, factor) / ratio


def torque(power: float, speed: float) -> float:
    """Return the torque P / (2 pi n) in N m at a power W and a speed min-1. Source: definition of power."""
    return power * 60 / (tau * speed)


def _edge_depth(job: Job, depth: float) -> float:
    """Return the depth of edge in the chip: the pass, or half the diameter for a cutter that goes straight down."""
    return job.cutter.diameter / 2 if job.is_drilling else depth
