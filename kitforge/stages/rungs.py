"""The rungs of a kit: the same definition resolved and planned for other actual thicknesses of its stock."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from kitforge.definition import kinds
from kitforge.model.errors import UnreadableKitError
from kitforge.model.findings import Finding, Severity
from kitforge.model.layout import LaidSheet
from kitforge.model.messages import mm, msg
from kitforge.model.plan import Rung
from kitforge.model.record import record
from kitforge.planning.nesting.records import Laid
from kitforge.planning.nesting.task import parts_of, to_search, wanted_of
from kitforge.planning.nesting.verified import faults
from kitforge.stages.choosing import choose
from kitforge.stages.one_fault import each_once
from kitforge.stages.planning import plan as plan_stage
from kitforge.stages.resolve import resolve
from kitforge.stages.trials import trial_findings, with_trials

if TYPE_CHECKING:
    from kitforge.model.family import KitChoice, Ladder
    from kitforge.model.kit import Cutter, Kit, Part, Stock
    from kitforge.model.path import Path
    from kitforge.model.plan import Plan
    from kitforge.plugins import Plugins
    from kitforge.stages.read import ReadKit

_SAME = 1e-6


@record
class ResolvedRungs:
    """A kit with the outlines that its parts have at other thicknesses, and that kit at each of these.

    problems: what keeps a rung from being drawn.
    """

    kit: Kit
    others: tuple[tuple[Stock, float, Kit], ...] = ()
    problems: tuple[Finding, ...] = ()


def rungs_of(read_kit: ReadKit, choice: KitChoice, kit: Kit, plugins: Plugins) -> ResolvedRungs:
    """Return a resolved kit with what it is at every rung of its ladders, the one that is drawn among them."""
    others: list[tuple[Stock, float, Kit]] = []
    problems: list[Finding] = []
    for stock in kit.stock.values():
        for thickness in stock.ladder.rungs if stock.ladder else ():
            try:
                others.append((stock, thickness, _at_rung(read_kit, choice, kit, plugins, stock, thickness)))
            except UnreadableKitError as error:
                problems += [_at(thickness, one) for one in error.problems]
    return ResolvedRungs(
        _with_outlines(kit, [one for _stock, _thickness, one in others]), tuple(others), tuple(problems)
    )


def at_rung(choice: KitChoice, ladder: Ladder, thickness: float) -> KitChoice:
    """Return a choice of a kit with another actual thickness of a stock, mm."""
    values = tuple(one for one in choice.values if one[0] != ladder.of)
    return replace(choice, values=(*values, (ladder.of, f"{thickness} mm")))


def with_rungs(
    rungs: ResolvedRungs, kit: Kit, plan: Plan, plugins: Plugins, cutters: Sequence[Cutter] = ()
) -> tuple[Kit, Plan]:
    """Return a planned kit with its rungs; what keeps one from being drawn is among the problems of the kit.

    Every rung keeps the layout, so that the screws, the zero and the pictures of the one booklet hold for all; it is
    measured anew on the outlines of each.
    """
    planned: list[Rung] = []
    problems: list[Finding] = list(rungs.problems)
    for stock, thickness, other in rungs.others:
        if abs(thickness - stock.actual) < _SAME:
            planned.append(Rung(stock.key, thickness, kit, plan))
            continue
        rung = _planned(stock, thickness, other, kit, plan, plugins, cutters)
        problems += [_at(thickness, one) for one in _misfits(rung, stock)]
        planned.append(rung)
    for stock in kit.stock.values():
        own = [rung for rung in planned if rung.stock == stock.key]
        if stock.ladder and own and not any(_moves(kit, rung.kit) for rung in own):
            problems.append(_still(stock))
    return replace(kit, problems=(*kit.problems, *problems)), replace(plan, rungs=tuple(planned))


def _at_rung(read_kit: ReadKit, choice: KitChoice, kit: Kit, plugins: Plugins, stock: Stock, thickness: float) -> Kit:
    assert stock.ladder is not None
    if abs(thickness - stock.actual) < _SAME:
        return kit
    found = resolve(choose(read_kit, at_rung(choice, stock.ladder, thickness)), plugins)
    if abs(found.stock[stock.key].actual - thickness) > _SAME:
        said = msg("The actual thickness of the stock is then {actual}.", actual=mm(found.stock[stock.key].actual))
        advice = msg("Write `actual: {name}`, so that every rung is a thickness of the stock.", name=stock.ladder.of)
        raise UnreadableKitError([kinds.LADDER_UNFIT.new(said, advice, source=stock.ladder.source)])
    return found


def _with_outlines(kit: Kit, others: Sequence[Kit]) -> Kit:
    """Return the kit with the outlines of its parts in other kits, those that differ, each once."""
    if all(other is kit for other in others):
        return kit
    found: dict[str, dict[Path, None]] = {part.key: {} for part in kit.parts}
    for other in others:
        for part in other.parts:
            found.get(part.key, {})[part.outline] = None
    parts = (
        replace(part, rung_outlines=tuple(one for one in found[part.key] if one != part.outline)) for part in kit.parts
    )
    return replace(kit, parts=tuple(parts))


def _planned(
    stock: Stock, thickness: float, other: Kit, kit: Kit, plan: Plan, plugins: Plugins, cutters: Sequence[Cutter]
) -> Rung:
    from kitforge.planning.own_cutters import with_cutters

    sheets = tuple(LaidSheet(one.stock.key, one.number, one.placements) for one in plan.sheets if not one.overflow)
    found = replace(other, layout=sheets, machines=kit.machines)
    found = with_cutters(found, cutters) if cutters else found
    found, planned = with_trials(found, plan_stage(found, plugins, plan), plugins, plan)
    return Rung(stock.key, thickness, found, planned)


def _misfits(rung: Rung, stock: Stock) -> Iterator[Finding]:
    """Yield what forbids the layout on the outlines of a rung: gaps, edges, places kept free."""
    assert stock.ladder is not None
    sheets = [sheet for sheet in rung.kit.layout if sheet.stock == stock.key]
    parts = parts_of(rung.kit).get(stock.key, [])
    if not sheets or not to_search(parts):
        return
    wanted = wanted_of(rung.kit, rung.kit.stock[stock.key], parts, len(sheets))
    for why in faults(wanted, Laid(tuple(sheet.placements for sheet in sheets))):
        yield kinds.LAYOUT_UNFIT.new(
            msg("The layout of all thicknesses cannot be cut: {why}.", why=why),
            msg("Nest again with `kitforge nest`, or use larger stock."),
            source=stock.ladder.source,
        )


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


def rung_findings(
    kit: Kit, plan: Plan, found: Sequence[Finding], plugins: Plugins, between: Callable[[], None] | None = None
) -> Iterator[Finding]:
    """Yield the errors and warnings that other thicknesses bring beyond those that the kit has as it is drawn."""
    for rung in plan.rungs:
        if abs(rung.thickness - kit.stock[rung.stock].actual) < _SAME:
            continue
        known = Counter(_key(one) for one in found)
        trials = trial_findings(rung.plan, found, plugins, between)
        raw = dict.fromkeys([*rung.kit.problems, *plugins.check(rung.kit, rung.plan, between), *trials])
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
