"""The order of the steps: facing first, roughing before finishing, cuts that free a part last, few cutter changes."""

from __future__ import annotations

from collections.abc import Sequence

from kitforge.kit import Doing, Face, Kit
from kitforge.plan import Phase, Step

_SLACK = 0.01


def in_order(kit: Kit, steps: Sequence[Step]) -> list[Step]:
    """Return the steps in cutting order, setup by setup: as written if the author says so, else computed."""
    groups = [_computed(group) if not kit.order_as_written else list(group) for group in by_setup(steps)]
    return [step for group in groups for step in group]


def by_setup(steps: Sequence[Step]) -> list[list[Step]]:
    """Return the steps grouped by stock and face. The face that frees the parts comes last, else the top first."""
    groups: dict[tuple[str, Face], list[Step]] = {}
    for step in steps:
        groups.setdefault((step.part.stock.key, step.face), []).append(step)
    stocks = list(dict.fromkeys(key[0] for key in groups))

    def rank(key: tuple[str, Face]) -> tuple[int, bool, bool]:
        frees = any(step.frees for step in groups[key])
        return stocks.index(key[0]), frees, key[1] is Face.BOTTOM

    return [groups[key] for key in sorted(groups, key=rank)]


def stage_of(step: Step) -> int:
    """Return the group a step belongs to: 0 facing, 1 cuts that stop in the wood, 2 through cuts, 3 freeing cuts."""
    if step.phase is Phase.FACING:
        return 0
    if step.frees:
        return 3
    return 2 if step.operation.through and step.operation.does is not Doing.DRILL else 1


def must_follow(later: Step, earlier: Step) -> bool:
    """Return whether `later` may only be cut after `earlier`, whatever the cutters are."""
    if stage_of(earlier) != stage_of(later):
        return stage_of(earlier) < stage_of(later)
    if later.operation is earlier.operation:
        return earlier.phase is Phase.ROUGHING and later.phase is not Phase.ROUGHING
    return earlier.depth < later.depth and later.part is earlier.part and _inside(later, earlier)


def _inside(inner: Step, outer: Step) -> bool:
    """Return whether one cut lies in the area of another, so that the shallow one opens the way."""
    if inner.cut is None or outer.cut is None or inner.cut.is_empty or outer.cut.is_empty:
        return False
    left, bottom, right, top = inner.cut.bounds
    low_x, low_y, high_x, high_y = outer.cut.bounds
    if left < low_x - _SLACK or bottom < low_y - _SLACK or right > high_x + _SLACK or top > high_y + _SLACK:
        return False
    return outer.cut.area >= inner.cut.area and bool(inner.cut.difference(outer.cut).area < _SLACK * inner.cut.area)


def _computed(steps: Sequence[Step]) -> list[Step]:
    """Take again and again a step whose forerunners are done, staying with the cutter in the spindle."""
    before = {later.key: {e.key for e in steps if e is not later and must_follow(later, e)} for later in steps}
    waiting, done = list(steps), list[Step]()
    while waiting:
        ready = [step for step in waiting if not before[step.key] & {w.key for w in waiting}]
        same = [step for step in ready if done and step.cutter.key == done[-1].cutter.key]
        chosen = (same or ready or waiting)[0]
        waiting.remove(chosen)
        done.append(chosen)
    return done
