"""From a kit to what the page shows of it: records of plain text that the templates write out.

Everything that comes from the kit is made safe to show here or escaped by the template; no text becomes markup.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from kitforge.language import render_text
from kitforge.live.blocks import TextBlock, blocks_by_line, numbers_by_thing
from kitforge.model.findings import Finding
from kitforge.model.plan import StepSettings
from kitforge.model.record import record
from kitforge.print.figures import figure, minutes, units_for
from kitforge.print.settings import step_view
from kitforge.report.wording import plain, written_line

if TYPE_CHECKING:
    from kitforge.model.kit import Kit
    from kitforge.model.plan import HoldResult, MachinePlan, Plan, Step
    from kitforge.print.settings import StepView

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
    lines = text.replace("\r\n", "\n").split("\n")[:MOST_LINES]
    worst: dict[int, Finding] = {}
    for one in findings:
        if line := one.source.kit_line:
            known = worst.setdefault(line, one)
            worst[line] = min(known, one, key=lambda found: found.severity.rank)
    made = blocks_by_line(blocks, len(lines))
    return tuple(
        TextLine(
            number,
            *_apart(written_line(line, 400)),
            " ".join(map(str, made[number - 1])),
            worst[number].severity.value if number in worst else "",
        )
        for number, line in enumerate(lines, 1)
    )


def _apart(line: str) -> tuple[str, str]:
    """Return a line in two: up to a comment, and the comment; a # inside quotes begins none (YAML 1.2.2, 6.6)."""
    quote = ""
    for at, sign in enumerate(line):
        if quote:
            quote = "" if sign == quote else quote
        elif sign in "\"'" and (at == 0 or not line[at - 1].isalnum()):
            quote = sign
        elif sign == "#" and (at == 0 or line[at - 1].isspace()):
            return line[:at], line[at:]
    return line, ""


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
        plain(render_text(machine.machine.name), 80),
        _about(machine),
        tuple(_settings_line(kit, plan, machine, step, blocks) for step in plan.steps),
        tuple(_holding_lines(plan, machine, blocks)),
    )


def _about(machine: MachinePlan) -> str:
    if not machine.fits:
        reasons = " ".join(plain(render_text(one)) for one in machine.misfits)
        return f"The kit does not fit it. {reasons}"
    blocked = len(machine.blocked)
    sound = f"{blocked} of {blocked + len(machine.settings)} steps have no sound settings. " if blocked else ""
    changes = "one change" if machine.cutter_changes == 1 else f"{machine.cutter_changes} changes"
    return f"{sound}At the machine {minutes(machine.machine_seconds)}, {changes} of cutter."


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
        f"{figure(one.demand, 0)} of {figure(one.capacity, 0)} N",
        f"{figure(one.lift_demand, 0)} of {figure(one.lift_capacity, 0)} N",
        "yes" if one.holds else "with less safety" if one.near_limit else "no",
    )


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
    parts = "one piece" if pieces == 1 else f"{pieces} pieces"
    boards = "one piece of stock" if len(plan.sheets) == 1 else f"{len(plan.sheets)} pieces of stock"
    steps = "one step" if len(plan.steps) == 1 else f"{len(plan.steps)} steps"
    cutters = "one cutter" if len(plan.cutters) == 1 else f"{len(plan.cutters)} cutters"
    return {"Parts": parts, "Stock": boards, "Steps": steps, "Cutters": cutters}
