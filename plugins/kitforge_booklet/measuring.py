"""Dimensions to measure on the finished parts, with tolerances and a blank for the reader."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.kit import Doing
from kitforge.language import say
from kitforge.lines import Line, line
from kitforge.needs import JointNeed, SeatNeed
from kitforge.print.figures import Measure

if TYPE_CHECKING:
    from collections.abc import Iterator

    from kitforge.kit import Kit, Operation, Part
    from kitforge.print.figures import Units
    from kitforge.print.pictures.shots import Shots

MOST = 10
_ISO_2768_M = ((6.0, 0.1), (30.0, 0.2), (120.0, 0.3), (400.0, 0.5), (1000.0, 0.8), (2000.0, 1.2), (4000.0, 2.0))
"""Size up to, mm, and permitted deviation ± mm: ISO 2768-1, linear dimensions, class m (recalled)."""
_DEPTH = 0.2


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


def checks(kit: Kit, shots: Shots, units: Units) -> tuple[CheckRow, ...]:
    """Return five to ten dimensions where the kit has them, those that other things must fit first."""
    kinds = [
        list(_openings(kit, units)),
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
            "Measure before you sand, with a calliper where it reaches. A size that is off tells what to correct "
            "before the next piece."
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
    box = part.outline.bounds
    if abs(box.width - box.height) < 0.01:
        yield _row(part, say("Across, both ways"), box.width, tolerance(box.width), units)
        return
    yield _row(part, say("Length, left to right"), box.width, tolerance(box.width), units)
    yield _row(part, say("Width, front to back"), box.height, tolerance(box.height), units)


def _depths(part: Part, units: Units) -> Iterator[CheckRow]:
    for operation in part.operations:
        if operation.does in (Doing.POCKET, Doing.DISH) and not operation.through:
            yield _row(part, say("{what}: depth", what=operation.title), part.finished_depth(operation), _DEPTH, units)


def _openings(kit: Kit, units: Units) -> Iterator[CheckRow]:
    """Seats and slots that something must fit: between the least play that was asked for and what was drawn."""
    for need in kit.needs:
        if isinstance(need, JointNeed):
            part, taken = kit.part(need.part), kit.part(need.takes).thickness
            low, high = taken + need.clearance[0], taken + need.clearance[1]
            what = say("{what}: width of the slot", what=_operation(part, need.feature).title)
            span = units.pick(f"{low:.2f}–{high:.2f} mm", f"{low / 25.4:.3f}–{high / 25.4:.3f} in")
            yield CheckRow(part.title, what, span, say("from–to"))
        elif isinstance(need, SeatNeed):
            part = kit.part(need.part)
            yield from _seat(part, _operation(part, need.feature), units)


def _seat(part: Part, operation: Operation, units: Units) -> Iterator[CheckRow]:
    if len(operation.shapes) != 1:
        return
    box = operation.shapes[0].bounds
    if abs(box.width - box.height) < 0.01:
        yield _row(part, say("{what}: across", what=operation.title), box.width, tolerance(box.width), units)
    else:
        size = min(box.width, box.height)
        yield _row(part, say("{what}: short side", what=operation.title), size, tolerance(size), units)


def _holes(part: Part, units: Units) -> Iterator[CheckRow]:
    """The way from the first hole of a set to the one nearest to it, centre to centre."""
    for operation in part.operations:
        points = operation.points or tuple(path.bounds.centre for path in operation.shapes)
        if operation.does not in (Doing.DRILL, Doing.DISH) or len(points) < 2:
            continue
        first = points[0]
        apart = min(((x - first[0]) ** 2 + (y - first[1]) ** 2) ** 0.5 for x, y in points[1:])
        what = say("{what}: first centre to the nearest", what=operation.title)
        yield _row(part, what, apart, tolerance(apart), units)


def _floors(kit: Kit, shots: Shots, units: Units) -> Iterator[CheckRow]:
    for part in kit.parts:
        floor = shots.parts[part.key].floor
        if floor is not None:
            yield _row(part, say("Thinnest floor"), floor.thickness, _DEPTH + 0.1, units)


def _operation(part: Part, name: str) -> Operation:
    return next(operation for operation in part.operations if operation.name == name)
