"""What the settings sheet says: one page for each class of machine, made to be read from two metres."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from kitforge.language import SOURCE_LANGUAGE, current_language, later, render_text, say, say_as
from kitforge.model.plan import served
from kitforge.model.steps import Phase
from kitforge.pictures.drawn.cutter import cutter_picture
from kitforge.print.figures import (
    Measure,
    Units,
    listed,
    minutes,
    minutes_together,
    sentence,
    step_subject,
    step_title,
    units_for,
)
from kitforge.print.loading import layers_words
from kitforge.print.rungs import sheet_words
from kitforge.print.settings import StepView, class_numbers, reasons_against, shown_machines, step_view
from kitforge.print.svg import Picture
from kitforge.print.trouble import STARTING_POINTS, TroubleAdvice, troubles
from kitforge.print.trust import force_band

if TYPE_CHECKING:
    from kitforge.model.kit import Kit
    from kitforge.model.pack import BuildOptions
    from kitforge.model.plan import MachinePlan, Plan
    from kitforge.model.steps import Step, StepSettings

_BROAD = 8.0
"""The broadest cutter on paper, mm: its column has room for that and for the millimetre around the picture."""
CAUTIONS = (
    later("Eye and ear protection, extraction on. No gloves near the spindle."),
    later(
        "Cut the power to the spindle before you change a cutter, and check that it sits as deep in the collet as the "
        "stick-out allows."
    ),
    later("Hand near the stop button for the first minute of every step. Never leave the machine while it cuts."),
)


@dataclass(frozen=True, slots=True)
class StepRow:
    """Steps that run with the same settings on one machine class: the settings, or None with the reasons why not.

    layers: the drawings and the layers in them, with the depth of each.
    """

    number: str
    title: str
    part: str
    cutter: str
    picture: Picture
    new_cutter: bool
    layers: str
    settings: StepView | None
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MachinePage:
    """The page of one machine class. number: by which the booklet's tables name it."""

    number: int
    name: str
    about: str
    collet: str
    fits: str
    misfits: tuple[str, ...]
    time: str
    cutter_changes: int
    has_stepover: bool
    units: tuple[Measure, ...]
    rows: tuple[StepRow, ...]
    density: str
    rungs: str


@dataclass(frozen=True, slots=True)
class SettingsSheet:
    """The whole document."""

    title: str
    version: str
    pages: tuple[MachinePage, ...]
    left_out: tuple[str, ...]
    troubles: tuple[TroubleAdvice, ...]
    starting_points: str
    uncertainty: str
    cautions: tuple[str, ...]


def settings_sheet(kit: Kit, plan: Plan, options: BuildOptions) -> SettingsSheet:
    """Return what the sheet says."""
    units = units_for(options.units, kit.info.units)
    machines = shown_machines(plan, options.machines)
    fitting = served(machines)
    return SettingsSheet(
        title=kit.info.title,
        version=kit.info.version,
        pages=tuple(_page(plan, machine, units) for machine in fitting or machines),
        left_out=tuple(_left_out(machine) for machine in machines if fitting and machine not in fitting),
        troubles=troubles(kit, plan),
        starting_points=say_as(STARTING_POINTS),
        uncertainty=force_band(),
        cautions=tuple(map(say_as, CAUTIONS)),
    )


def _left_out(machine: MachinePlan) -> str:
    reasons = " ".join(sentence(render_text(text)) for text in reasons_against(machine))
    return f"{say_as(machine.machine.name)}: {reasons}"


