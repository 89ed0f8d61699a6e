"""From operations to steps: one step for each pass of each operation, not yet in order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from kitforge.kit import CutterKind, Doing, Kit, Operation, Part, PassWish
from kitforge.plan import Phase, Step
from kitforge.planning.areas import area_of
from kitforge.planning.tabs import place_tabs

# Share of the cutting diameter that a pass moves sideways when the author does not say: common practice, no source.
ROUGH_STEPOVER = 0.4
FINISH_STEPOVER = 0.1
FLAT_FINISH_STEPOVER = 0.4


def steps_of(kit: Kit) -> list[Step]:
    """Return the steps of all parts in the order the author wrote the operations, not yet numbered."""
    return [step for part in kit.parts for operation in part.operations for step in _passes(part, operation)]


def _passes(part: Part, operation: Operation) -> Iterator[Step]:
    if operation.does is Doing.FACE and not operation.shapes:
        operation = replace(operation, shapes=(part.outline,))
    if operation.roughing is not None:
        yield _step(part, operation, operation.roughing, Phase.ROUGHING)
        yield _step(part, operation, operation.finishing, Phase.FINISHING)
    else:
        yield _step(part, operation, operation.finishing, _only_phase(operation))


def _only_phase(operation: Operation) -> Phase:
    if operation.does is Doing.FACE:
        return Phase.FACING
    if operation.does is Doing.DRILL:
        return Phase.DRILLING
    return Phase.FREEING if operation.frees else Phase.ROUGHING


def _step(part: Part, operation: Operation, wish: PassWish, phase: Phase) -> Step:
    rough_first = operation.roughing is not None and phase is Phase.FINISHING
    floor = not rough_first or (operation.roughing is not None and operation.roughing.leave_floor > 0)
    stepover = _stepover(operation, wish, phase)
    area = area_of(operation, wish.cutter, stepover or wish.cutter.diameter, wish.leave_walls, floor=floor)
    name = f"{part.key}/{operation.name}"
    depth = operation.depth + (operation.allowance if operation.through else 0.0) - wish.leave_floor
    if area.travel.deepest is not None:
        depth = area.travel.deepest
    frees = operation.frees and phase is not Phase.ROUGHING
    if frees:
        phase = Phase.FREEING
    return Step(
        key=f"{name}/{phase}" if operation.roughing is not None else name,
        number=0,
        part=part,
        operation=operation,
        phase=phase,
        cutter=wish.cutter,
        depth=depth,
        top=_top(operation, rough_first),
        stepover=stepover,
        copies=part.count,
        face=operation.face,
        frees=frees,
        leave_walls=wish.leave_walls,
        leave_floor=wish.leave_floor,
        tabs=place_tabs(operation, wish.cutter),
        path_length=area.travel.length,
        corners=area.travel.corners,
        plunges=area.plunges,
        travel=area.travel,
        cut=area.cut,
        swept=area.swept,
    )


def _top(operation: Operation, rough_first: bool) -> float:
    """Return where the pass starts cutting: a finishing pass finds the roughed floor, if stock was left on it."""
    if rough_first and operation.roughing is not None and operation.roughing.leave_floor > 0:
        return operation.depth - operation.roughing.leave_floor
    return 0.0


def _stepover(operation: Operation, wish: PassWish, phase: Phase) -> float | None:
    if operation.does not in (Doing.POCKET, Doing.DISH, Doing.FACE):
        return None
    if wish.stepover is not None:
        return wish.stepover
    if phase is not Phase.FINISHING:
        return ROUGH_STEPOVER * wish.cutter.diameter
    rounded = wish.cutter.kind in (CutterKind.BALL_NOSE, CutterKind.BOWL)
    return (FINISH_STEPOVER if rounded else FLAT_FINISH_STEPOVER) * wish.cutter.diameter
