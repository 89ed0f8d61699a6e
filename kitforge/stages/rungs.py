"""The rungs of a kit: the same definition resolved and planned for other actual thicknesses of its stock."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from kitforge.definition import kinds
from kitforge.model.errors import UnreadableKitError
from kitforge.model.findings import Finding, Severity
from kitforge.model.layout import LaidSheet
from kitforge.model.messages import mm, msg
from kitforge.model.plan import Rung
from kitforge.stages.choosing import choose
from kitforge.stages.one_fault import each_once
from kitforge.stages.planning import plan as plan_stage
from kitforge.stages.resolve import resolve

if TYPE_CHECKING:
    from kitforge.model.family import KitChoice
    from kitforge.model.kit import Cutter, Kit, Part, Stock
    from kitforge.model.plan import Plan
    from kitforge.plugins import Plugins
    from kitforge.stages.read import ReadKit

_SAME = 1e-6


def with_rungs(
    read_kit: ReadKit, choice: KitChoice, kit: Kit, plan: Plan, plugins: Plugins, cutters: Sequence[Cutter] = ()
) -> tuple[Kit, Plan]:
    """Return a planned kit with its rungs; what keeps one from being drawn is among the problems of the kit.

    Every rung keeps the layout, so that the screws, the zero and the pictures of the one booklet hold for all.
    """
    rungs: list[Rung] = []
    problems: list[Finding] = []
    rest = (read_kit, choice, kit, plugins, cutters)
    for stock in kit.stock.values():
        for thickness in stock.ladder.rungs if stock.ladder else ():
            try:
                rungs.append(_rung(rest, plan, stock, thickness))
            except UnreadableKitError as error:
                problems += [_at(thickness, one) for one in error.problems]
        own = [rung for rung in rungs if rung.stock == stock.key]
        if stock.ladder and own and not any(_moves(kit, rung.kit) for rung in own):
            problems.append(_still(stock))
    return replace(kit, problems=(*kit.problems, *problems)), replace(plan, rungs=tuple(rungs))


_Rest = tuple["ReadKit", "KitChoice", "Kit", "Plugins", "Sequence[Cutter]"]


def _rung(rest: _Rest, plan: Plan, stock: Stock, thickness: float) -> Rung:
    from kitforge.planning.own_cutters import with_cutters

    read_kit, choice, kit, plugins, cutters = rest
    assert stock.ladder is not None
    if abs(thickness - stock.actual) < _SAME:
        return Rung(stock.key, thickness, kit, plan)
    values = tuple(one for one in choice.values if one[0] != stock.ladder.of)
    chosen = replace(choice, values=(*values, (stock.ladder.of, f"{thickness} mm")))
    found = resolve(choose(read_kit, chosen), plugins)
    if abs(found.stock[stock.key].actual - thickness) > _SAME:
        said = msg("The actual thickness of the stock is then {actual}.", actual=mm(found.stock[stock.key].actual))
        advice = msg("Write `actual: {name}`, so that every rung is a thickness of the stock.", name=stock.ladder.of)
        raise UnreadableKitError([kinds.LADDER_UNFIT.new(said, advice, source=stock.ladder.source)])
    sheets = tuple(LaidSheet(one.stock.key, one.number, one.placements) for one in plan.sheets if not one.overflow)
    found = replace(found, layout=sheets, machines=kit.machines)
    found = with_cutters(found, cutters) if cutters else found
    return Rung(stock.key, thickness, found, plan_stage(found, plugins))


def _moves(kit: Kit, other: Kit) -> bool:
    """Return whether an outline or a shape of any part differs, beyond what a thickness does to depths."""
    return [_drawn(one) for one in kit.parts] != [_drawn(one) for one in other.parts]


def _drawn(part: Part) -> tuple[object, ...]:
    return (part.outline, *((one.shapes, one.points) for one in part.operations))


def _still(stock: Stock) -> Finding:
    assert stock.ladder is not None
    return kinds.LADDER_STILL.new(
        msg("No part changes with '{name}', so the drawings of all rungs are equal.", name=stock.ladder.of),
        msg("Let slots and tenons follow it, or take the ladder out."),
        source=stock.ladder.source,
    )


def rung_findings(kit: Kit, plan: Plan, found: Sequence[Finding], plugins: Plugins) -> Iterator[Finding]:
    """Yield the errors and warnings that other thicknesses bring beyond those that the kit has as it is drawn."""
    for rung in plan.rungs:
        if abs(rung.thickness - kit.stock[rung.stock].actual) < _SAME:
            continue
        known = Counter(_key(one) for one in found)
        raw = dict.fromkeys([*rung.kit.problems, *plugins.check(rung.kit, rung.plan)])
        for one in each_once(list(raw), rung.kit):
            if one.severity is Severity.NOTE:
                continue
            known[_key(one)] -= 1
            if known[_key(one)] < 0:
                yield _at(rung.thickness, one)


def _key(finding: Finding) -> tuple[str, str | None, str | None]:
    return finding.code, finding.part, finding.operation


def _at(thickness: float, finding: Finding) -> Finding:
    """Return a finding that says at which thickness it is one."""
    said = msg("At {thickness}: {message}", thickness=mm(thickness), message=finding.message)
    return replace(finding, message=said)
