"""From a cut, a cutter, a wood and a machine class to its settings, each bound with where it comes from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from kitforge.cutting.chipload import ChipRange, chip_range, rubbing_floor, start_chip
from kitforge.cutting.chips import feed as feed_rate
from kitforge.cutting.chips import feed_per_tooth, maximum_chip, mean_chip, rim_speed, thinning_factor
from kitforge.cutting.depth import LOAD_REASONS, depth_limits, passes_for
from kitforge.cutting.engaged import MEAN_CHIP
from kitforge.cutting.entry import entry_for, plunge_window
from kitforge.cutting.feed import Met, feed_highs, feed_low, meet
from kitforge.cutting.job import Job, engagement, stick_out
from kitforge.cutting.judge import verdict_note
from kitforge.cutting.loads import Stiffness, loads, stiffness
from kitforge.cutting.notebook import Notebook
from kitforge.cutting.notes import blocking_problems, crossed, risk_notes
from kitforge.cutting.practice import LEAST_PASS, LEAST_STEPOVER, START_SHARE_OF_LOAD
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
from kitforge.cutting.sources import AUTHOR, HERE
from kitforge.cutting.speed import SpeedChoice, choose_speed, dial_position, floor_to, speed_highs, speed_lows
from kitforge.cutting.stepover import cusp_left, stepover_window
from kitforge.cutting.workings import (
    MILLING,
    write_entry,
    write_force_constant,
    write_loads,
    write_plunge,
    write_stepover,
    write_stiffness,
)
from kitforge.workshop.cutting_data import CuttingData
from kitforge.workshop.records import MachineClass, Material

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
    stepover = _stepover_window(job, wish)
    lane = stepover.start if stepover else None
    book.copy(job.cut.keeping.lines if job.cut.keeping else ())
    _write_limits(book, stepover, "stepover", "s", "mm")
    write_stepover(job, stepover, book)
    write_force_constant(job, job.worst_grain, "Af", "the peak force", book)
    write_force_constant(job, job.mean_grain, "Ap", "the power", book)
    depth, passes = _depth_window(job, wish, lane, bend, book)
    deepest = max(depth.high, depth.start)
    met = meet(job, deepest, lane, "at the deepest pass", book)
    chips, floor = chip_range(job, met.engaged, deepest), rubbing_floor(job, met.engaged)
    speed, choice = _speed_window(job, wish, floor, book)
    feed = _feed_window(job, wish, met, choice, chips, floor, bend, book)
    plunge = _with_wish(plunge_window(job, feed), wish.plunge, book)
    if not job.is_drilling:
        _write_limits(book, plunge, "plunge", "vz", "mm/min")
        write_plunge(job, plunge, feed.start, book)
    entry = entry_for(job, depth.start, feed.start, plunge.start)
    if isinstance(entry, Problem):
        raise _Crossed(entry)
    write_entry(job, entry, depth.start, feed.start, book)
    used = met if depth.start == deepest else meet(job, depth.start, lane, "at the start values", book)
    chip = _chip(job, used, feed.start, speed.start, book)
    worst = _hardest(job, used, chip.feed_per_tooth, speed.start, bend, book)
    left = cusp_left(job, lane)
    found = CutSettings(
        speed, feed, plunge, depth, stepover, passes, entry, stick_out(job), chip, worst.loads, left, choice.dial
    )
    write_loads(worst.job, found, worst.met.meeting, worst.met.depth, bend, book)
    return replace(found, notes=_notes(job, found, floor, chips), trail=book.trail())


def _stepover_window(job: Job, wish: Wish) -> Window | None:
    window = stepover_window(job, wish.stepover or job.cut.stepover)
    if window is not None and window.high < LEAST_STEPOVER:
        least = Limit(LEAST_STEPOVER, "narrowest lane", f"s >= {LEAST_STEPOVER:g} mm", (), COMMON)
        raise _Crossed(crossed(job, "stepover", "mm", least, window.high_limit))
    return window


class _Case(NamedTuple):
    job: Job
    met: Met
    loads: Loads


def _hardest(job: Job, used: Met, fz: float, speed: float, bend: Stiffness, book: Notebook) -> _Case:
    """Return the cut itself or the wall beside it, whichever pushes harder."""
    own = _Case(job, used, loads(job, used.engaged, used.depth, fz, speed, bend))
    wall = job.wall_beside()
    if wall is None:
        return own
    engaged = engagement(wall, wall.cut.depth, None)
    pushed = loads(wall, engaged, wall.cut.depth, fz, speed, bend)
    if pushed.side_force <= own.loads.side_force:
        return own
    return _Case(wall, meet(wall, wall.cut.depth, None, "on the wall beside", book), pushed)


def _depth_window(job: Job, wish: Wish, lane: float | None, bend: Stiffness, book: Notebook) -> tuple[Window, int]:
    highs = depth_limits(job, lane, bend, book)
    high = _tightest(highs)
    least = Limit(min(LEAST_PASS, job.cut.depth), "thinnest pass", f"ap >= {LEAST_PASS:g} mm", (), COMMON)
    if high.value < least.value * (1 - 1e-9):
        raise _Crossed(crossed(job, "depth per pass", "mm", least, high))
    per_pass = high.value if wish.depth_per_pass is None else min(wish.depth_per_pass, job.cut.depth)
    passes = passes_for(job.cut.depth, per_pass)
    start = job.cut.depth / passes
    reason = AUTHOR if wish.depth_per_pass is not None else f"{passes} equal passes"
    height = Given("height of wood to take away", "H", job.cut.depth, "mm", "kit")
    at_most = Given("depth per pass at most", "ap_m", per_pass, "mm", HERE if per_pass == high.value else AUTHOR)
    whole = "max(1, -floor(0.000001 - H / ap_m))"
    book.line("number of passes, rounded up", "N", whole, (height, at_most), passes, "", DERIVED)
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
    return _with_wish(window, wish.speed, book), choice


def _feed_window(
    job: Job, wish: Wish, met: Met, speed: SpeedChoice, chips: ChipRange, floor: Limit, bend: Stiffness, book: Notebook
) -> Window:  # fmt: skip
    low = feed_low(job, floor, speed.value)
    highs = feed_highs(job, met, speed.value, chips, bend, book)
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
    return _with_wish(window, wish.feed, book)


def _write_limits(book: Notebook, window: Window | None, what: str, symbol: str, unit: str) -> None:
    for limit in (*window.lows, *window.highs) if window else ():
        book.limit(what, symbol, unit, limit)


def _start_reason(wanted: float, cap: float, most: float, low: Limit, high: Limit, chips: ChipRange) -> str:
    least, reason = min(((wanted, chips.start.reason), (cap, "share of the machine's feed"), (most, high.reason)))
    return low.reason if least <= low.value else reason


def _with_wish(window: Window, value: float | None, book: Notebook) -> Window:
    if value is None:
        return window
    wished = Given(f"{window.quantity}, {AUTHOR}", "x_a", value, window.unit, AUTHOR)
    book.line(wished.name, "x_a", "x_a", (wished,), value, window.unit, AUTHOR)
    return replace(window, start=value, start_reason=AUTHOR, author=True)


def _tightest(highs: Sequence[Limit]) -> Limit:
    return min(highs, key=lambda limit: limit.value)


def _chip(job: Job, used: Met, feed: float, speed: float, book: Notebook) -> Chip:
    engaged, share = used.engaged, used.meeting.share
    fz = feed_per_tooth(feed, job.cutter.flutes, speed)
    mean = mean_chip(fz, engaged.share)
    given = (
        Given("feed", "vf", feed, "mm/min", HERE),
        Given("flutes", "z", job.cutter.flutes, "", "cutter"),
        Given("spindle speed", "n", speed, "min-1", HERE),
    )
    book.line("feed per tooth", "fz", "vf / (z * n)", given, fz, "mm", MILLING)
    tooth = Given("feed per tooth", "fz", fz, "mm", HERE)
    book.line("mean chip", "hm", "fz * 2 * x / acos(1 - 2 * x)", (tooth, share), mean, "mm", MEAN_CHIP)
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
