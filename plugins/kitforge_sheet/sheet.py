"""What the settings sheet says: one page for each class of machine, made to be read from two metres."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.kit import CutterKind
from kitforge.print.figures import Measure, Units, minutes, sentence, units_for
from kitforge.print.pictures.cutter import cutter_picture
from kitforge.print.pictures.svg import Picture
from kitforge.print.settings import StepView, shown_machines, step_view
from kitforge.print.trouble import STARTING_POINTS, Trouble, troubles

if TYPE_CHECKING:
    from kitforge.kit import Kit
    from kitforge.pack.records import BuildOptions
    from kitforge.plan import MachinePlan, Plan, Step

CAUTIONS = (
    "Eye and ear protection, extraction on. No gloves near the spindle.",
    "Cut the power to the spindle before you change a cutter, and check that it sits as deep in the collet as the "
    "stick-out allows.",
    "Hand near the stop button for the first minute of every step. Never leave the machine while it cuts.",
)
_CUTTER_HEIGHT = 26.0


@dataclass(frozen=True, slots=True)
class StepRow:
    """One step on one machine class: settings, or None with the reasons why there are none."""

    number: int
    title: str
    part: str
    cutter: str
    picture: Picture
    new_cutter: bool
    settings: StepView | None
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MachinePage:
    """The page of one machine class."""

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
    picture_alt: str = ""


@dataclass(frozen=True, slots=True)
class SettingsSheet:
    """The whole document."""

    title: str
    version: str
    pages: tuple[MachinePage, ...]
    troubles: tuple[Trouble, ...]
    starting_points: str
    cautions: tuple[str, ...]


def settings_sheet(kit: Kit, plan: Plan, options: BuildOptions) -> SettingsSheet:
    """Return what the sheet says."""
    units = units_for(options.units, kit.info.units)
    machines = shown_machines(plan, options.machines)
    return SettingsSheet(
        title=kit.info.title,
        version=kit.info.version,
        pages=tuple(_page(plan, machine, units) for machine in machines),
        troubles=troubles(kit, plan),
        starting_points=STARTING_POINTS,
        cautions=CAUTIONS,
    )


def _page(plan: Plan, machine: MachinePlan, units: Units) -> MachinePage:
    rows = tuple(_row(step, before, machine, units) for before, step in _with_before(plan.steps))
    low = machine.cutting_seconds[0] + machine.handling_seconds[0]
    high = machine.cutting_seconds[1] + machine.handling_seconds[1]
    return MachinePage(
        name=machine.machine.name,
        about=sentence(machine.machine.about),
        collet=machine.machine.collet_text,
        fits="The kit fits" if machine.fits else "The kit does not fit",
        misfits=tuple(sentence(text) for text in machine.misfits),
        time=minutes((low, high)),
        cutter_changes=machine.cutter_changes,
        has_stepover=any(row.settings and row.settings.stepover for row in rows),
        units=(units.unit("mm/min"), units.unit("mm")),
        rows=rows,
    )


def _with_before(steps: Sequence[Step]) -> list[tuple[Step | None, Step]]:
    return list(zip((None, *steps), steps, strict=False))


def _row(step: Step, before: Step | None, machine: MachinePlan, units: Units) -> StepRow:
    settings = machine.settings.get(step.key)
    blocked = machine.blocked.get(step.key)
    return StepRow(
        number=step.number,
        title=step.title,
        part=step.part.title,
        cutter=step.cutter.name,
        picture=cutter_picture(step.cutter, _scale(step)),
        new_cutter=before is None or before.cutter.key != step.cutter.key,
        settings=step_view(machine, settings, units) if settings else None,
        reasons=tuple(sentence(problem.message) for problem in blocked.problems) if blocked else (),
    )


def _scale(step: Step) -> float:
    """Return a scale that keeps the picture inside its row; wide surfacing cutters are drawn smaller still."""
    widest = max(step.cutter.diameter, step.cutter.shank)
    limit = 9.0 if step.cutter.kind is CutterKind.SURFACING else 11.0
    return min(1.0, _CUTTER_HEIGHT / step.cutter.overall_length, limit / widest)
