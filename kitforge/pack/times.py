"""How long a kit takes apart from the machine: work by hand, and waiting for wood, glue and finish."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.language import inside, say, say_as
from kitforge.model.facts import PieceUse
from kitforge.model.family import SizeTimes, Span
from kitforge.model.plan import served
from kitforge.pictures.drawn.shots import shots_of
from kitforge.print.figures import minutes
from kitforge.workshop.handwork import handwork

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from kitforge.model.kit import Kit
    from kitforge.model.plan import MachinePlan, Plan

_MINUTE, _HOUR, _DAY = 60.0, 3600.0, 86400.0


@dataclass(frozen=True, slots=True)
class WorkTimes:
    """(short, long) s: work by hand, and waiting while nothing is done. Figures: `handwork.yaml` and the finish."""

    hands_on: Span
    waiting: Span


def work_times(kit: Kit, plan: Plan) -> WorkTimes:
    """Return the times of a kit that are not spent at the machine."""
    return WorkTimes(_sum(_hands_on(kit, plan)), _sum(_waiting(kit, plan)))


def timed_machine(machines: Sequence[MachinePlan]) -> MachinePlan | None:
    """Return the class whose time is stated where there is room for one: the weakest of these that the kit fits.

    It is what most readers have; a span over classes that differ by six would be nobody's time.
    """
    found = served(machines) or machines
    return min(found, key=lambda one: one.machine.rank, default=None)


def machine_words(machines: Sequence[MachinePlan]) -> str:
    """Return the time at the machine on that class, with its name, or a dash."""
    one = timed_machine(machines)
    return "–" if one is None else on_class(one.machine_seconds, one.machine.name)


def on_class(seconds: Span, name: str) -> str:
    """Return a time at the machine with the name of the class that takes it."""
    return say("{time} ({machine})", time=minutes(seconds), machine=inside(say_as(name)))


def size_times(kit: Kit, plan: Plan, machines: Sequence[MachinePlan]) -> SizeTimes:
    """Return all times of a kit as facts. machines: the classes that are printed."""
    one, times = timed_machine(machines), work_times(kit, plan)
    if one is None:
        return SizeTimes("", None, times.hands_on, times.waiting)
    return SizeTimes(one.machine.name, one.machine_seconds, times.hands_on, times.waiting)


def time_lines(times: SizeTimes) -> Iterator[str]:
    """Yield the times of a kit in words: at the machine, by hand and waiting."""
    if times.at_machine is not None:
        yield say("Time at the machine: {time}", time=on_class(times.at_machine, times.machine))
    work = WorkTimes(times.hands_on, times.waiting)
    yield say("Work by hand: {time}", time=hands_on_words(work))
    if waiting := waiting_words(work):
        yield say("Waiting for wood, glue and finish: {days}", days=waiting)


def sanding_minutes(area: float) -> int:
    """Return the minutes to sand `area` mm² by hand with one grit, in fives."""
    by_area, least = handwork().minutes["sanding_area"].middle, 5
    return max(least, least * math.ceil(area / 1e6 * by_area / least - 1e-9))


def sanded_areas(kit: Kit, plan: Plan) -> list[float]:
    """Return the area that each grit of a kit sands, mm²: the first everything, the others all but the walls."""
    found = [(part.count, shots_of(kit, plan).parts[part.key].areas) for part in kit.parts]
    whole = sum(count * areas.total for count, areas in found)
    walls = sum(count * areas.walls for count, areas in found)
    return [whole if index == 0 else whole - walls for index in range(len(kit.finishing.sanding))]


def coated_area(kit: Kit, plan: Plan) -> float:
    """Return the surface of all copies of all parts as cut, mm²: what a finish is put on."""
    return sum(part.count * shots_of(kit, plan).parts[part.key].areas.total for part in kit.parts)


def _hands_on(kit: Kit, plan: Plan) -> Iterator[Span]:
    figures = handwork().minutes
    joints = sum(ready.pieces * (ready.glue.strips - 1) for ready in plan.prepared if ready.glue is not None)
    freed = sum(part.count for part in kit.parts)
    steps = sum(not step.dry for step in kit.assembly)
    for name, count in (("joint", joints), ("freed_part", freed), ("assembly_step", steps)):
        yield _MINUTE * count * figures[name].low, _MINUTE * count * figures[name].high
    areas = sanded_areas(kit, plan)
    sanding, share = sum(map(sanding_minutes, areas)), figures["sanding_share"]
    yield _MINUTE * sanding * share.low, _MINUTE * sanding * share.high
    finish = kit.finishing.finish
    if finish is not None:
        coated = coated_area(kit, plan) / 1e6
        each, area = figures["coat"], figures["coat_area"]
        yield (
            _MINUTE * finish.coats * (each.low + coated * area.low),
            _MINUTE * finish.coats * (each.high + coated * area.high),
        )


def settling(kit: Kit) -> Span:
    """Return how long solid wood lies where the piece will live before it is cut, (short, long) s."""
    hours = handwork().hours["settling_outdoors" if PieceUse.OUTDOORS in kit.info.uses else "settling"]
    return _HOUR * hours.low, _HOUR * hours.high


def _waiting(kit: Kit, plan: Plan) -> Iterator[Span]:
    figures = handwork().hours
    if any(not ready.stock.material.is_panel for ready in plan.prepared):
        yield settling(kit)
    if any(ready.glue is not None for ready in plan.prepared):
        yield _HOUR * figures["glue"].low, _HOUR * figures["glue"].high
    finish = kit.finishing.finish
    if finish is not None:
        yield _HOUR * finish.coats * finish.dry_hours.low, _HOUR * finish.coats * finish.dry_hours.high
        yield _DAY * finish.cure_days.low, _DAY * finish.cure_days.high


def _sum(spans: Iterator[Span]) -> Span:
    found = list(spans)
    return sum(low for low, _high in found), sum(high for _low, high in found)


def hands_on_words(times: WorkTimes) -> str:
    """Return the work by hand, e.g. '2 h to 3 h 30 min'."""
    return minutes(times.hands_on)


def waiting_words(times: WorkTimes) -> str:
    """Return the waiting in days, e.g. '9–17 days'; empty where there is none to speak of."""
    low, high = (max(1, math.ceil(seconds / _DAY - 1e-9)) for seconds in times.waiting)
    if times.waiting[1] < _HOUR:
        return ""
    if low == high:
        return say("about {count} days", count=high) if high > 1 else say("about a day")
    return say("{low}–{high} days", low=low, high=high)
