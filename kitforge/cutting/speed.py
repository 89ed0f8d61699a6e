"""The spindle speed: machine range, cutter maximum, chart by diameter, and chips that stay thick enough."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor

from kitforge.cutting.chips import speed_for_rim
from kitforge.cutting.job import Job
from kitforge.cutting.practice import (
    DRILL_START_SPEED,
    FLOOR_MARGIN,
    HIGHEST_START_SPEED,
    RAISED_SHARE_OF_FEED,
    START_RIM_SPEED,
    START_SHARE_OF_FEED,
)
from kitforge.cutting.records import COMMON, DERIVED, CutterKind, Given, Limit


@dataclass(frozen=True, slots=True)
class SpeedChoice:
    """The start speed min-1 and why, its dial position, and the feed mm/min a start value may use."""

    value: float
    reason: str
    dial: str | None
    feed_cap: float


def feed_ceiling(job: Job) -> Limit:
    """Return the most the class can feed in the direction of the cut: along the table, or down when drilling."""
    down = job.is_drilling
    value = job.machine.plunge_limit if down else job.machine.feed_limit
    name = "plunge limit of the class" if down else "feed limit of the class"
    reason = "machine plunge" if down else "machine feed"
    source = (job.machine.plunge if down else job.machine.feed).source
    inputs = (Given(name, "vf_max", value, "mm/min", source),)
    return Limit(value, reason, "vf <= vf_max", inputs, source, hard=True)


def speed_lows(job: Job) -> tuple[Limit, ...]:
    """Return what the speed must not fall below."""
    lowest, source = _machine_speeds(job)[0], job.machine.lowest_speed.source
    inputs = (Given("lowest speed of the class", "n_low", lowest, "min-1", source),)
    return (Limit(lowest, "machine speed", "n >= n_low", inputs, source, hard=True),)


def speed_highs(job: Job, least_chip: float) -> tuple[Limit, ...]:
    """Return what the speed must not exceed: machine, mark on the cutter, chart, chips at full feed above the floor."""
    highest, source = _machine_speeds(job)[1], job.machine.highest_speed.source
    machine = Given("highest speed of the class", "n_high", highest, "min-1", source)
    found = [Limit(highest, "machine speed", "n <= n_high", (machine,), source, hard=True)]
    if job.cutter.max_speed is not None:
        mark = Given(
            "highest speed marked on the cutter", "n_max", job.cutter.max_speed, "min-1", "marked on the cutter"
        )
        found.append(Limit(job.cutter.max_speed, "cutter maximum", "n <= n_max", (mark,), mark.source, hard=True))
    for row in job.data.speed_limits:
        if job.cutter.diameter <= row.diameter_max:
            chart = job.given(f"chart, cutters up to {row.diameter_max:g} mm", "n_D", row.rpm, "min-1")
            found.append(Limit(row.rpm.value, "cutter diameter", "n <= n_D", (chart,), chart.source, hard=True))
            break
    top = feed_ceiling(job)
    thin = top.value / (job.cutter.flutes * least_chip)
    inputs = (*top.inputs, _teeth(job), Given("rubbing floor of feed per tooth", "fz_min", least_chip, "mm", COMMON))
    found.append(Limit(thin, "chip too thin", "n <= vf_max / (z * fz_min)", inputs, DERIVED))
    return tuple(found)


def choose_speed(job: Job, low: float, high: float, least_chip: float) -> SpeedChoice | None:
    """Return the start speed between `low` and `high` min-1, or None when no dial position lies there.

    The charts' speed, no faster than their largest cutter's rim, and slow enough that the feed the class can give
    still makes chips well above the rubbing floor.
    """
    cap = feed_ceiling(job).value
    wanted, reason = _usual_speed(job)
    needed = _needed(job, least_chip, max(low, min(wanted, high)))
    used = max(START_SHARE_OF_FEED * cap, min(needed, RAISED_SHARE_OF_FEED * cap))
    fastest = used / (job.cutter.flutes * least_chip * FLOOR_MARGIN)
    if fastest < wanted:
        wanted, reason = fastest, "keeps the chip above the rubbing floor"
    value = min(max(wanted, low), high)
    if value != wanted:
        reason = "lowest allowed" if value == low else "highest allowed"
    value = max(low, floor_to(value, 100.0))
    return _on_dial(job, value, reason, low, high, used)


def dial_position(job: Job, speed: float) -> str | None:
    """Return the dial position that gives exactly this speed, or None."""
    return next((name for name, value in job.machine.dial if value == speed), None)


def reference_speed(job: Job) -> float:
    """Return the speed by which depth per pass is set, the same for every class that reaches it, min-1."""
    wanted = min(HIGHEST_START_SPEED, speed_for_rim(job.cutter.diameter, START_RIM_SPEED))
    return min(wanted, job.machine.fastest, job.cutter.max_speed or wanted)


def floor_to(value: float, step: float) -> float:
    """Return `value` rounded down to a multiple of `step`, for numbers a person can dial in."""
    return floor(value / step + 1e-9) * step


def _usual_speed(job: Job) -> tuple[float, str]:
    if job.cutter.shape is CutterKind.DRILL:
        return DRILL_START_SPEED, "speed of boring heads"
    wanted = speed_for_rim(job.cutter.diameter, START_RIM_SPEED)
    if wanted < HIGHEST_START_SPEED:
        return wanted, f"rim speed {START_RIM_SPEED:g} m/s"
    return HIGHEST_START_SPEED, "speed of the charts"


def _on_dial(job: Job, value: float, reason: str, low: float, high: float, cap: float) -> SpeedChoice | None:
    if not job.machine.dial:
        return SpeedChoice(value, reason, None, cap)
    fitting = [(name, speed) for name, speed in job.machine.dial if low <= speed <= high]
    if not fitting:
        return None
    name, speed = min(fitting, key=lambda pair: abs(pair[1] - value))
    return SpeedChoice(speed, f"{reason}; dial {name}", name, cap)


def _needed(job: Job, least_chip: float, speed: float) -> float:
    return job.cutter.flutes * least_chip * FLOOR_MARGIN * speed


def _machine_speeds(job: Job) -> tuple[float, float]:
    dial = [speed for _, speed in job.machine.dial]
    low, high = job.machine.slowest, job.machine.fastest
    return max(low, min(dial, default=low)), min(high, max(dial, default=high))


def _teeth(job: Job) -> Given:
    return Given("flutes", "z", job.cutter.flutes, "", "cutter")
