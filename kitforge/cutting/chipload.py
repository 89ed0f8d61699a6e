"""How thick a chip a cutter may and must take: published charts, hobby starting range, rubbing floor."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import pow

from kitforge.cutting.chips import depth_derating, mean_chip_ratio, thinning_factor
from kitforge.cutting.job import Engagement, Job
from kitforge.cutting.practice import FLOOR_MARGIN, MOST_THINNING, Tier, tier_of
from kitforge.cutting.records import CutterKind, Given, Limit, Work
from kitforge.cutting.sources import THE_PASS
from kitforge.workshop.cutting_data import ChipChart, StartingRange
from kitforge.workshop.records import MaterialKind, Span

SPIRAL_CHART = "spiral_solid_wood"
RIGID_CHART = "rigid_machine"
THINNING = f"1 / (2 * sqrt(xw - xw^2)) from the circle of the tooth, at most {MOST_THINNING:g} by common practice"
_END_MILLS = (CutterKind.STRAIGHT, CutterKind.UP_CUT, CutterKind.DOWN_CUT, CutterKind.COMPRESSION)
_TIER_PLACE = {Tier.LIGHT: 0.0, Tier.MIDDLE: 0.5, Tier.RIGID: 0.75}
_CHART_PLACE = {Tier.LIGHT: 0.5, Tier.MIDDLE: 0.75, Tier.RIGID: 1.0}


@dataclass(frozen=True, slots=True)
class ChipRange:
    """Feed per tooth mm: where to start and why, and every upper limit. reference: what depth per pass is set by.

    beyond: the diameter lies outside the starting ranges and their nearest row was taken.
    """

    start: Limit
    highs: tuple[Limit, ...]
    reference: float
    beyond: bool


def chip_range(job: Job, engaged: Engagement, depth: float) -> ChipRange:
    """Return the feed per tooth a class starts at and may go up to, at a depth per pass mm.

    Light classes start at the low end of the hobby range, middle ones at the low end of the spiral chart, rigid ones
    at the low end of the rigid-machine chart; cutters without a chart of their own move up within the hobby range.
    """
    if job.cutter.shape is CutterKind.V_BIT:
        return _v_range(job)
    hobby, beyond = _hobby_range(job)
    tier = tier_of(job.machine)
    charted = job.cutter.shape in _END_MILLS and not job.is_drilling
    base = _chart_span(job, RIGID_CHART if tier is Tier.RIGID else SPIRAL_CHART)
    spans: tuple[Span, ...] = (hobby, base) if charted else (hobby,)
    low, name = hobby.low * pow(hobby.high / hobby.low, _TIER_PLACE[tier]), "hobby starting range"
    if charted and tier is not Tier.LIGHT:
        spans, low, name = (base,), base.low, "chart"
    derate, thin = _derating(job, depth), _thinning(job, engaged)
    formula = "fz of the range x depth factor x thin-chip factor"
    start = Limit(low * derate * thin, f"{name} for this class", formula, (), spans[0].source)
    highs = tuple(_chip_limit(job, span, derate, thin) for span in spans)
    return ChipRange(start, highs, hobby.low * derate, beyond)


def rubbing_floor(job: Job, engaged: Engagement) -> Limit:
    """Return the least feed per tooth mm before the edge rubs and burns.

    A floor on feed per tooth for every cut, and one on the mean chip for roughing from the diameter on for which that
    floor was stated; below it the mean chip may shrink in the proportion of the two feed floors (derived).
    """
    rubbing = job.data.rubbing
    small = engaged.diameter < rubbing.split_diameter.value
    least = rubbing.feed_per_tooth_small if small else rubbing.feed_per_tooth
    floor = job.given("least feed per tooth", "fz_min", least, "mm")
    if job.cut.finishing or job.is_drilling:
        return Limit(least.value, "chip too thin", "fz >= fz_min", (floor,), floor.source)
    mean = rubbing.mean_chip.value * least.value / rubbing.feed_per_tooth.value
    by_mean = mean / mean_chip_ratio(engaged.share)
    if by_mean <= least.value:
        return Limit(least.value, "chip too thin", "fz >= fz_min", (floor,), floor.source)
    inputs = (
        Given("least mean chip", "hm_min", mean, "mm", job.cite(rubbing.mean_chip)),
        Given("engaged share of the diameter", "x", engaged.share, "", THE_PASS),
    )
    return Limit(by_mean, "chip too thin", "fz >= hm_min * acos(1 - 2 * x) / (2 * x)", inputs, floor.source)


def start_chip(chips: ChipRange, floor: Limit) -> float:
    """Return the feed per tooth to start at: that of the range, but a margin above the rubbing floor."""
    return max(chips.start.value, floor.value * FLOOR_MARGIN)


def material_factor(job: Job) -> float:
    """Return what hardwood chip loads are multiplied by for the kind of material."""
    return job.data.material_factors[job.material.kind].value


def chart_value(chart: ChipChart, kind: MaterialKind, diameter: float) -> tuple[float, float] | None:
    """Return (low, high) feed per tooth of a chart, linear between its diameters; None if it lacks the material.

    Below the smallest diameter the chip shrinks in proportion, above the largest it stays.
    """
    rows = [(row.diameter, row.low, row.high) for row in chart.rows if kind in row.kinds]
    if not rows:
        return None
    return _interpolate(rows, diameter)


def find_chart(charts: Sequence[ChipChart], key: str) -> ChipChart:
    """Return the chart with this key. Raises KeyError."""
    for chart in charts:
        if chart.key == key:
            return chart
    raise KeyError(key)


def starting_range(ranges: Sequence[StartingRange], diameter: float) -> tuple[StartingRange, bool]:
    """Return the hobby range for a diameter and whether the diameter lies outside all of them (nearest one taken)."""
    for row in ranges:
        if row.diameter_low <= diameter <= row.diameter_high:
            return row, False
    return (ranges[0] if diameter < ranges[0].diameter_low else ranges[-1]), True


def _interpolate(rows: list[tuple[float, float, float]], diameter: float) -> tuple[float, float]:
    first, last = rows[0], rows[-1]
    if diameter <= first[0]:
        return first[1] * diameter / first[0], first[2] * diameter / first[0]
    for (d1, low1, high1), (d2, low2, high2) in pairwise(rows):
        if diameter <= d2:
            part = (diameter - d1) / (d2 - d1)
            return low1 + (low2 - low1) * part, high1 + (high2 - high1) * part
    return last[1], last[2]


def _chart_span(job: Job, key: str) -> Span:
    chart = find_chart(job.data.chip_charts, key)
    source = job.data.sources.get(chart.source, chart.source)
    found = chart_value(chart, job.material.kind, job.cutter.diameter)
    if found:
        return Span(*found, source)
    hardwood = chart_value(chart, MaterialKind.HARDWOOD, job.cutter.diameter)
    if hardwood is None:
        raise KeyError(MaterialKind.HARDWOOD)
    factor = material_factor(job)
    return Span(hardwood[0] * factor, hardwood[1] * factor, f"{source}, hardwood row x material factor")


def _hobby_range(job: Job) -> tuple[Span, bool]:
    diameter = job.cutter.diameter
    row, beyond = starting_range(job.data.starting_ranges, diameter)
    # Outside the ranges the chip of the nearest row's edge is kept for wide cutters and shrinks for small ones.
    used = min(diameter, row.diameter_high) * material_factor(job)
    span = row.fz_over_d
    return Span(
        span.low * used, span.high * used, f"hobby starting range by diameter and material; {job.cite(span)}"
    ), beyond


def _v_range(job: Job) -> ChipRange:
    known = job.data.v_groove_chip_load.get(job.material.kind) or job.data.v_groove_chip_load[MaterialKind.HARDWOOD]
    share = _CHART_PLACE[tier_of(job.machine)]
    chart = job.given("feed per tooth of the V-groove chart", "fz", known, "mm")
    start = Limit(known.value * share, "share of the V-groove chart", f"{share:g} fz", (chart,), chart.source)
    top = Limit(known.value, "chip too thick", "fz", (chart,), chart.source)
    return ChipRange(start, (top,), known.value * _CHART_PLACE[Tier.LIGHT], beyond=False)


def _chip_limit(job: Job, span: Span, derate: float, thin: float) -> Limit:
    inputs = (
        Given("highest feed per tooth of the range", "fz", span.high, "mm", span.source),
        Given("factor for the depth per pass", "kd", derate, "", job.cite(job.data.depth_derating[0].factor)),
        Given("factor for the thin chip of a narrow cut", "kt", thin, "", THINNING),
    )
    return Limit(span.high * derate * thin, "chip too thick", "fz * kd * kt", inputs, span.source)


def _derating(job: Job, depth: float) -> float:
    if job.is_drilling:
        return 1.0
    rows = [(row.ap_over_d, row.factor.value) for row in job.data.depth_derating]
    return depth_derating(depth / job.cutter.diameter, rows)


def _thinning(job: Job, engaged: Engagement) -> float:
    """Return the gain for narrow cuts, only where the engagement does not return to the full one."""
    if job.cut.work in (Work.FACE, Work.SURFACING) or job.along_wall:
        return min(MOST_THINNING, thinning_factor(engaged.share), thinning_factor(engaged.worst))
    return 1.0
