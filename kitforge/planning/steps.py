"""From operations to steps: one step for each pass of each operation, not yet in order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from kitforge.model.datum import Datum, Interval
from kitforge.model.hollows import walls_apart
from kitforge.model.kit import CutterKind, Kit, Operation, OperationKind, Part, PassOptions, Stock
from kitforge.model.path import Path
from kitforge.model.steps import Phase, Step
from kitforge.planning.areas import area_of
from kitforge.planning.bare import KEPT, bare_operation, bare_part, bare_pass
from kitforge.planning.facing import covers, repeated
from kitforge.planning.tab_passes import with_one_set
from kitforge.planning.tabs import place_tabs

# Share of the cutting diameter that a pass moves sideways when the author does not say: common practice, no source.
ROUGH_STEPOVER = 0.4
FINISH_STEPOVER = 0.1
FLAT_FINISH_STEPOVER = 0.4


def steps_of(kit: Kit) -> list[Step]:
    """Return the steps of all parts in the order the author wrote the operations, not yet numbered.

    A stock that several parts ask to be faced is faced once.
    """
    told = repeated(kit.parts)
    return [
        step
        for part in kit.parts
        for operation in part.operations
        if (part.key, operation.name) not in told
        for step in with_one_set(list(_passes(part, operation)))
    ]


def _passes(part: Part, operation: Operation) -> Iterator[Step]:
    if operation.roughing is not None:
        yield _step(part, operation, operation.roughing, Phase.ROUGHING)
        yield _step(part, operation, operation.finishing, Phase.FINISHING)
        if walls_apart(operation):
            yield _step(part, operation, operation.finishing, Phase.WALLS)
    else:
        yield _step(part, operation, operation.finishing, _only_phase(operation))


def _only_phase(operation: Operation) -> Phase:
    if operation.does is OperationKind.FACE:
        return Phase.FACING
    if operation.does is OperationKind.DRILL:
        return Phase.DRILLING
    return Phase.FREEING if operation.frees else Phase.ROUGHING


def _step(part: Part, operation: Operation, wish: PassOptions, phase: Phase) -> Step:
    found = _worked_out(bare_part(part), bare_operation(operation), bare_pass(wish), phase)
    copies = 1 if operation.whole else part.count
    return replace(found, part=part, operation=operation, cutter=wish.cutter, copies=copies)


@lru_cache(maxsize=KEPT)
def _worked_out(part: Part, operation: Operation, wish: PassOptions, phase: Phase) -> Step:
    floor = phase is not Phase.WALLS and not (phase is Phase.FINISHING and _wall_alone(operation))
    stepover = _stepover(operation, wish, phase)
    leave = _left_on_walls(operation, wish, phase)
    area = area_of(_laid_out(part, operation, phase), wish.cutter, stepover or wish.cutter.diameter, leave, floor=floor)
    name = f"{part.key}/{operation.name}"
    datum, interval = depths_of(part, operation, wish, phase, area.travel.deepest)
    if operation.frees and phase is not Phase.ROUGHING:
        phase = Phase.FREEING
    return Step(
        key=f"{name}/{phase}" if operation.roughing is not None else name,
        number=0,
        part=part,
        operation=operation,
        phase=phase,
        cutter=wish.cutter,
        depth=interval.tip,
        top=interval.top,
        stepover=stepover if len(area.travel.lengths) else None,  # what is only plunged has none
        copies=1,
        face=operation.face,
        leave_walls=leave,
        leave_floor=wish.leave_floor,
        datum=datum,
        tabs=place_tabs(operation, cut=area.cut),
        path_length=area.travel.length,
        corners=area.travel.corners,
        plunges=area.plunges,
        travel=area.travel,
        cut=area.cut,
        swept=area.swept,
    )


def _wall_alone(operation: Operation) -> bool:
    return operation.roughing is not None and operation.roughing.leave_floor <= 0


def _left_on_walls(operation: Operation, wish: PassOptions, phase: Phase) -> float:
    """Return the stock that a pass leaves on the walls, mm: that of roughing stays while the floor is finished."""
    rough = operation.roughing
    return rough.leave_walls if rough and phase is Phase.FINISHING and walls_apart(operation) else wish.leave_walls


def _laid_out(part: Part, operation: Operation, phase: Phase) -> Operation:
    """Return an operation with the shapes that a pass of it runs along."""
    if operation.whole:
        return replace(operation, shapes=(_stock_face(part.stock),))
    return replace(operation, points=()) if phase is Phase.WALLS else operation


def _stock_face(stock: Stock) -> Path:
    from kitforge.geometry.shapes import rectangle

    return rectangle((stock.length, stock.width))


def depths_of(
    part: Part, operation: Operation, wish: PassOptions, phase: Phase, deepest: float | None = None
) -> tuple[Datum, Interval]:
    """Return the surface that a pass of an operation counts from, and from where to where its tip goes below it, mm.

    The one place where a pass is given its depth. deepest: of an engraving, as its ways run. A through cut goes its
    allowance below the wood, unless a skin or wood for the next pass is to stay. A pass finds what the one before has
    left: stock on the floor, or, where the face itself was roughed, a new face.
    """
    datum, wood = operation.datum, operation.datum.wood(part.stock.actual)
    floor = wood - operation.skin if operation.through else operation.depth
    rough = operation.roughing
    if rough is not None and phase is Phase.ROUGHING:
        passes_out = operation.through and not operation.skin and not wish.leave_floor
        return datum, Interval(0.0, floor + (operation.allowance if passes_out else -wish.leave_floor))
    left = rough.leave_floor if rough is not None and phase is not Phase.WALLS else 0.0
    tip = deepest if deepest is not None else floor
    if operation.through and not operation.skin:
        tip += operation.allowance
    if left and covers(operation, part):
        roughed = replace(datum, below=datum.from_face(tip - left), by=f"{part.key}/{operation.name}/{Phase.ROUGHING}")
        return roughed, Interval(0.0, left)
    return datum, Interval(floor - left if left else 0.0, tip)


def _stepover(operation: Operation, wish: PassOptions, phase: Phase) -> float | None:
    clears = operation.does in (OperationKind.POCKET, OperationKind.DISH, OperationKind.FACE)
    if not clears or phase is Phase.WALLS:
        return None
    if wish.stepover is not None:
        return wish.stepover
    if phase is not Phase.FINISHING:
        return ROUGH_STEPOVER * wish.cutter.diameter
    rounded = wish.cutter.kind in (CutterKind.BALL_NOSE, CutterKind.BOWL)
    return (FINISH_STEPOVER if rounded else FLAT_FINISH_STEPOVER) * wish.cutter.diameter
