"""The calculation of one step as a record, and how each format prints it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import asdict, dataclass, fields, replace
from typing import TYPE_CHECKING

from kitforge.cli.lines import echo, echo_text
from kitforge.cutting.formatter import CalculationFormatter, Written, number, ruled, source_list, text_of
from kitforge.model.settings import CutSettings, NoWindow, Trail

if TYPE_CHECKING:
    from kitforge.model.holds import HoldResult
    from kitforge.model.kit import Kit
    from kitforge.model.plan import MachinePlan, Plan
    from kitforge.model.settings import Window
    from kitforge.model.steps import Step, StepSettings


@dataclass(frozen=True, slots=True)
class HoldingReport:
    """One thing that holds the work: what it bears and what the step asks, N; lines: the calculation."""

    held_by: str
    keeps_freed_piece: bool
    sideways: float
    asked_sideways: float | None
    upwards: float
    asked_upwards: float | None
    holds: bool | None
    lines: tuple[Written, ...]
    note: str


@dataclass(frozen=True, slots=True)
class ExplainReport:
    """Everything that is printed. settings: what ruled each setting, as text; problems: with what helps."""

    kit: str
    step: str
    number: int
    title: str
    about: str
    machine: str
    machine_name: str
    lines: tuple[Written, ...]
    settings: tuple[str, ...]
    windows: tuple[Window, ...]
    results: tuple[str, ...]
    problems: tuple[str, ...]
    holding: tuple[HoldingReport, ...]
    sources: tuple[str, ...]


def report_of(kit: Kit, plan: Plan, step: Step, planned: MachinePlan) -> ExplainReport:
    """Return the calculation of one step on one machine class."""
    paper = CalculationFormatter()
    detail = _detail(planned, step)
    trail = detail.trail if detail is not None else Trail()
    lines = tuple(paper.write(trail.lines))
    windows = detail.windows if isinstance(detail, CutSettings) else ()
    settings = tuple(text for window in windows for text in ruled(window, trail))
    holding = tuple(_held(plan, planned, step, paper))
    return ExplainReport(
        kit=f"{kit.info.title} {kit.info.version}",
        step=step.key,
        number=step.number,
        title=str(step.title),
        about=_about(step),
        machine=planned.machine.key,
        machine_name=planned.machine.name,
        lines=lines,
        settings=settings,
        windows=windows,
        results=tuple(_results(planned, step)),
        problems=tuple(_problems(planned, step)),
        holding=holding,
        sources=tuple(paper.sources),
    )


def _detail(planned: MachinePlan, step: Step) -> CutSettings | NoWindow | None:
    if step.key in planned.settings:
        return planned.settings[step.key].detail
    return planned.blocked[step.key].detail if step.key in planned.blocked else None


def _about(step: Step) -> str:
    stock = step.part.stock
    return (
        f"{step.cutter.name}, {step.operation.does} {number(step.depth)} mm deep in {stock.material.name} of "
        f"{number(step.wood)} mm"
    )


def _results(planned: MachinePlan, step: Step) -> Iterator[str]:
    if step.key not in planned.settings:
        return
    found = planned.settings[step.key]
    short, long = found.seconds
    dial = f", dial {found.dial}" if found.dial else ""
    passes = _passes(found)
    yield f"{passes}, {found.entry}{dial}, cutter {number(found.stick_out)} mm out of the collet"
    yield (
        f"side force {number(found.force)} N, lift {number(found.lift)} N, power {number(found.power)} W, deflection "
        f"{number(found.deflection)} mm, all at the unfavourable end of the force model"
    )
    copies = f" for {step.copies} copies" if step.copies > 1 else ""
    yield f"{short / 60:.1f} to {long / 60:.1f} minutes of cutting{copies}, by the length and corners of the real path"


def _passes(found: StepSettings) -> str:
    if found.passes == 1 or found.in_mm is None:
        return "1 pass" if found.passes == 1 else f"{found.passes} passes"
    last = f" and a last one of {number(found.in_mm.last)} mm" if found.in_mm.last is not None else ""
    return f"{found.in_mm.count} x {number(found.in_mm.each)} mm{last}"


def _problems(planned: MachinePlan, step: Step) -> Iterator[str]:
    yield from map(str, planned.misfits)
    found = planned.blocked.get(step.key) or planned.settings.get(step.key)
    if found is None:
        yield "No plugin computed settings for this step."
        return
    for problem in found.problems:
        yield str(problem)


def _held(plan: Plan, planned: MachinePlan, step: Step, paper: CalculationFormatter) -> Iterator[HoldingReport]:
    for setup in plan.setups:
        if step.key in setup.steps:
            for result in planned.holding.get(setup.key, ()):
                if result.hold_down is not None or (result.step == step.key and result.instead is None):
                    yield _one(plan, planned, step, result, paper)


def _one(
    plan: Plan, planned: MachinePlan, step: Step, result: HoldResult, paper: CalculationFormatter
) -> HoldingReport:
    own = planned.settings.get(step.key)
    side, lift = own.pull if own else (None, None)
    holds = None if side is None or lift is None else result.capacity >= side and result.lift_capacity >= lift
    hardest = ""
    if result.hold_down is not None and result.step != step.key:
        hardest = f"step {plan.step(result.step).number} pushes hardest in this setup: {number(result.demand)} N"
    return HoldingReport(
        held_by=str(result.held_by),
        keeps_freed_piece=result.hold_down is None,
        sideways=result.capacity,
        asked_sideways=side,
        upwards=result.lift_capacity,
        asked_upwards=lift,
        holds=holds,
        lines=tuple(paper.write(result.trail.lines)),
        note=hardest if result.trail.lines else result.text,
    )


def print_text(report: ExplainReport) -> None:
    """Print the calculation for people; text of the kit is cleaned of signs that would steer a terminal."""
    for line in text_lines(report):
        echo(line)


def text_lines(report: ExplainReport) -> Iterator[str]:
    """Yield the printed lines."""
    yield f"{report.kit}: step {report.number}, {report.step} ({report.title})"
    yield f"{report.about}; on {report.machine} ({report.machine_name})"
    yield "Lengths mm, feeds mm/min, speeds min-1, forces N. cos, sin, tan take degrees, acos gives radians."
    if report.problems:
        yield from ("", "What to know", *(f"  {problem}" for problem in report.problems))
    if report.settings:
        yield from ("", "The settings, and what ruled them", *report.settings)
        yield from (f"  {result}" for result in report.results)
    if report.lines:
        yield from ("", "The calculation")
        yield from (text for line in report.lines for text in text_of(line))
    for held in report.holding:
        yield from ("", *_held_lines(held))
    if report.sources:
        yield from ("", "Sources", *source_list(report.sources))


def _held_lines(held: HoldingReport) -> Iterator[str]:
    what = "What keeps the piece that this step cuts loose" if held.keeps_freed_piece else "What holds the stock"
    yield f"{what}: {held.held_by}"
    yield from (text for line in held.lines for text in text_of(line))
    if held.note:
        yield f"  {held.note}"
    if held.asked_sideways is not None and held.asked_upwards is not None:
        verdict = "holds" if held.holds else "DOES NOT HOLD"
        yield (
            f"  bears {number(held.sideways)} N sideways, this step asks {number(held.asked_sideways)} N; bears "
            f"{number(held.upwards)} N upwards, it asks {number(held.asked_upwards)} N: {verdict}"
        )


def print_json(report: ExplainReport) -> None:
    """Print the report as one object, numbers as numbers, each window with all its limits."""
    windows = [_plain_window(window) for window in report.windows]
    echo_text(json.dumps(asdict(replace(report, windows=())) | {"windows": windows}, indent=2))


def _plain_window(window: Window) -> dict[str, object]:
    shown = {field.name: getattr(window, field.name) for field in fields(window) if field.name != "limits"}
    limits = {"low_limit": asdict(window.low_limit), "high_limit": asdict(window.high_limit)}
    return shown | limits | {"lows": list(map(asdict, window.lows)), "highs": list(map(asdict, window.highs))}


def print_steps(plan: Plan, style: str) -> None:
    """Print the steps that can be explained."""
    if style == "json":
        steps = [{"number": step.number, "key": step.key, "title": str(step.title)} for step in plan.steps]
        echo_text(json.dumps(steps, indent=2))
        return
    wide = max((len(step.key) for step in plan.steps), default=0)
    for step in plan.steps:
        echo(f"{step.number:3}  {step.key:{wide}}  {step.title}, {step.cutter.name}")
