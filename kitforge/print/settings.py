"""Settings as they are printed: a start value, the range beside it, and the word for the limit that ruled."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from kitforge.language import render_text, say, say_as
from kitforge.model.findings import Severity
from kitforge.model.passes import INCH, MM
from kitforge.model.settings import Manner, TroubleCode, WayDown
from kitforge.model.units import MM_PER_INCH
from kitforge.print.figures import RPM, Measure, Units, figure, minutes, up_to

if TYPE_CHECKING:
    from kitforge.model.messages import Message
    from kitforge.model.passes import Passes
    from kitforge.model.plan import MachinePlan, Plan
    from kitforge.model.settings import Window
    from kitforge.model.steps import Step, StepSettings

NAMES = ("speed", "feed", "plunge", "depth_per_pass", "stepover")


@dataclass(frozen=True, slots=True)
class SettingView:
    """One setting in print: start value, range ('' when it is one figure), unit, the ruling limit in a word."""

    start: Measure
    span: Measure
    unit: Measure
    word: str
    author: bool


@dataclass(frozen=True, slots=True)
class PassesView:
    """How a depth is divided, in print.

    count, last: equal passes, and the depth of one last pass ('' where there is none), in the unit that comes first;
    more: what stands beside the count, in words: the last pass, and how the depth is divided in the other unit.
    """

    count: int
    last: str
    more: str


@dataclass(frozen=True, slots=True)
class StepView:
    """The settings of one step on one machine class in print; stepover is None where the cutter runs on a line.

    number: of the class in this pack, see `class_numbers`.
    """

    machine: str
    machine_key: str
    number: int
    speed: SettingView
    feed: SettingView
    plunge: SettingView
    depth: SettingView
    stepover: SettingView | None
    passes: PassesView
    entry: str
    stick_out: Measure
    dial: str
    time: str
    ruling: str
    per_thousand: Measure
    direction: str
    warnings: tuple[str, ...]


def setting_view(window: Window, units: Units) -> SettingView:
    """Return one window for print."""
    low, start, high = window.low, window.start, window.high
    unit = RPM if "min" in window.unit and not window.unit.startswith("mm") else window.unit
    span = units.span(low, high, unit)
    shown = units.setting(start, unit, low, high)
    single = span.main == shown.main
    return SettingView(shown, Measure("") if single else span, units.unit(unit), ruling_word(window), window.author)


def depth_view(settings: StepSettings, units: Units) -> SettingView:
    """Return the depth per pass for print, as `kitforge.model.passes` divides the step's depth; its range holds it."""
    view, window = setting_view(settings.depth_per_pass, units), settings.depth_per_pass
    if settings.in_mm is None or settings.in_inches is None:
        return view
    mm, inch = settings.in_mm.each, settings.in_inches.each
    start = units.pick(figure(mm, MM.places), figure(inch, INCH.places))
    if window.low > 0 or window.author:
        return replace(view, start=start)
    high = window.high
    return replace(view, start=start, span=units.pick(up_to(high, mm), up_to(high / MM_PER_INCH, inch)))


def passes_view(settings: StepSettings, units: Units) -> PassesView:
    """Return how many passes a row names, for print.

    Each unit is right in itself: its passes add up to the depth as it is printed there, so that neither the last pass
    nor always the count of one is the other's converted.
    """
    mm, inch = settings.in_mm, settings.in_inches
    if mm is None or inch is None:
        return PassesView(settings.passes, "", "")
    main, other = (inch, mm) if units.first == "in" else (mm, inch)
    written = units.pick(_last(mm, MM.places), _last(inch, INCH.places))
    own = say("+ one of {depth}", depth=written.main) if written.main else ""
    if not units.both or (main.last is None and other.last is None and main.count == other.count):
        return PassesView(main.count, written.main, own)
    unit = "mm" if units.first == "in" else "in"
    if written.main and written.other and main.count == other.count:
        both = say("+ one of {depth} or {other}", depth=written.main, other=written.other)
        return PassesView(main.count, written.main, both)
    if written.other:
        also = say("({unit}: {count} + one of {depth})", unit=unit, count=other.count, depth=written.other)
    else:
        also = say("({unit}: {count})", unit=unit, count=other.count)
    return PassesView(main.count, written.main, f"{own} {also}".strip())


