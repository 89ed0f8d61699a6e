"""Which cutters may stand in for those that a kit names: the drawing stays true, the reach and every window hold.

Diameters. A hole and a line are as wide as their cutter, a rounded floor has its form: no other will do. Outside a part
a wider cutter would take more room on the stock. Inside, it must get into every corner that is rounded for it; corners
that a cutter leaves have its own radius, so a smaller one only leaves less. Derived from the geometry; how far from the
named cutter to look, and to 0.1 mm, is common practice.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from kitforge.cutting.other_cutter import cutter_of, with_cutter
from kitforge.geometry.corners import inside_corner_radius
from kitforge.geometry.region import not_in_another, unreachable_area
from kitforge.model.kit import Cutter, CutterKind, OperationKind, Side
from kitforge.model.plan import MachinePlan, Plan, served
from kitforge.model.settings import CutSettings, CutterGeometry
from kitforge.model.steps import Step
from kitforge.planning.areas import filled, width_at

SAME = 0.05
"""So far off a diameter may be where it sets the size of what is cut, mm."""
NEAR = (0.8, 0.85, 0.9, 0.95)
"""Shares of the diameter down to which others are looked for, smallest first."""
WIDER = 1.25
LONGER = (2.0, 1.5, 1.25)
FLUTES = (1, 2, 3, 4)
_EDGE_KINDS = (CutterKind.STRAIGHT, CutterKind.UP_CUT, CutterKind.DOWN_CUT, CutterKind.COMPRESSION)
_LINES = (OperationKind.GROOVE, OperationKind.DRILL)
_HAIR = 1e-6


@dataclass(frozen=True, slots=True)
class StandIn:
    """What may stand in for a cutter. low, high: diameters mm; flutes: fewest and most; edge: shortest and longest
    cutting length mm; corners: it leaves inside corners of its own radius; sets_size: its diameter is that of what it
    cuts, so that no other will do."""

    cutter: Cutter
    low: float
    high: float
    flutes: tuple[int, int]
    edge: tuple[float, float]
    corners: bool
    sets_size: bool

    def takes(self, diameter: float, flutes: int, edge: float) -> bool:
        """Return whether a cutter of the same kind with these sizes may stand in."""
        return (
            self.low - _HAIR <= diameter <= self.high + _HAIR
            and self.flutes[0] <= flutes <= self.flutes[1]
            and self.edge[0] - _HAIR <= edge <= self.edge[1] + _HAIR
        )


def stand_ins(plan: Plan) -> dict[str, StandIn]:
    """Return what may stand in for each cutter of a plan, by its key, on all classes that the pack is for."""
    machines = served(plan.machines)
    by_cutter: dict[str, list[Step]] = {}
    for step in plan.steps:
        by_cutter.setdefault(step.cutter.key, []).append(step)
    return {key: stand_in(steps, machines) for key, steps in by_cutter.items()}


def stand_in(steps: Sequence[Step], machines: Sequence[MachinePlan]) -> StandIn:
    """Return what may stand in for the cutter of some steps, which is one and the same."""
    cutter = steps[0].cutter
    low, high = drawing_allows(steps)
    found = [
        machine.settings[step.key].detail for machine in machines for step in steps if step.key in machine.settings
    ]
    tried = _Trial([one for one in found if one is not None and cutter_of(one) is not None])
    high = high if high <= cutter.diameter or tried.holds(diameter=high) else cutter.diameter
    return StandIn(
        cutter=cutter,
        low=min(_lowest(tried, cutter, low), cutter.diameter),
        high=max(_down(high), cutter.diameter),
        flutes=_flutes(tried, cutter),
        edge=_edges(tried, cutter, steps),
        corners=any(_leaves_corners(step) for step in steps),
        sets_size=any(_sets_size(step) for step in steps),
    )


def drawing_allows(steps: Sequence[Step]) -> tuple[float, float]:
    """Return the smallest and the largest diameter with which what these steps cut stays true to the drawing, mm."""
    ranges = [_true_to_drawing(step) for step in steps]
    return max(one[0] for one in ranges), min(one[1] for one in ranges)


@dataclass(frozen=True, slots=True)
class _Trial:
    """Settings that are worked again with another cutter, all of one."""

    found: Sequence[CutSettings]

    def holds(
        self, diameter: float | None = None, flutes: int | None = None, cutting_length: float | None = None
    ) -> bool:
        """Return whether every window holds with another size of the cutter; a longer edge makes it longer over all."""
        return all(
            isinstance(with_cutter(one, _other(one, diameter, flutes, cutting_length)), CutSettings)
            for one in self.found
        )


def _other(found: CutSettings, diameter: float | None, flutes: int | None, edge: float | None) -> CutterGeometry:
    cutter = cutter_of(found)
    assert cutter is not None
    own = cutter.cutting_length
    return replace(
        cutter,
        diameter=diameter or cutter.diameter,
        flutes=flutes or cutter.flutes,
        cutting_length=edge or own,
        overall_length=cutter.overall_length + max(0.0, (edge or own) - own),
    )


def _true_to_drawing(step: Step) -> tuple[float, float]:
    """Return the smallest and the largest diameter with which the drawing of a step stays true, mm."""
    diameter, does = step.cutter.diameter, step.operation.does
    if _sets_size(step):
        return diameter - SAME, diameter + SAME
    if step.cutter.kind is CutterKind.V_BIT:
        return width_at(step.cutter, step.depth), diameter * WIDER
    if does is OperationKind.FACE:
        return diameter * NEAR[0], diameter * WIDER
    if does is OperationKind.PROFILE and step.operation.side is Side.OUTSIDE:
        return 0.0, diameter
    return 0.0, _widest_inside(step)


def _sets_size(step: Step) -> bool:
    operation, rounded = step.operation, step.cutter.kind in (CutterKind.BALL_NOSE, CutterKind.BOWL)
    along = operation.does is OperationKind.PROFILE and operation.side is Side.ON
    if step.cutter.kind is CutterKind.V_BIT:
        return False
    return rounded or along or operation.does in _LINES or bool(operation.points)


def _corner_radius(step: Step) -> float:
    """Return the smallest radius of the corners that a cutter has to get into, mm; infinite without any."""
    shapes = [path for path in step.operation.shapes if path.closed]
    if step.operation.does is OperationKind.PROFILE and step.operation.side is Side.OUTSIDE:
        return min((inside_corner_radius(path, "outside") for path in shapes), default=math.inf)
    outer = not_in_another(shapes)
    radii = [inside_corner_radius(path, "inside" if path in outer else "outside") for path in shapes]
    return min(radii, default=math.inf)


def _leaves_corners(step: Step) -> bool:
    does = step.operation.does
    if does not in (OperationKind.POCKET, OperationKind.PROFILE, OperationKind.DISH) or _sets_size(step):
        return False
    return _corner_radius(step) < step.cutter.radius - SAME


def _widest_inside(step: Step) -> float:
    """Return the widest cutter that reaches all that the planned one reaches inside shapes, mm."""
    diameter = step.cutter.diameter
    widest = min(2 * _corner_radius(step), diameter * WIDER)
    if widest <= diameter:
        return diameter
    area = filled(step.operation.shapes)
    leaves = unreachable_area(area, widest / 2) - unreachable_area(area, diameter / 2)
    return widest if leaves < SAME else diameter


def _lowest(tried: _Trial, cutter: Cutter, low: float) -> float:
    """Return the smallest diameter, to 0.1 mm, with which all windows hold."""
    if low >= cutter.diameter - 2 * SAME:
        return low
    shares = (max(low, share * cutter.diameter) for share in NEAR)
    return next((_up(size) for size in shares if tried.holds(diameter=_up(size))), cutter.diameter)


def _flutes(tried: _Trial, cutter: Cutter) -> tuple[int, int]:
    if cutter.kind is CutterKind.DRILL:
        return cutter.flutes, cutter.flutes
    hold = {count for count in FLUTES if count == cutter.flutes or tried.holds(flutes=count)}
    low = high = cutter.flutes
    while low - 1 in hold:
        low -= 1
    while high + 1 in hold:
        high += 1
    return low, high


def _edges(tried: _Trial, cutter: Cutter, steps: Iterable[Step]) -> tuple[float, float]:
    """Return the shortest edge, which is as long as the deepest cut, and the longest with which all windows hold."""
    own = cutter.cutting_length
    if cutter.kind not in _EDGE_KINDS:
        return own, own
    least = min(own, _up(max(step.depth for step in steps)))
    shortest = least if tried.holds(cutting_length=least) else own
    return shortest, next((_down(own * by) for by in LONGER if tried.holds(cutting_length=own * by)), own)


def _up(size: float) -> float:
    return math.ceil(size * 10 - _HAIR) / 10


def _down(size: float) -> float:
    return math.floor(size * 10 + _HAIR) / 10
