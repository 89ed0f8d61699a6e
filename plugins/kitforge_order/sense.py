"""Facing first, roughing before finishing, shallow before deep, few cutter changes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from kitforge.model.findings import Finding
from kitforge.model.kit import Kit, OperationKind
from kitforge.model.messages import mm, msg
from kitforge.model.plan import Plan
from kitforge.model.steps import Phase, Step
from kitforge.planning.handling import cutter_changes
from kitforge.planning.order import turns_of
from kitforge_order import kinds
from kitforge_order.sequence import about, named, pairs

if TYPE_CHECKING:
    from shapely import MultiPolygon

_SLACK = 0.01


def check_phases(steps: Sequence[Step]) -> Iterator[Finding]:
    """Yield finishing before roughing, and facing after other cuts, in one setup."""
    faced: set[str] = set()
    for earlier, later in pairs(steps):
        same = earlier.operation is later.operation
        if same and later.phase is Phase.ROUGHING and earlier.phase is not Phase.ROUGHING:
            yield about(
                kinds.FINISHING_FIRST,
                earlier,
                msg(
                    "{earlier} comes before {later}: the finishing cutter meets the full wood.",
                    earlier=named(earlier, first=True),
                    later=named(later),
                ),
                msg("Rough first."),
            )
        elif _faced_late(earlier, later) and later.key not in faced:
            faced.add(later.key)
            yield about(
                kinds.FACING_LATE,
                later,
                msg(
                    "{later} takes {depth} off the face after {earlier}: what was cut before comes out {depth} "
                    "shallower.",
                    later=named(later, first=True),
                    depth=mm(later.depth),
                    earlier=named(earlier),
                ),
                msg("Face first; all depths count from the finished face."),
            )


def _faced_late(earlier: Step, later: Step) -> bool:
    facing = later.operation.does is OperationKind.FACE
    return facing and later.cuts(earlier.part) and earlier.operation.does is not OperationKind.FACE


def check_depths(steps: Sequence[Step]) -> Iterator[Finding]:
    """Yield deep cuts that come before a shallower one that contains them."""
    for earlier, later in pairs(
        [step for step in steps if step.phase is not Phase.FREEING and step.operation.does is not OperationKind.FACE]
    ):
        if earlier.part.key != later.part.key or earlier.operation is later.operation:
            continue
        if earlier.depth > later.depth + _SLACK and _within(earlier.cut, later.cut):
            yield about(
                kinds.DEEP_FIRST,
                earlier,
                msg(
                    "{earlier} goes {depth} deep inside {later} ({depth_2}), which comes later: its cutter works "
                    "deeper in the wood than it has to.",
                    earlier=named(earlier, first=True),
                    depth=mm(earlier.depth),
                    later=named(later),
                    depth_2=mm(later.depth),
                ),
                msg("Cut the shallow area first; the deep cut then starts from its floor."),
            )


def _within(inner: MultiPolygon | None, outer: MultiPolygon | None) -> bool:
    if inner is None or outer is None or inner.is_empty or outer.is_empty or inner.area >= outer.area:
        return False
    left, bottom, right, top = outer.bounds
    x0, y0, x1, y1 = inner.bounds
    if x0 < left - _SLACK or y0 < bottom - _SLACK or x1 > right + _SLACK or y1 > top + _SLACK:
        return False
    return bool(inner.covered_by(outer.buffer(_SLACK)))


def check_changes(kit: Kit, plan: Plan) -> Iterator[Finding]:
    """Yield a note if the author's order needs more cutter changes than the computed one."""
    if not kit.order_as_written:
        return
    turns = turns_of(replace(kit, order_as_written=False), plan.steps, plan.sheets)
    computed = {(turn.sheets, turn.face): tuple(step.key for step in turn.steps) for turn in turns}
    best = [replace(setup, steps=computed.get((setup.sheets, setup.face), ())) for setup in plan.setups]
    now, least = cutter_changes(plan.setups, plan.steps), cutter_changes(best, plan.steps)
    if now > least:
        yield kinds.CUTTER_CHANGES.new(
            msg("The order as written needs {now} cutter changes, the computed order {least}.", now=now, least=least),
            msg("Set 'order: computed', or group the steps of one cutter."),
            source=kit.source,
        )