def _last(passes: Passes, places: int) -> str:
    return "" if passes.last is None else figure(passes.last, places)


def ruling_word(window: Window) -> str:
    """Return the word of the bound that sets the upper end, or the author's mark."""
    return say("author's value") if window.author else say_as(window.high_limit.reason)


def reasons_against(machine: MachinePlan) -> list[Message]:
    """Return why a class cannot cut the kit: what does not fit it, then the steps without sound settings."""
    found = []
    for blocked in machine.blocked.values():
        if blocked.detail and blocked.detail.problems[0].trouble is TroubleCode.SHANK:
            continue  # what no collet of the class takes stands among its misfits already
        found += [problem.message for problem in blocked.problems[:1]]
    for settings in machine.settings.values():
        found += [problem.message for problem in settings.problems if problem.severity is Severity.ERROR]
    return [*machine.misfits, *dict.fromkeys(found)]


def class_numbers(plan: Plan) -> Mapping[str, int]:
    """Return the number by which every table of a pack names a machine class, from 1 for the weakest, by its key."""
    ranked = sorted((one.machine.rank, one.machine.key) for one in plan.machines)
    return {key: number for number, (_rank, key) in enumerate(ranked, 1)}


def step_view(plan: Plan, machine: MachinePlan, settings: StepSettings, units: Units) -> StepView:
    """Return the settings of one step on one machine class for print."""
    return StepView(
        machine=say_as(machine.machine.name),
        machine_key=machine.machine.key,
        number=class_numbers(plan)[machine.machine.key],
        speed=setting_view(settings.speed, units),
        feed=setting_view(settings.feed, units),
        plunge=setting_view(settings.plunge, units),
        depth=depth_view(settings, units),
        stepover=setting_view(settings.stepover, units) if settings.stepover else None,
        passes=passes_view(settings, units),
        entry=entry_words(settings.entry),
        stick_out=units.length(settings.stick_out, 0),
        dial=settings.dial or "",
        time=minutes(settings.seconds),
        ruling=ruling_word(settings.feed),
        per_thousand=per_thousand(settings, units),
        direction=say_as(settings.direction) if settings.direction else "",
        warnings=tuple(render_text(problem.message) for problem in settings.problems),
    )


def entry_words(way: WayDown) -> str:
    """Return how the cutter goes down, for print."""
    if way.angle is not None:
        angle = figure(way.angle, 1)
        return say("ramp {angle}°", angle=angle) if way.manner is Manner.RAMP else say("helix {angle}°", angle=angle)
    return say("peck {depth} mm", depth=figure(way.peck)) if way.peck else say_as(way.manner)


def per_thousand(settings: StepSettings, units: Units) -> Measure:
    """Return the feed to start with for every 1000 min-1, for print: with it the chip stays the same at any speed.

    Empty where the speed has no range.
    """
    speed = settings.speed
    if speed.high <= speed.low:
        return Measure("")
    per = 1000 / speed.start
    return units.feed(settings.feed.start * per, settings.feed.low * per, settings.feed.start * per)


def step_views(plan: Plan, step: Step, machines: Sequence[MachinePlan], units: Units) -> tuple[StepView, ...]:
    """Return a step's settings on every machine class that has some."""
    found = [machine for machine in machines if step.key in machine.settings]
    return tuple(step_view(plan, machine, machine.settings[step.key], units) for machine in found)


def shown_machines(plan: Plan, keys: Sequence[str]) -> tuple[MachinePlan, ...]:
    """Return the machine classes to print, weakest first; `keys` empty means all."""
    chosen = [machine for machine in plan.machines if not keys or machine.machine.key in keys]
    return tuple(sorted(chosen, key=lambda machine: (machine.machine.rank, machine.machine.key)))
