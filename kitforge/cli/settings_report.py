"""The settings as rows, one per machine class and step, and how each format prints them."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass, fields, replace
from itertools import groupby
from typing import TYPE_CHECKING

from kitforge.cli.lines import echo_text
from kitforge.model.characters import clean, spreadsheet_safe
from kitforge.model.passes import Passes
from kitforge.model.units import MM_PER_INCH, plain_number

if TYPE_CHECKING:
    from rich.console import Console

    from kitforge.model.plan import MachinePlan, Plan
    from kitforge.model.settings import Window
    from kitforge.model.steps import Step, StepSettings


@dataclass(frozen=True, slots=True)
class Setting:
    """A setting with its range and what set the two ends; lengths and feeds in the units asked for."""

    low: float
    start: float
    high: float
    unit: str
    low_set_by: str
    high_set_by: str
    author: bool

    @property
    def words(self) -> str:
        """The start value with the range below it, as a person reads it."""
        places = _places(self.unit)
        low, start, high = (plain_number(value, places) for value in (self.low, self.start, self.high))
        return f"{start}\n{low}-{high}"


@dataclass(frozen=True, slots=True)
class SettingsRow:
    """One step on one machine class. passes: equal ones, and one of `last_pass` after them where that is a number;
    minutes: (short, long) for all copies; problems: codes."""

    machine: str
    number: int
    step: str
    title: str
    part: str
    operation: str
    cutter: str
    copies: int
    speed: Setting
    feed: Setting
    plunge: Setting
    depth_per_pass: Setting
    passes: int
    last_pass: float | None
    stepover: Setting | None
    entry: str
    dial: str | None
    minutes: tuple[float, float]
    problems: tuple[str, ...]

    @property
    def label(self) -> str:
        """Title and part: many a part of a kit has its own 'Outline'."""
        return f"{self.title}, {self.part}"

    @property
    def pass_words(self) -> str:
        """How many equal passes, and how deep the last one is where it is another."""
        if self.last_pass is None:
            return str(self.passes)
        places = _places(self.depth_per_pass.unit)
        return f"{self.passes}, last {plain_number(self.last_pass, places)}"


_TABLE_WIDTH = 100
_SETTINGS = ("speed", "feed", "plunge", "depth_per_pass", "stepover")


@dataclass(frozen=True, slots=True)
class MissingSettings:
    """A machine class, or one step on it (else None), without settings to print; and why."""

    machine: str
    step: str | None
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SettingsReport:
    """All rows, and what has none. units: 'mm' or 'in'."""

    units: str
    rows: tuple[SettingsRow, ...]
    without: tuple[MissingSettings, ...]


def report_of(plan: Plan, machines: Sequence[MachinePlan], units: str) -> SettingsReport:
    """Return the settings of every step on every machine class, in cutting order, in `units`."""
    rows = (
        _row(machine.machine.key, step, machine.settings[step.key], units)
        for machine in machines
        for step in plan.steps
        if step.key in machine.settings
    )
    return SettingsReport(units, tuple(rows), tuple(refusal for machine in machines for refusal in _refusals(machine)))


def print_tables(report: SettingsReport) -> None:
    """Print one table per machine class, or lists where a table is too wide; below them what has no settings."""
    from kitforge.cli.terminal import console

    out = console()
    for machine, rows in groupby(report.rows, key=lambda row: row.machine):
        (_print_table if out.width >= _TABLE_WIDTH else _print_list)(out, machine, rows, report.units)
    for refusal in report.without:
        what = f"{refusal.machine}, {refusal.step}" if refusal.step else refusal.machine
        out.print(clean(f"{what}: no settings. {' '.join(refusal.reasons)}"))


def _print_table(out: Console, machine: str, rows: Iterable[SettingsRow], units: str) -> None:
    from kitforge.cli.terminal import table

    feed = f"{units}/min"
    figures = ("#", "speed\nmin-1", f"feed\n{feed}", f"plunge\n{feed}", f"per pass\n{units}", "passes",
               f"stepover\n{units}", "minutes")  # fmt: skip
    made = table(machine, ("step, cutter, entry",), figures)
    for row in rows:
        made.add_row(*(clean(cell, keep="\n") for cell in _cells(row)))
    out.print(made)


def _print_list(out: Console, machine: str, rows: Iterable[SettingsRow], _units: str) -> None:
    out.print(machine)
    for row in rows:
        short, long = row.minutes
        out.print(clean(f"{row.number} {row.label}"))
        out.print(clean(f"  {row.cutter}, {row.entry}, passes: {row.pass_words}, minutes: {short:.1f}-{long:.1f}"))
        for name in _SETTINGS:
            setting: Setting | None = getattr(row, name)
            if setting:
                start, span = setting.words.split("\n")
                out.print(f"  {name.replace('_', ' '):<15} {start} {setting.unit} ({span})")


def print_json(report: SettingsReport) -> None:
    """Print the report as one object, numbers as numbers."""
    echo_text(json.dumps(asdict(report), indent=2))


def print_csv(report: SettingsReport) -> None:
    """Print one line per row; every setting becomes low, start, high and the unit."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow([name for field in fields(SettingsRow) for name in _column_names(field.name)])
    for row in report.rows:
        writer.writerow([_guarded(cell) for field in fields(SettingsRow) for cell in _csv_cells(row, field.name)])
    echo_text(text.getvalue())


