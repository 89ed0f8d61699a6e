"""Dimensions to measure on the finished parts, with tolerances and a blank for the reader."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.geometry.extent import Form
from kitforge.language import say
from kitforge.model.kit import OperationKind
from kitforge.model.lines import Line, line
from kitforge.model.needs import JointNeed, SeatNeed
from kitforge.model.units import MM_PER_INCH
from kitforge.planning.joints import slots_of
from kitforge.planning.overall import part_extent
from kitforge.planning.sizes import made_by
from kitforge.planning.walls import walls_of
from kitforge.print.figures import Measure

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from kitforge.geometry.extent import Extent
    from kitforge.model.kit import Kit, Operation, Part
    from kitforge.model.plan import Plan
    from kitforge.pictures.drawn.shots import Shots
    from kitforge.planning.sizes import Made
    from kitforge.planning.walls import Walls
    from kitforge.print.figures import Units

MOST = 10
_ISO_2768_M = ((6.0, 0.1), (30.0, 0.2), (120.0, 0.3), (400.0, 0.5), (1000.0, 0.8), (2000.0, 1.2), (4000.0, 2.0))
"""Size up to, mm, and permitted deviation ± mm: ISO 2768-1, linear dimensions, class m (recalled)."""
_DEPTH = 0.2
_HAIR = 0.05
"""Floors that differ by no more than this are alike, mm."""


@dataclass(frozen=True, slots=True)
class CheckRow:
    """A dimension: on which part, what, what it should be, and how far it may be off."""

    part: str
    what: str
    should: Measure
    tolerance: str


def tolerance(size: float) -> float:
    """Return the permitted deviation of a size, ± mm, after ISO 2768-1 class m (recalled); 2 mm beyond its table."""
    return next((allowed for up_to, allowed in _ISO_2768_M if size <= up_to), _ISO_2768_M[-1][1])


def checks(kit: Kit, plan: Plan, shots: Shots, units: Units) -> tuple[CheckRow, ...]:
    """Return five to ten dimensions where the kit has them, those that other things must fit first."""
    walls = {part.key: walls_of(part) for part in kit.parts}
    kinds = [
        list(_openings(kit, plan, walls, units)),
        [row for part in kit.parts for row in _outline(part, units)],
        [row for part in kit.parts for row in _depths(part, units)],
        [row for part in kit.parts for row in _holes(part, units)],
        list(_floors(kit, shots, units)),
    ]
    chosen: list[CheckRow] = []
    in_turns = [_part_by_part(rows) for rows in kinds]
    for turn in range(MOST):
        chosen += [rows[turn] for rows in in_turns if turn < len(rows)]
    wanted = list(dict.fromkeys(chosen))[:MOST]
    every = dict.fromkeys(row for rows in kinds for row in rows if row in wanted)
    order = {part.title: place for place, part in enumerate(kit.parts)}
    return tuple(sorted(every, key=lambda row: order[row.part]))


def measuring_words() -> Line:
    """Return how and when the parts are measured."""
    return line(
        say(
            "Measure before you sand, with a calliper where it reaches. If a size is off, find out why before "
            "you cut the next piece."
        ),
        "calliper",
        "steel_rule",
    )


def _part_by_part(rows: list[CheckRow]) -> list[CheckRow]:
    """Return rows with the first of every part before the second of any, so that no part goes unmeasured."""
    seen: Counter[str] = Counter()
    turns = []
    for row in rows:
        turns.append((seen[row.part], row))
        seen[row.part] += 1
    return [row for _, row in sorted(turns, key=lambda turn: turn[0])]


def _row(part: Part, what: str, size: float, allowed: float, units: Units) -> CheckRow:
    return CheckRow(part.title, what, units.length(size), _plus_minus(allowed, units))


def _plus_minus(allowed: float, units: Units) -> str:
    return units.pick(f"± {allowed:g} mm", f"± {allowed / 25.4:.3f} in").main


def _outline(part: Part, units: Units) -> Iterator[CheckRow]:
    extent = part_extent(part)
    if extent.form is Form.ROUND:
        yield _row(part, say("Diameter"), extent.along, tolerance(extent.along), units)
    elif extent.is_even:
        yield _row(part, say("Across, both ways"), extent.along, tolerance(extent.along), units)
    elif extent.is_turned:
        yield _row(part, say("Longer side"), extent.longer, tolerance(extent.longer), units)
        yield _row(part, say("Shorter side"), extent.shorter, tolerance(extent.shorter), units)
    else:
        yield _row(part, say("Length, left to right"), extent.along, tolerance(extent.along), units)
        yield _row(part, say("Width, front to back"), extent.across, tolerance(extent.across), units)


def _depths(part: Part, units: Units) -> Iterator[CheckRow]:
    for operation in part.operations:
        if operation.does in (OperationKind.POCKET, OperationKind.DISH) and not operation.through:
            yield _row(part, say("{what}: depth", what=operation.title), part.finished_depth(operation), _DEPTH, units)


def _openings(kit: Kit, plan: Plan, walls: Mapping[str, Walls], units: Units) -> Iterator[CheckRow]:
    """Slots and seats that something must fit, as drawn; of a slot the tolerance is what the play allows."""
    for need in kit.needs:
        if isinstance(need, JointNeed):
            yield from _slot(kit, plan, need, units)
        elif isinstance(need, SeatNeed):
            part = kit.part(need.part)
            operation = part.operation(need.feature)
            yield from _seat(part, operation, walls[part.key].made_by(operation), units)


def _slot(kit: Kit, plan: Plan, need: JointNeed, units: Units) -> Iterator[CheckRow]:
    part, taken = kit.part(need.part), kit.part(need.takes).thickness
    low, high = taken + need.clearance[0], taken + need.clearance[1]
    span = units.pick(f"{low:.2f}–{high:.2f} mm", f"{low / MM_PER_INCH:.3f}–{high / MM_PER_INCH:.3f} in").main
    what = say("{what}: width of the slot", what=part.operation(need.feature).title)
    for width in dict.fromkeys(round(slot.fits[0].slot, 2) for slot in slots_of(kit, plan, need)):
        yield CheckRow(part.title, what, units.length(width), span)


def _seat(part: Part, operation: Operation, made: Made, units: Units) -> Iterator[CheckRow]:
    """The width of a seat between walls that stand, if all that the operation makes are alike."""
    widths = {round(width, 2): one for one in made.extents if (width := _between_walls(one)) is not None}
    if len(widths) != 1:
        return
    ((width, extent),) = widths.items()
    what = say("{what}: across", what=operation.title)
    if not extent.is_even:
        what = say("{what}: short side", what=operation.title)
    yield _row(part, what, width, tolerance(width), units)


def _between_walls(extent: Extent) -> float | None:
    """Return the shorter size of a shape if it can be measured."""
    is_open = extent.open_along if extent.along < extent.across else extent.open_across
    return None if is_open else extent.shorter


def _holes(part: Part, units: Units) -> Iterator[CheckRow]:
    """The way from the first hole of a set to the one nearest to it, centre to centre."""
    for operation in part.operations:
        places = made_by(operation).places
        if operation.does not in (OperationKind.DRILL, OperationKind.DISH) or len(places) < 2:
            continue
        first = places[0]
        apart = min(math.dist(first, other) for other in places[1:])
        what = say("{what}: first centre to the nearest", what=operation.title)
        yield _row(part, what, apart, tolerance(apart), units)


def _floors(kit: Kit, shots: Shots, units: Units) -> Iterator[CheckRow]:
    for part in kit.parts:
        floor = shots.parts[part.key].floor
        if floor is not None:
            thinner = any(_leaves_less(part, one, floor.thickness) for one in part.operations)
            what = say("Thinnest flat floor") if thinner else say("Thinnest floor")
            yield _row(part, what, floor.thickness, _DEPTH + 0.1, units)


def _leaves_less(part: Part, operation: Operation, floor: float) -> bool:
    """Return whether a rounded or pointed cut, which no depth rod measures, goes deeper than a floor that one does."""
    if operation.through or operation.does is OperationKind.CHAMFER:
        return False
    return part.thickness - part.finished_depth(operation) < floor - _HAIR
