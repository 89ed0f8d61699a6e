"""The hole that shows whether a piece lies right after turning: drilled through the waste from its first face.

Where it comes out on the second face says more than any edge: a piece that is too long, lies askew or was turned the
wrong way round shows it elsewhere. Common practice, no source.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, TypeAlias

from shapely import Point, box, union_all
from shapely.geometry.base import BaseGeometry

from kitforge.geometry.shapes import rectangle
from kitforge.model.kit import CutterKind, Face, Operation, OperationKind, Part, PassOptions, Side
from kitforge.model.plan import PlannedSetup, TurningHole
from kitforge.model.steps import Phase, Step
from kitforge.planning.areas import area_of
from kitforge.planning.fasteners import EDGE, grid_points, taken_area
from kitforge.planning.step_geometry import with_geometry

if TYPE_CHECKING:
    from kitforge.model.kit import Kit

AWAY = 4.0
"""What is left between the hole and every cut, part and fastener, mm: common practice, no source."""
OUT = 0.5
"""How far the hole goes on below the piece, mm: common practice, no source."""
NAME = "check-hole"
"""The name of the hole's operation, and of its layer in the drawing of the sheet."""
_KINDS = (CutterKind.UP_CUT, CutterKind.DOWN_CUT, CutterKind.STRAIGHT, CutterKind.COMPRESSION, CutterKind.DRILL)


Drillable: TypeAlias = Callable[[Step], bool]
"""Says whether a hole has settings on every class of machine that the kit is for."""


def turning_holes(
    kit: Kit, setups: Sequence[PlannedSetup], steps: Sequence[Step], drillable: Drillable
) -> tuple[TurningHole, ...]:
    """Return the holes of all pieces of stock that are turned over and have room and a cutter for one.

    A stock of which several pieces are laid out each in its own way has none: one place for all is what can be told.
    """
    pairs = [(a, b) for a, b in itertools.pairwise(setups) if a.same_piece(b)]
    firsts = {a.key[:2]: (a, b) for a, b in reversed(pairs)}
    layouts = Counter(stock for stock, _number in firsts)
    alone = [pair for key, pair in reversed(firsts.items()) if layouts[key[0]] == 1]
    found = [turning_hole(kit, steps, first, second, drillable) for first, second in alone]
    return tuple(hole for hole in found if hole is not None)


def turning_hole(
    kit: Kit, steps: Sequence[Step], first: PlannedSetup, second: PlannedSetup, drillable: Drillable
) -> TurningHole | None:
    """Return the hole for a piece that is cut from `first` and then from `second`; None where nothing fits.

    The last step of the first face that has a cutter for it lends the cutter, and the hole is drilled right after this
    step, so that none is changed for it.
    """
    by_key = {step.key: step for step in steps}
    lenders: dict[str, Step] = {}
    for step in (by_key[key] for key in reversed(first.steps)):
        if _can_drill(step):
            lenders.setdefault(step.cutter.key, step)
    holes = (_hole_after(step, kit, steps, first, second) for step in lenders.values())
    return next((hole for hole in holes if hole is not None and drillable(hole.step)), None)


def _hole_after(
    step: Step, kit: Kit, steps: Sequence[Step], first: PlannedSetup, second: PlannedSetup
) -> TurningHole | None:
    """Return the hole that is drilled after a step with its cutter, as far from X0 Y0 as the waste allows."""
    points = grid_points(_waste(kit, steps, (first, second), step.cutter.radius + AWAY))
    length = first.stock.length
    lying = [(x if first.face is Face.TOP else length - x, y) for x, y in points.tolist()]
    if not lying:
        return None
    x, y = max(lying, key=lambda spot: (round(spot[0] + spot[1], 3), spot))
    x, y = float(round(x)), float(round(y))
    drilled = _drilled(first, step, (x, y))
    return TurningHole(with_geometry(kit, drilled), first.face, first.sheets, (x, y), (length - x, y))


def _drilled(setup: PlannedSetup, lender: Step, at: tuple[float, float]) -> Step:
    """Return the hole as a step; the piece of stock stands for a part, and places are those on the face that is up."""
    stock, face, wish = setup.stock, rectangle((setup.stock.length, setup.stock.width)), PassOptions(lender.cutter)
    part = Part(f"{stock.key}-{setup.key[1]}", str(stock.title), stock, 1, face, (), stock.source, stock.source)
    operation = Operation(
        NAME, "", OperationKind.DRILL, part.key, (), (at,), lender.wood, True, OUT, setup.face, Side.INSIDE, None, wish,
        stock.source, datum=lender.datum,
    )  # fmt: skip
    area = area_of(operation, lender.cutter, lender.cutter.diameter, 0.0, floor=True)
    return Step(
        f"{part.key}/{NAME}", lender.number, part, operation, Phase.CHECKING, lender.cutter, lender.wood + OUT, 0.0,
        None, len(setup.sheets), setup.face, datum=lender.datum, path_length=area.travel.length,
        corners=area.travel.corners, plunges=area.plunges, travel=area.travel, cut=area.cut, swept=area.swept,
    )  # fmt: skip


def _can_drill(step: Step) -> bool:
    """Whether a cutter makes a hole straight down through the piece, with its edges longer than the hole is deep."""
    cutter = step.cutter
    return cutter.kind in _KINDS and cutter.centre_cutting and cutter.cutting_length >= step.wood + OUT


def _waste(kit: Kit, steps: Sequence[Step], setups: Sequence[PlannedSetup], reach: float) -> BaseGeometry:
    """Return where the middle of the hole may be, in the coordinates of the sheet."""
    stock = setups[0].stock
    edge = EDGE + reach
    taken = [taken_area(kit, sheet, steps) for setup in setups for sheet in setup.sheets]
    held = [Point(one.x, one.y).buffer(one.keep_out) for setup in setups for one in setup.fasteners]
    sheet = box(edge, edge, stock.length - edge, stock.width - edge)
    # places are rounded to whole millimetres afterwards
    return sheet.difference(union_all([*taken, *held]).buffer(reach + 1.0))
