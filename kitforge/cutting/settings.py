"""From a cut, a cutter, a wood and a machine class to its settings, each bound with where it comes from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from kitforge.cutting.chipload import ChipRange, chip_range, rubbing_floor, start_chip
from kitforge.cutting.chips import feed as feed_rate
from kitforge.cutting.chips import feed_per_tooth, maximum_chip, mean_chip, rim_speed, thinning_factor
from kitforge.cutting.depth import LOAD_REASONS, depth_limits, passes_for
from kitforge.cutting.entry import entry_for, plunge_window
from kitforge.cutting.feed import feed_highs, feed_low
from kitforge.cutting.job import Engagement, Job, engagement, stick_out
from kitforge.cutting.judge import verdict_note
from kitforge.cutting.loads import Stiffness, loads, stiffness
from kitforge.cutting.notebook import Notebook
from kitforge.cutting.notes import blocking_problems, crossed, risk_notes
from kitforge.cutting.practice import LEAST_PASS, START_SHARE_OF_LOAD
from kitforge.cutting.records import (
    COMMON,
    DERIVED,
    Chip,
    Cut,
    CutSettings,
    CutterGeometry,
    Given,
    Limit,
    Loads,
    NoWindow,
    Problem,
    Window,
    Wish,
)
from kitforge.cutting.speed import SpeedChoice, choose_speed, dial_position, floor_to, speed_highs, speed_lows
from kitforge.cutting.stepover import cusp_left, stepover_window
from kitforge.cutting.workings import HERE, MILLING, write_force_constant, write_loads, write_stiffness
from kitforge.workshop.cutting_data import CuttingData
from kitforge.workshop.records import MachineClass, Material

AUTHOR = "the author's own"
_NO_LOW = Limit(0.0, "no lower limit", "a flat cut makes the same chip at any depth", (), DERIVED)


class _Crossed(Exception):  # noqa: N818 - ends a calculation, never leaves this module
    def __init__(self, problem: Problem) -> None:
        self.problem = problem


def settings(
    cut: Cut,
    cutter: CutterGeometry,
    material: Material,
    machine: MachineClass,
    data: CuttingData,
    wish: Wish | None = None,
) -> CutSettings | NoWindow:
    """Return the settings of a cut on a machine class, or every reason why there are none.

    With a `wish` the author's values take the place of the start values, the windows are computed for them, and each
    value outside its window makes a note. A start value without a wish lies inside all limits; the high ends of depth
    and feed may be used together.
    """
    job, wish, book = Job(cut, cutter, material, machine, data), wish or Wish(), Notebook()
    if job.is_drilling:
        # A drill's feed and plunge are one and the same.
        wish = replace(wish, feed=wish.feed or wish.plunge, plunge=None)
    problems = blocking_problems(job)
    if problems:
        return NoWindow(problems, book.trail())
    try:
        return _settle(job, wish, book)
    except _Crossed as stop:
        return NoWindow((stop.problem,), book.trail())


def _settle(job: Job, wish: Wish, book: Notebook) -> CutSettings:
    bend = stiffness(job)
    write_stiffness(job, bend, book)
    stepover = stepover_window(job, wish.stepover or job.cut.stepover)
    lane = stepover.start if stepover else None
    _write_limits(book, stepover, "stepover", "s", "mm")
    write_force_constant(job, job.worst_grain, "Af", "the peak force", book)
    write_force_constant(job, job.mean_grain, "Ap", "the power", book)
    depth, passes = _depth_window(job, wish, lane, bend, book)
    deepest = max(depth.high, depth.start)
    engaged = engagement(job, deepest, lane)
    chips, floor = chip_range(job, engaged, deepest), rubbing_floor(job, engaged)
    speed, choice = _speed_window(job, wish, floor, book)
    feed = _feed_window(job, wish, engaged, deepest, choice, chips, floor, bend, book)
    plunge = _with_wish(plunge_window(job, feed), wish.plunge)
    if not job.is_drilling:
        _write_limits(book, plunge, "plunge", "vz", "mm/min")
    entry = entry_for(job, depth.start, feed.start, plunge.start)
    if isinstance(entry, Problem):
        raise _Crossed(entry)
    used = engagement(job, depth.start, lane)
    chip = _chip(job, used, feed.start, speed.start, book)
    worst = _hardest(job, used, depth.start, chip.feed_per_tooth, speed.start, bend)
    left = cusp_left(job, lane)
    found = CutSettings(
        speed, feed, plunge, depth, stepover, passes, entry, stick_out(job), chip, worst.loads, left, choice.dial
    )
    write_loads(worst.job, found, worst.engaged, worst.depth, bend, book)
    return replace(found, notes=_notes(job, found, floor, chips), trail=book.trail())


class _Case(NamedTuple):
    job: Job
    engaged: Engagement
    depth: float
    loads: Loads


def _hardest(job: Job, engaged: Engagement, depth: float, fz: float, speed: float, bend: Stiffness) -> _Case:
    """Return the cut itself or the wall beside it, whichever pushes harder."""
    cases = [_Case(job, engaged, depth, loads(job, engaged, depth, fz, speed, bend))]
    wall = job.wall_beside()
    if wall:
        beside = engagement(wall, wall.cut.depth, None)
        cases.append(_Case(wall, beside, wall.cut.depth, loads(wall, beside, wall.cut.depth, fz, speed, bend)))
    return max(cases, key=lambda case: case.loads.side_force)


def _depth_window(job: Job, wish: Wish, lane: float | None, bend: Stiffness, book: Notebook) -> tuple[Window, int]:
    highs = depth_limits(job, lane, bend)
    high = _tightest(highs)
    for limit in highs:
        book.limit("depth per pass at most", "ap", "mm", limit)
    least = Limit(min(LEAST_PASS, job.cut.depth), "thinnest pass", f"ap >= {LEAST_PASS:g} mm", (), COMMON)
    if high.value < least.value * (1 - 1e-9):
        raise _Crossed(crossed(job, "depth per pass", "mm", least, high))
    per_pass = high.value if wish.depth_per_pass is None else min(wish.depth_per_pass, job.cut.depth)
    passes = passes_for(job.cut.depth, per_pass)
    start = job.cut.depth / passes
    reason = AUTHOR if wish.depth_per_pass is not None else f"{passes} equal passes"
    height = Given("height of wood to take away", "H", job.cut.depth, "mm", "kit")
    count = Given("whole number of passes", "N", passes, "", HERE)
    book.line("depth per pass, equal passes", "ap", "H / N", (height, count), start, "mm", DERIVED)
    author = wish.depth_per_pass is not None
    window = Window("depth per pass", 0.0, start, high.value, "mm", _NO_LOW, high, reason, (_NO_LOW,), highs, author)
    return window, passes


def _speed_window(job: Job, wish: Wish, floor: Limit, book: Notebook) -> tuple[Window, SpeedChoice]:
    lows, highs = speed_lows(job), speed_highs(job, floor.value)
    low, high = max(lows, key=lambda limit: limit.value), _tightest(highs)
    book.limit("least feed per tooth", "fz_min", "mm", floor)
    for limit in (*lows, *highs):
        book.limit("spindle speed", "n", "min-1", limit)
    choice = choose_speed(job, low.value, high.value, floor.value) if low.value <= high.value else None
    if choice is None:
        raise _Crossed(crossed(job, "speed", "min-1", low, high))
    usual = Given(choice.reason, "n_0", choice.value, "min-1", COMMON)
    book.line("spindle speed to start with", "n", "n_0", (usual,), choice.value, "min-1", COMMON)
    window = Window(
        "speed", low.value, choice.value, high.value, "min-1", low, high, choice.reason, lows, highs
    )  # fmt: skip
    if wish.speed is not None:
        choice = SpeedChoice(wish.speed, AUTHOR, dial_position(job, wish.speed), choice.feed_cap)
    return _with_wish(window, wish.speed), choice


def _feed_window(
    job: Job, wish: Wish, engaged: Engagement, depth: float, speed: SpeedChoice, chips: ChipRange, floor: Limit,
    bend: Stiffness, book: Notebook,
) -> Window:  # fmt: skip
    low = feed_low(job, floor, speed.value)
    highs = feed_highs(job, engaged, depth, speed.value, chips, bend)
    high = _tightest(highs)
    book.limit("feed at least", "vf", "mm/min", low)
    for limit in highs:
        book.limit("feed at most", "vf", "mm/min", limit)
    if low.value > high.value * (1 + 1e-9):
        raise _Crossed(crossed(job, "feed", "mm/min", low, high))
    chip = start_chip(chips, floor)
    wanted = feed_rate(chip, job.cutter.flutes, speed.value)
    most = high.value * (START_SHARE_OF_LOAD if high.reason in LOAD_REASONS else 1.0)
    start = max(low.value, floor_to(max(min(wanted, speed.feed_cap, most), low.value), 10.0))
    reason = _start_reason(wanted, speed.feed_cap, most, low, high, chips)
    inputs = (
        Given("feed per tooth to start with", "fz", chip, "mm", chips.start.source),
        Given("flutes", "z", job.cutter.flutes, "", "cutter"),
        Given("spindle speed", "n", speed.value, "min-1", HERE),
        Given("share of the class's feed for a start value", "vf_s", speed.feed_cap, "mm/min", COMMON),
        Given("share of a load limit for a start value", "vf_m", most, "mm/min", COMMON),
        Given("least feed", "vf_low", low.value, "mm/min", HERE),
    )
    rule = "max(vf_low, floor(max(min(fz * z * n, vf_s, vf_m), vf_low) / 10) * 10)"
    book.line("feed to start with", "vf", rule, inputs, start, "mm/min", DERIVED)
    window = Window("feed", low.value, start, high.value, "mm/min", low, high, reason, (low,), highs)
    return _with_wish(window, wish.feed)


def _write_limits(book: Notebook, window: Window | None, what: str, symbol: str, unit: str) -> None:
    for limit in (*window.lows, *window.highs) if window else ():
        book.limit(what, symbol, unit, limit)


def _start_reason(wanted: float, cap: float, most: float, low: Limit, high: Limit, chips: ChipRange) -> str:
    least, reason = min(((wanted, chips.start.reason), (cap, "share of the machine's feed"), (most, high.reason)))
    return low.reason if least <= low.value else reason


def _with_wish(window: Window, value: float | None) -> Window:
    return window if value is None else replace(window, start=value, start_reason=AUTHOR, author=True)


def _tightest(highs: Sequence[Limit]) -> Limit:
    return min(highs, key=lambda limit: limit.value)


def _chip(job: Job, engaged: Engagement, feed: float, speed: float, book: Notebook) -> Chip:
    fz = feed_per_tooth(feed, job.cutter.flutes, speed)
    mean = mean_chip(fz, engaged.share)
    given = (
        Given("feed", "vf", feed, "mm/min", HERE),
        Given("flutes", "z", job.cutter.flutes, "", "cutter"),
        Given("spindle speed", "n", speed, "min-1", HERE),
    )
    book.line("feed per tooth", "fz", "vf / (z * n)", given, fz, "mm", MILLING)
    share = Given("engaged share of the diameter", "x", engaged.share, "", DERIVED)
    used = Given("feed per tooth", "fz", fz, "mm", HERE)
    book.line(
        "mean chip",
        "hm",
        "fz * 2 * x / acos(1 - 2 * x)",
        (used, share),
        mean,
        "mm",
        "cutting data calculation, p. 253 of a tool maker's catalogue",
    )
    return Chip(
        feed_per_tooth=fz,
        mean=mean,
        maximum=maximum_chip(fz, engaged.share),
        engaged_share=engaged.share,
        thinning=thinning_factor(engaged.share),
        effective_diameter=engaged.diameter,
        rim_speed=rim_speed(engaged.diameter, speed),
    )


def _notes(job: Job, found: CutSettings, floor: Limit, chips: ChipRange) -> tuple[Problem, ...]:
    judged = [window for window in found.windows if window.author and not (job.is_drilling and window is found.plunge)]
    wished = [verdict_note(window, window.start) for window in judged]
    return (*(note for note in wished if note), *risk_notes(job, found, floor, chips))
