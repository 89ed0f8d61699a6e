"""The order of the steps: board by board, facing first, roughing before finishing, cuts that free a part last."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from kitforge.model.kit import Face, Kit, Operation, OperationKind, Part
from kitforge.model.plan import Sheet
from kitforge.model.record import record
from kitforge.model.steps import Phase, Step

_SLACK = 0.01


@record
class Turn:
    """One face of one piece of stock with its steps in cutting order; `sheets`: the pieces that are laid out alike."""

    sheets: tuple[Sheet, ...]
    face: Face
    steps: tuple[Step, ...]


def turns_of(kit: Kit, steps: Sequence[Step], sheets: Sequence[Sheet]) -> list[Turn]:
    """Return the faces of all pieces of stock in cutting order, piece by piece.

    The face that frees the parts comes last, else the top first. Steps keep the author's order if the kit asks for it.
    """
    return [turn for alike in alike_sheets(sheets) for turn in _turns_of(kit, steps, alike)]


def numbered(turns: Sequence[Turn], steps: Sequence[Step]) -> list[Step]:
    """Return the steps as they are met, turn by turn, numbered from 1; those that no piece of stock holds come last."""
    met = {step.key: step for turn in turns for step in turn.steps}
    ordered = (*met.values(), *(step for step in steps if step.key not in met))
    return [replace(step, number=number) for number, step in enumerate(ordered, 1)]


def alike_sheets(sheets: Sequence[Sheet]) -> list[tuple[Sheet, ...]]:
    """Return the pieces of stock, those on which the same parts lie at the same places together."""
    groups: dict[tuple[object, ...], list[Sheet]] = {}
    for sheet in sheets:
        places = frozenset((place.part, place.x, place.y, place.turn) for place in sheet.placements)
        groups.setdefault((sheet.stock.key, places, sheet.overflow), []).append(sheet)
    return [tuple(group) for group in groups.values()]


def _turns_of(kit: Kit, steps: Sequence[Step], alike: tuple[Sheet, ...]) -> list[Turn]:
    own = {*(place.part for place in alike[0].placements), *alike[0].overflow}
    groups: dict[Face, list[Step]] = {}
    for step in steps:
        if step.part.key in own or alike[0].runs(step):
            groups.setdefault(step.face, []).append(step)
    ordered = {face: group if kit.order_as_written else _computed(group) for face, group in groups.items()}
    frees = {face: any(step.phase is Phase.FREEING for step in group) for face, group in groups.items()}
    return [Turn(alike, face, tuple(ordered[face])) for face in faces_in_order(frees)]


def faces_in_order(frees: Mapping[Face, bool]) -> list[Face]:
    """Return the faces of a stock, given whether a cut from them frees a part: those come last, else the top first."""
    return sorted(frees, key=lambda face: (frees[face], face is Face.BOTTOM))


def operations_in_order(parts: Iterable[Part], *, as_written: bool) -> list[tuple[Part, Operation]]:
    """Return the operations on one stock as far as the surfaces need their order: face by face, facing first.

    The whole stock is faced before areas of it, several facings follow each other as they are written.
    """
    written = [(part, operation) for part in parts for operation in part.operations]
    frees = {one.face: any(o.frees for _part, o in written if o.face is one.face) for _part, one in written}
    found: list[tuple[Part, Operation]] = []
    for face in faces_in_order(frees):
        own = [(part, operation) for part, operation in written if operation.face is face]
        found += own if as_written else sorted(own, key=lambda pair: _facing_rank(pair[1]))
    return found


def _facing_rank(operation: Operation) -> int:
    if operation.does is not OperationKind.FACE:
        return 2
    return 0 if operation.whole else 1


def stage_of(step: Step) -> int:
    """Return the group a step belongs to: 0 facing, 1 cuts that stop in the wood, 2 through cuts, 3 freeing cuts.

    A roughing pass along the outline that comes out underneath frees the part too, although it leaves stock on it.
    """
    if step.operation.does is OperationKind.FACE:
        return 0
    if step.phase is Phase.FREEING or (step.operation.frees and step.through):
        return 3
    return 2 if step.operation.through and step.operation.does is not OperationKind.DRILL else 1


def must_follow(later: Step, earlier: Step) -> bool:
    """Return whether `later` may only be cut after `earlier`, whatever the cutters are."""
    if stage_of(earlier) != stage_of(later):
        return stage_of(earlier) < stage_of(later)
    if later.operation is earlier.operation:
        return earlier.phase.rank < later.phase.rank
    if later.operation.does is OperationKind.FACE:
        return False  # facings follow each other as they are written
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
    facings = [step for step in steps if step.operation.does is OperationKind.FACE]
    facings.sort(key=lambda step: _facing_rank(step.operation))
    for earlier, later in itertools.pairwise(facings):
        before[later.key].add(earlier.key)  # each counts its depth from what the one before has left
    waiting, done = list(steps), list[Step]()
    while waiting:
        ready = [step for step in waiting if not before[step.key] & {w.key for w in waiting}]
        same = [step for step in ready if done and step.cutter.key == done[-1].cutter.key]
        chosen = (same or ready or waiting)[0]
        waiting.remove(chosen)
        done.append(chosen)
    return done