def _refusals(machine: MachinePlan) -> Iterator[MissingSettings]:
    key = machine.machine.key
    if machine.misfits:
        yield MissingSettings(key, None, tuple(map(str, machine.misfits)))
    for step, blocked in machine.blocked.items():
        yield MissingSettings(key, step, tuple(map(str, blocked.problems)))


def _row(machine: str, step: Step, settings: StepSettings, units: str) -> SettingsRow:
    short, long = settings.seconds
    passes = _passes(settings, units)
    return SettingsRow(
        machine=machine,
        number=step.number,
        step=step.key,
        title=str(step.title),
        part=step.part.key,
        operation=step.operation.name,
        cutter=step.cutter.key,
        copies=step.copies,
        speed=_setting(settings.speed, units),
        feed=_setting(settings.feed, units),
        plunge=_setting(settings.plunge, units),
        depth_per_pass=_started(_setting(settings.depth_per_pass, units), passes.each),
        passes=passes.count,
        last_pass=passes.last,
        stepover=_setting(settings.stepover, units) if settings.stepover else None,
        entry=str(settings.entry),
        dial=settings.dial,
        minutes=(round(short / 60, 2), round(long / 60, 2)),
        problems=tuple(problem.code for problem in settings.problems),
    )


def _started(depth: Setting, each: float) -> Setting:
    """Return the depth per pass as the passes are typed in, rounded; its range holds it, as in the pack."""
    return replace(depth, start=each, high=max(depth.high, each))


def _passes(settings: StepSettings, units: str) -> Passes:
    """Return how the depth is divided, in the units of the report; as one lump where the settings do not say."""
    found = settings.in_inches if units == "in" else settings.in_mm
    if found is not None:
        return found
    return Passes(settings.passes, _setting(settings.depth_per_pass, units).start)


def _setting(window: Window, units: str) -> Setting:
    inches = units == "in" and window.unit.startswith("mm")
    unit = window.unit.replace("mm", "in", 1) if inches else window.unit
    scale = MM_PER_INCH if inches else 1.0
    low, start, high = (round(value / scale, 4) for value in (window.low, window.start, window.high))
    return Setting(low, start, high, unit, window.low_limit.reason, window.high_limit.reason, window.author)


def _places(unit: str) -> int:
    return {"mm": 2, "in": 3, "in/min": 1}.get(unit, 0)


def _cells(row: SettingsRow) -> list[str]:
    short, long = row.minutes
    return [
        f"{row.label}\n{row.cutter}\n{row.entry}",
        str(row.number),
        row.speed.words,
        row.feed.words,
        row.plunge.words,
        row.depth_per_pass.words,
        row.pass_words,
        row.stepover.words if row.stepover else "-",
        f"{short:.1f}-{long:.1f}",
    ]


def _column_names(field: str) -> list[str]:
    if field in _SETTINGS:
        return [f"{field}_low", f"{field}_start", f"{field}_high", f"{field}_unit"]
    return ["minutes_short", "minutes_long"] if field == "minutes" else [field]


def _csv_cells(row: SettingsRow, field: str) -> list[str | int | float]:
    value = getattr(row, field)
    if field in _SETTINGS:
        return [value.low, value.start, value.high, value.unit] if value else ["", "", "", ""]
    if field == "minutes":
        return list(value)
    return [" ".join(value) if field == "problems" else "" if value is None else value]


def _guarded(cell: str | int | float) -> str | int | float:
    return spreadsheet_safe(cell) if isinstance(cell, str) else cell
