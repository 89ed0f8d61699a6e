"""What the settings of all steps and classes say about the kit, gathered so that nothing is said five times."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from kitforge.model.findings import Finding, FindingType, Severity
from kitforge.model.kit import Kit
from kitforge.model.messages import msg, series, term
from kitforge.model.plan import MachinePlan, Plan
from kitforge.model.settings import NoWindow, TroubleCode
from kitforge.model.steps import BlockedStep, SettingsProblem, Step

NONE = FindingType("settings-none", Severity.ERROR, "A step has no sound settings on a machine class.")
OVERRIDE = FindingType(
    "settings-override", Severity.WARNING, "The author's own setting lies outside the computed window."
)
RISK = FindingType(
    "settings-risk", Severity.WARNING, "A step can be cut, but with a risk: burning, chatter, a weak cutter."
)

_BY_CODE = {kind.code: kind for kind in (NONE, OVERRIDE, RISK)}


def findings_of(kit: Kit, plan: Plan) -> Iterator[Finding]:
    """Yield one finding for each step and kind of problem, naming the classes it holds for.

    What is told of a cutter in the same words for several steps is told once, with the first of them.
    """
    fitting, told = [machine for machine in plan.machines if machine.fits], set[tuple[object, ...]]()
    for step in plan.steps:
        groups: dict[str, list[tuple[MachinePlan, SettingsProblem]]] = defaultdict(list)
        for machine in fitting:
            for problem in _problems(machine, step):
                groups[problem.code].append((machine, problem))
        for code, group in groups.items():
            words = (code, step.cutter.key, tuple((one.machine.key, problem.message) for one, problem in group))
            if words not in told or code == NONE.code:
                yield _finding(kit, step, _BY_CODE[code], group, len(fitting))
            told.add(words)


def _problems(machine: MachinePlan, step: Step) -> tuple[SettingsProblem, ...]:
    if step.key in machine.blocked:
        return () if _told_of_the_cutter(machine.blocked[step.key]) else machine.blocked[step.key].problems
    return machine.settings[step.key].problems if step.key in machine.settings else ()


def _told_of_the_cutter(blocked: BlockedStep) -> bool:
    """Whether a step has no settings only because its cutter is too short, which the check of the cutters tells."""
    found = blocked.detail
    return isinstance(found, NoWindow) and all(problem.trouble is TroubleCode.REACH for problem in found.problems)


def _finding(
    kit: Kit, step: Step, kind: FindingType, group: list[tuple[MachinePlan, SettingsProblem]], classes: int
) -> Finding:
    worst = min(group, key=lambda pair: (pair[1].severity.rank, pair[0].machine.rank))[1]
    names = list(dict.fromkeys(machine.machine.name for machine, _problem in group))
    everywhere = len(names) == classes
    where = msg("all classes that fit") if everywhere and classes > 1 else series(map(term, names))
    return kind.new(
        msg("Step '{step}' on {where}: {problem}", step=step.title, where=where, problem=worst.message),
        worst.advice,
        source=step.operation.source,
        part=step.part.key,
        operation=step.operation.name,
        severity=_severity(kit, kind, worst, everywhere=everywhere),
    )


def _severity(kit: Kit, kind: FindingType, worst: SettingsProblem, *, everywhere: bool) -> Severity:
    if kind is OVERRIDE:
        return worst.severity
    if everywhere:
        return worst.severity if kind is RISK else kind.severity
    return Severity.WARNING if kind is NONE and kit.machines_named else Severity.NOTE