def _page(plan: Plan, machine: MachinePlan, units: Units) -> MachinePage:
    machine = replace(machine, settings={**machine.settings, **machine.turning})
    told = (step for step in plan.steps_and_holes if step.phase is not Phase.CHECKING or step.key in machine.settings)
    groups = _groups(tuple(told), machine)
    height = 15.0 if len(groups) > 5 else 24.0
    rows = tuple(
        _row(plan, group, before, machine, units, height)
        for before, group in zip((None, *groups), groups, strict=False)
    )
    return MachinePage(
        number=class_numbers(plan)[machine.machine.key],
        name=say_as(machine.machine.name),
        about=sentence(say_as(machine.machine.about)),
        collet=say_as(machine.machine.collet_text),
        fits=say("The kit fits") if machine.sound else say("The kit does not fit"),
        misfits=tuple(sentence(render_text(text)) for text in machine.misfits),
        time=minutes(machine.machine_seconds),
        cutter_changes=machine.cutter_changes,
        has_stepover=any(row.settings and row.settings.stepover for row in rows),
        units=(units.unit("mm/min"), units.unit("mm")),
        rows=rows,
        density=_density(len(rows) + (2 if plan.rungs else 0)),
        rungs=sheet_words(plan, machine, units),
    )


def _density(rows: int) -> str:
    """Return how close the rows of a class stand, so that it fills one page and no more; other languages run longer."""
    if rows <= 5:
        return "roomy" if rows <= 3 else "even"
    most = 7 if current_language().code == SOURCE_LANGUAGE else 6
    return "tight" if rows <= most else "tight dense"


def _groups(steps: Sequence[Step], machine: MachinePlan) -> list[tuple[Step, ...]]:
    """Gather neighbouring steps that are run alike: same cutter and, time aside, the same settings."""
    groups: list[tuple[Step, ...]] = []
    for step in steps:
        if groups and _alike(groups[-1][0], step, machine):
            groups[-1] += (step,)
        else:
            groups.append((step,))
    return groups


def _alike(one: Step, other: Step, machine: MachinePlan) -> bool:
    first, second = machine.settings.get(one.key), machine.settings.get(other.key)
    checks = Phase.CHECKING in (one.phase, other.phase)
    if first is None or second is None or one.cutter.key != other.cutter.key or checks:
        return False
    return _without_time(first) == _without_time(second)


def _without_time(settings: StepSettings) -> tuple[object, ...]:
    windows = (settings.speed, settings.feed, settings.plunge, settings.depth_per_pass, settings.stepover)
    values = tuple((w.low, w.start, w.high) if w else None for w in windows)
    passes = (settings.in_mm, settings.in_inches, settings.passes)
    return (*values, *passes, settings.entry, settings.direction, settings.stick_out, settings.dial, settings.problems)


def _row(
    plan: Plan,
    group: tuple[Step, ...],
    before: tuple[Step, ...] | None,
    machine: MachinePlan,
    units: Units,
    height: float,
) -> StepRow:
    step = group[0]
    settings = machine.settings.get(step.key)
    blocked = machine.blocked.get(step.key)
    return StepRow(
        number="–"
        if step.phase is Phase.CHECKING
        else str(step.number)
        if len(group) == 1
        else f"{step.number}–{group[-1].number}",
        title=listed(list(dict.fromkeys(step_title(s) for s in group))),
        part=listed(list(dict.fromkeys(step_subject(s) for s in group))),
        cutter=render_text(step.cutter.name),
        picture=cutter_picture(step.cutter, _scale(step, height)),
        layers=layers_words(plan, group, units),
        new_cutter=before is None or before[0].cutter.key != step.cutter.key,
        settings=replace(step_view(plan, machine, settings, units), time=_time(group, machine)) if settings else None,
        reasons=tuple(sentence(render_text(problem.message)) for problem in blocked.problems) if blocked else (),
    )


def _time(group: Sequence[Step], machine: MachinePlan) -> str:
    return minutes_together(machine.settings[step.key].seconds for step in group)


def _scale(step: Step, height: float) -> float:
    """Return a scale that keeps the picture inside its row and its column."""
    widest = max(step.cutter.diameter, step.cutter.shank)
    return min(1.0, height / step.cutter.overall_length, _BROAD / widest)
