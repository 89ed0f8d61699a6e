"""The settings as comma-separated values: unrounded, in mm, mm/min and min-1, whatever the units in print."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from kitforge.model.characters import spreadsheet_safe
from kitforge.model.passes import Passes
from kitforge.model.plan import served
from kitforge.model.steps import Phase
from kitforge.planning.layers import step_layers
from kitforge.print.datums import depth_source
from kitforge.print.settings import NAMES

if TYPE_CHECKING:
    from kitforge.model.plan import MachinePlan, Plan
    from kitforge.model.settings import Window
    from kitforge.model.steps import Step, StepSettings

HEADER = (
    "machine_class", "machine_key", "step", "step_key", "part", "operation", "cutter", "drawing", "layer", "setting",
    "unit", "low", "start", "high", "low_limit", "high_limit", "author_value",
)  # fmt: skip


def settings_table(plan: Plan, machines: Sequence[MachinePlan]) -> bytes:
    """Return one row for each machine class that the kit fits, step and setting. UTF-8, lines end as RFC 4180 says."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(HEADER)
    for machine in served(machines):
        settings = {**machine.settings, **machine.turning}
        for step in plan.steps_and_holes:
            if step.key in settings:
                writer.writerows(_rows(plan, machine, step, settings[step.key]))
    return text.getvalue().encode("utf-8")


def _rows(plan: Plan, machine: MachinePlan, step: Step, settings: StepSettings) -> Iterator[tuple[str, ...]]:
    check = step.phase is Phase.CHECKING
    part = step.part.stock.title if step.operation.whole or check else step.part.title
    words = (part, step.title if check else step.operation.title, step.cutter.name)
    start = (
        spreadsheet_safe(machine.machine.name),
        machine.machine.key,
        f"after {step.number}" if check else str(step.number),
        step.key,
        *(spreadsheet_safe(str(word)) for word in words),
        *_drawn(plan, step),
    )
    for name in NAMES:
        window: Window | None = getattr(settings, name)
        if window is not None:
            yield (*start, name, *_figures(window))
    yield from _depths(start, step, settings)
    if settings.direction:
        yield (*start, "direction", "", "", "", "", settings.direction.value, settings.direction_reason or "", "")
    yield (*start, "stick_out", "mm", *(_number(settings.stick_out),) * 3, "", "", "")
    low, high = settings.seconds
    yield (*start, "time", "s", _number(low), "", _number(high), "", "", "")


def _drawn(plan: Plan, step: Step) -> tuple[str, str]:
    """Return the files and the layers that a step is drawn in, one after the other with a blank between them."""
    places = step_layers(plan, step)
    files = dict.fromkeys(f"{place.drawing}.dxf" for place in places)
    return " ".join(files), " ".join(dict.fromkeys(place.layer for place in places))


def _depths(start: tuple[str, ...], step: Step, settings: StepSettings) -> Iterator[tuple[str, ...]]:
    """Yield what the passes add up to, from where to where below which surface, and how they divide it."""
    passes = settings.in_mm or Passes(settings.passes, settings.depth_per_pass.start)
    for name, value in (("starts_at", step.top), ("depth", step.depth)):
        yield (*start, name, "mm", *(_number(value),) * 3, *(depth_source(step),) * 2, "")
    yield (*start, "passes", "", *(str(passes.count),) * 3, "", "", "")
    if passes.last is not None:
        yield (*start, "last_pass", "mm", *(_number(passes.last),) * 3, "", "", "")


def _figures(window: Window) -> tuple[str, ...]:
    figures = tuple(_number(value) for value in (window.low, window.start, window.high))
    words = (
        spreadsheet_safe(window.low_limit.reason),
        spreadsheet_safe(window.high_limit.reason),
        "yes" if window.author else "",
    )
    return (window.unit, *figures, *words)


def _number(value: float) -> str:
    """Return a number with ten digits: the last of seventeen hang on the order of operations and on the machine."""
    return repr(float(f"{value:.10g}"))
