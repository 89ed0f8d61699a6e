"""From a kit to what the page shows of it: records of plain text that the templates write out.

Everything that comes from the kit is made safe to show here or escaped by the template; no text becomes markup.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from kitforge.definition.comments import comment_starts
from kitforge.language import render_text, say, say_as, say_many
from kitforge.live.blocks import TextBlock, blocks_by_line, numbers_by_thing
from kitforge.model.findings import Finding
from kitforge.model.record import record
from kitforge.model.steps import StepSettings
from kitforge.print.figures import figure, minutes, units_for
from kitforge.print.settings import step_view
from kitforge.report.wording import plain, written_line

if TYPE_CHECKING:
    from kitforge.model.holds import HoldResult
    from kitforge.model.kit import Kit
    from kitforge.model.plan import MachinePlan, Plan
    from kitforge.model.steps import Step
    from kitforge.print.settings import StepView

_LONGEST = 400
MOST_LINES = 5000
"""Lines of kit.yaml that are shown; the largest demo kit has 900."""


@record
class TextLine:
    """A line of kit.yaml: its number, its text in comment and not, what it makes, the worst that was found on it."""

    number: int
    text: str
    comment: str
    made: str
    worst: str = ""


@record
class SettingsLine:
    """A step with its settings on a class, or the reasons why there are none."""

    number: int
    made: str
    title: str
    part: str
    cutter: str
    view: StepView | None
    reasons: tuple[str, ...] = ()


@record
class HoldingLine:
    """What holds the work at a step: N that are needed and N that it bears, the safety factor taken off."""

    number: int
    made: str
    title: str
    by: str
    sideways: str
    upwards: str
    answer: str


@record
class ClassPage:
    """A class of machine: whether the kit fits it, how long it takes, and its tables."""

    key: str
    name: str
    about: str
    settings: tuple[SettingsLine, ...]
    holding: tuple[HoldingLine, ...]


@record
class NeedLine:
    """A need of the kit with what the check says of it; met: whether nothing worse than a note was found."""

    line: int
    made: str
    use: str
    said: tuple[str, ...]
    met: bool


def text_lines(text: str, blocks: Sequence[TextBlock], findings: Sequence[Finding]) -> tuple[TextLine, ...]:
    """Return the lines of kit.yaml. findings: those that have a line there are marked on it."""
    text = text.replace("\r\n", "\n")
    lines, comments = text.split("\n")[:MOST_LINES], comment_starts(text)
    worst: dict[int, Finding] = {}
    for one in findings:
        if line := one.source.kit_line:
            known = worst.setdefault(line, one)
            worst[line] = min(known, one, key=lambda found: found.severity.rank)
    made = blocks_by_line(blocks, len(lines))
    return tuple(
        TextLine(
            number,
            *_apart(line, comments.get(number - 1, len(line))),
            " ".join(map(str, made[number - 1])),
            worst[number].severity.value if number in worst else "",
        )
        for number, line in enumerate(lines, 1)
    )


def _apart(line: str, comment: int) -> tuple[str, str]:
    """Return a line in two as it is shown: up to where its comment begins, and the comment."""
    before = written_line(line[:comment], _LONGEST)
    return before, written_line(line[comment:], max(_LONGEST - len(before), 1)) if comment < len(line) else ""


def made_of(step: Step, blocks: Sequence[TextBlock]) -> str:
    """Return the numbers of the blocks that make a step: its part, its operation, its cutter."""
    known = numbers_by_thing(blocks)
    things = (
        ("operation", step.part.key, step.operation.name),
        ("part", step.part.key),
        ("cutter", step.cutter.key),
    )
    return " ".join(str(known[thing]) for thing in things if thing in known)


def steps_of(plan: Plan, blocks: Sequence[TextBlock]) -> list[dict[str, object]]:
    """Return the steps for the slider: number, words, and what makes them."""
    return [
        {
            "number": step.number,
            "title": plain(render_text(step.title), 120),
            "part": plain(step.part.title, 80),
            "cutter": plain(render_text(step.cutter.name), 80),
            "made": made_of(step, blocks),
        }
        for step in plan.steps
    ]


def class_pages(kit: Kit, plan: Plan, blocks: Sequence[TextBlock]) -> tuple[ClassPage, ...]:
    """Return every class of machine with its tables, the weakest first."""
    return tuple(_class_page(kit, plan, one, blocks) for one in sorted(plan.machines, key=lambda m: m.machine.rank))


def _class_page(kit: Kit, plan: Plan, machine: MachinePlan, blocks: Sequence[TextBlock]) -> ClassPage:
    return ClassPage(
        machine.machine.key,
        plain(say_as(machine.machine.name), 80),
        _about(machine),
        tuple(_settings_line(kit, plan, machine, step, blocks) for step in plan.steps),
        tuple(_holding_lines(plan, machine, blocks)),
    )


def _about(machine: MachinePlan) -> str:
    if not machine.fits:
        reasons = " ".join(plain(render_text(one)) for one in machine.misfits)
        return say("The kit does not fit it. {reasons}", reasons=reasons)
    blocked = len(machine.blocked)
    time = say_many(
        "At the machine {time}, one change of cutter.",
        "At the machine {time}, {count} changes of cutter.",
        machine.cutter_changes,
        time=minutes(machine.machine_seconds),
    )
    if not blocked:
        return time
    steps = str(blocked + len(machine.settings))
    return f"{say('{count} of {steps} steps have no sound settings.', count=str(blocked), steps=steps)} {time}"


def _settings_line(kit: Kit, plan: Plan, machine: MachinePlan, step: Step, blocks: Sequence[TextBlock]) -> SettingsLine:
    units = units_for(kit.info.units, kit.info.units)
    found = machine.settings.get(step.key)
    blocked = machine.blocked.get(step.key)
    reasons = tuple(plain(render_text(one.message)) for one in blocked.problems) if blocked else ()
    return SettingsLine(
        step.number,
        made_of(step, blocks),
        plain(render_text(step.title), 120),
        plain(step.part.title, 80),
        plain(render_text(step.cutter.name), 80),
        step_view(plan, machine, found, units) if isinstance(found, StepSettings) else None,
        reasons,
    )


def _holding_lines(plan: Plan, machine: MachinePlan, blocks: Sequence[TextBlock]) -> Iterator[HoldingLine]:
    """Yield for each step the hold that has least to spare."""
    least: dict[str, HoldResult] = {}
    for results in machine.holding.values():
        for one in results:
            known = least.setdefault(one.step, one)
            least[one.step] = min(known, one, key=_spare)
    for step in plan.steps:
        if step.key in least:
            yield _holding_line(step, least[step.key], blocks)


def _spare(one: HoldResult) -> float:
    sideways, upwards = one.capacity / max(one.demand, 1e-9), one.lift_capacity / max(one.lift_demand, 1e-9)
    return min(sideways, upwards)


def _holding_line(step: Step, one: HoldResult, blocks: Sequence[TextBlock]) -> HoldingLine:
    return HoldingLine(
        step.number,
        made_of(step, blocks),
        plain(render_text(step.title), 120),
        plain(render_text(one.held_by), 160),
        _of(one.demand, one.capacity),
        _of(one.lift_demand, one.lift_capacity),
        say("Yes") if one.holds else say("With less safety") if one.near_limit else say("No"),
    )


def _of(demand: float, capacity: float) -> str:
    return say("{demand} of {capacity} N", demand=figure(demand, 0), capacity=figure(capacity, 0))


def need_lines(kit: Kit, blocks: Sequence[TextBlock], worded: Sequence[Finding]) -> tuple[NeedLine, ...]:
    """Return the needs of a kit. worded: what the check found, in words."""
    known = numbers_by_thing(blocks)
    found = []
    for number, need in enumerate(kit.needs):
        own = [one for one in worded if one.source == need.source]
        said = tuple(plain(f"{one.message} {one.advice}") for one in own)
        met = bool(own) and all(one.severity.rank > 1 for one in own)
        made = str(known.get(("need", str(number)), ""))
        found.append(NeedLine(need.source.line, made, plain(need.use or "", 200), said, met))
    return tuple(found)


def facts_of(kit: Kit, plan: Plan) -> Mapping[str, str]:
    """Return what is told of a kit at the head of the page."""
    pieces = sum(part.count for part in kit.parts)
    return {
        say("Parts"): say_many("one piece", "{count} pieces", pieces),
        say("Stock"): say_many("one piece of stock", "{count} pieces of stock", len(plan.sheets)),
        say("Steps"): say_many("one step", "{count} steps", len(plan.steps)),
        say("Cutters"): say_many("one cutter", "{count} cutters", len(plan.cutters)),
    }
