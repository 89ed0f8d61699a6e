"""How the cutter goes down, how fast, and why a cutter cannot go down at all."""

from __future__ import annotations

from dataclasses import replace
from math import radians, sin

from kitforge.cutting.job import Job
from kitforge.cutting.records import Cut, CutterKind, Entry, Given, Limit, Manner, Problem, Trouble, Window, Work
from kitforge.cutting.shape import ramp_length


def plunge_window(job: Job, feed: Window) -> Window:
    """Return the plunge feed: a quarter to half of the feed in use, start at feed / flutes, under the class limit.

    Source of feed / flutes: solid-carbide spiral chart; of the range: common practice. Drilling is all plunge, so there
    the feed window itself holds.
    """
    if job.is_drilling:
        return replace(feed, quantity="plunge")
    ratio = job.data.plunge.feed_ratio
    used = Given("feed in use", "vf", feed.start, "mm/min", "this calculation")
    share = Limit(ratio.high * feed.start, "half the feed", f"vz <= {ratio.high:g} * vf", (used,), job.cite(ratio))
    top = Given("plunge limit of the class", "vz_max", job.machine.plunge_limit, "mm/min", job.machine.plunge.source)
    machine = Limit(top.value, "machine plunge", "vz <= vz_max", (top,), top.source, hard=True)
    high = min((share, machine), key=lambda limit: limit.value)
    least = min(ratio.low * feed.start, ratio.low / ratio.high * top.value)
    rule = f"vz >= min({ratio.low:g} * vf, {ratio.low / ratio.high:g} * vz_max)"
    low = Limit(least, "chip too thin", rule, (used, top), job.cite(ratio))
    start = min(max(feed.start / job.cutter.flutes, low.value), high.value)
    return Window(
        "plunge", low.value, start, high.value, "mm/min", low, high, "feed over flutes, a quarter to half the feed",
        (low,), (share, machine),
    )  # fmt: skip


def entry_for(job: Job, depth: float, feed: float, plunge: float) -> Entry | Problem:
    """Return how the cutter goes down for a pass of `depth` mm, or why it cannot.

    feed, plunge: mm/min in use. Ramp angles, helix paths and pecks: common practice.
    """
    cut, cutter = job.cut, job.cutter
    if cut.work is Work.DRILL:
        return _drilling(job, depth, plunge)
    if cut.open_entry or cut.work in (Work.FACE, Work.SURFACING, Work.CHAMFER):
        return Entry(Manner.OUTSIDE, plunge)
    if cutter.centre_cutting and (depth <= cutter.diameter / 2 or cutter.shape is CutterKind.V_BIT):
        return Entry(Manner.STRAIGHT, plunge)
    return _sloping(job, depth, feed) or _no_way_down(job, depth, plunge)


def cannot_drill(job: Job) -> Problem | None:
    """Return why a cutter cannot make a hole at all, or None."""
    if job.cut.work is not Work.DRILL or job.cutter.centre_cutting:
        return None
    return _blocked(job, "a hole is drilled straight down, and this cutter has no edge at its centre")


def _drilling(job: Job, depth: float, plunge: float) -> Entry:
    if job.cut.depth <= job.data.plunge.single_peck.value * job.cutter.diameter:
        return Entry(Manner.STRAIGHT, plunge)
    return Entry(Manner.PECK, plunge, peck=depth)


def _sloping(job: Job, depth: float, feed: float) -> Entry | None:
    rules = job.data.plunge
    flutes_feed = feed * rules.ramp_feed_over_feed_times_flutes.value / job.cutter.flutes
    for angle in (rules.ramp_angle_typical.value, rules.ramp_angle.high):
        travel = ramp_length(depth, angle)
        if _has_room(job.cut, travel):
            return Entry(Manner.RAMP, _held_down(job, flutes_feed, angle), angle, travel)
    room = (job.cut.width or 0.0) - job.cutter.diameter
    path = min(room, rules.helix_path.high * job.cutter.diameter)
    if path < rules.helix_path.low * job.cutter.diameter:
        return None
    angle = min(rules.ramp_angle_typical.value, rules.helix_angle.high)
    return Entry(Manner.HELIX, _held_down(job, flutes_feed, angle), angle, ramp_length(depth, angle), path)


def _has_room(cut: Cut, travel: float) -> bool:
    return cut.length is None or cut.length >= travel


def _held_down(job: Job, feed: float, angle: float) -> float:
    """Return the feed along a slope, so that its downward part stays within the class's plunge limit."""
    return min(feed, job.machine.plunge_limit / sin(radians(angle)))


def _no_way_down(job: Job, depth: float, plunge: float) -> Entry | Problem:
    if job.cutter.centre_cutting:
        return Entry(Manner.STRAIGHT, plunge)
    steep = job.data.plunge.ramp_angle.high
    need = ramp_length(depth, steep)
    return _blocked(
        job,
        f"a ramp of {steep:g} deg needs {need:.1f} mm of travel for a pass of {depth:.2f} mm, the cut has "
        f"{job.cut.length or 0:.1f} mm, and a helix needs a width of "
        f"{job.cutter.diameter * (1 + job.data.plunge.helix_path.low):.1f} mm",
    )


def _blocked(job: Job, why: str) -> Problem:
    message = f"The {job.cutter.shape} of {job.cutter.diameter:g} mm cannot go down here: {why}."
    return Problem(Trouble.ENTRY, message, ("use a centre-cutting cutter", "drill a starting hole"), blocking=True)
