"""The hole that shows whether a piece lies right after turning: drilled through the waste from its first face.

Where it comes out on the second face says more than any edge: a piece that is too long, lies askew or was turned the
wrong way round shows it elsewhere. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.model.kit import CutterKind, Face
from kitforge.planning.fasteners import EDGE, grid_points, taken_area

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from kitforge.model.kit import Kit
    from kitforge.model.plan import Plan, PlannedSetup, Step

AWAY = 4.0
"""What is left between the hole and every cut, part and fastener, mm: common practice, no source."""
OUT = 0.5
"""How far the hole goes on below the piece, mm: common practice, no source."""
_KINDS = (CutterKind.UP_CUT, CutterKind.DOWN_CUT, CutterKind.STRAIGHT, CutterKind.COMPRESSION, CutterKind.DRILL)


@dataclass(frozen=True, slots=True)
class TurningHole:
    """A hole through the waste: which step's cutter and settings, how deep, where from X0 Y0 on either face, mm."""

    step: Step
    depth: float
    first: tuple[float, float]
    second: tuple[float, float]


def turning_hole(kit: Kit, plan: Plan, first: PlannedSetup, second: PlannedSetup) -> TurningHole | None:
    """Return the hole for a piece that is cut from `first` and then from `second`; None where nothing fits.

    The last step of the first face that has a cutter for it drills it, so that no cutter is changed for it where that
    can be; its place is as far from X0 Y0 as the waste allows.
    """
    step = next((one for one in reversed(_steps(plan, first)) if _can_drill(one)), None)
    if step is None:
        return None
    points = grid_points(_waste(kit, plan, (first, second), step.cutter.radius + AWAY))
    length = first.stock.length
    lying = [(x if first.face is Face.TOP else length - x, y) for x, y in points.tolist()]
    if not lying:
        return None
    x, y = max(lying, key=lambda spot: (round(spot[0] + spot[1], 3), spot))
    x, y = float(round(x)), float(round(y))
    return TurningHole(step, step.wood + OUT, (x, y), (length - x, y))


def _steps(plan: Plan, setup: PlannedSetup) -> list[Step]:
    return [plan.step(key) for key in setup.steps]


def _can_drill(step: Step) -> bool:
    """Whether a cutter makes a hole straight down through the piece, with its edges longer than the hole is deep."""
    cutter = step.cutter
    return cutter.kind in _KINDS and cutter.centre_cutting and cutter.cutting_length >= step.wood + OUT


def _waste(kit: Kit, plan: Plan, setups: Sequence[PlannedSetup], reach: float) -> BaseGeometry:
    """Return where the middle of the hole may be, in the coordinates of the sheet."""
    from shapely import Point, box, union_all

    stock = setups[0].stock
    edge = EDGE + reach
    taken = [taken_area(kit, sheet, plan.steps) for setup in setups for sheet in setup.sheets]
    held = [Point(one.x, one.y).buffer(one.keep_out) for setup in setups for one in setup.fasteners]
    sheet = box(edge, edge, stock.length - edge, stock.width - edge)
    # places are rounded to whole millimetres afterwards
    return sheet.difference(union_all([*taken, *held]).buffer(reach + 1.0))
