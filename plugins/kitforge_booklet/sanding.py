"""The sanding schedule: which grit, on how much, with how much paper, and until when."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.language import say, say_many
from kitforge.print.figures import sentence
from kitforge_booklet.amounts import FINISH_WASTE, area_text, finish_span, sheets_of_paper, surface_of

if TYPE_CHECKING:
    from kitforge.kit import Kit
    from kitforge.print.figures import Units
    from kitforge.print.pictures.shots import Shots
    from kitforge_booklet.amounts import Surface

_ML_PER_OUNCE = 29.5735


@dataclass(frozen=True, slots=True)
class GritRow:
    """One grit: what is sanded with it, how much paper, how long, and when it is done."""

    grit: str
    where: str
    paper: str
    time: str
    until: str


@dataclass(frozen=True, slots=True)
class SurfaceFact:
    """A kind of surface and its area."""

    what: str
    area: str


@dataclass(frozen=True, slots=True)
class Schedule:
    """Sanding and coating in figures: areas, grits in order, what one coat takes, rags, and the days it all takes."""

    areas: tuple[SurfaceFact, ...]
    rows: tuple[GritRow, ...]
    coats: tuple[str, ...]


def minutes_for(area: float) -> int:
    """Return the minutes to sand `area` mm² by hand with one grit: 60 a m², common practice, no source."""
    return max(5, 5 * math.ceil(area / 1e6 * 60 / 5 - 1e-9))


def schedule(kit: Kit, shots: Shots, units: Units) -> Schedule | None:
    """Return the schedule of a kit; None where it asks for neither sanding nor finish."""
    if not (kit.finishing.sanding or kit.finishing.finish):
        return None
    surface = surface_of(kit, shots)
    return Schedule(_areas(surface, units), _rows(kit, surface, units), _coats(kit, surface, units))


def _areas(surface: Surface, units: Units) -> tuple[SurfaceFact, ...]:
    found = (
        (say("Faces"), surface.faces),
        (say("Floors of pockets, dishes and grooves"), surface.hollows),
        (say("Their walls and the sides of holes"), surface.walls),
        (say("Edges"), surface.edges),
        (say("All together"), surface.total),
    )
    return tuple(SurfaceFact(name, area_text(area, units)) for name, area in found if area > 50)


def _rows(kit: Kit, surface: Surface, units: Units) -> tuple[GritRow, ...]:
    grits = kit.finishing.sanding
    rows = []
    for index, grit in enumerate(grits):
        last = index == len(grits) - 1 and index > 0
        area = surface.total if index == 0 else surface.total - surface.walls
        rows.append(
            GritRow(
                str(grit),
                say("Everything, {area}", area=area_text(area, units))
                if index == 0
                else say("All but the walls, {area}", area=area_text(area, units)),
                say_many("one sheet", "{count} sheets", sheets_of_paper(area, grit)),
                say("about {count} min", count=minutes_for(area)),
                _until(index, last=last),
            )
        )
    return tuple(rows)


def _until(index: int, *, last: bool) -> str:
    if index == 0:
        return say(
            "Every mark of the cutter is gone. Sand along the grain; wrap the paper round a block on flat faces."
        )
    if last:
        return say("The scratches of the grit before are gone. Vacuum, then wipe the dust off.")
    return say("The scratches of the grit before are gone. Vacuum before the next grit.")


def _coats(kit: Kit, surface: Surface, units: Units) -> tuple[str, ...]:
    finish = kit.finishing.finish
    if finish is None:
        return ()
    low, high = finish_span(kit, surface.total)
    bought = high * (1 + FINISH_WASTE)
    each = units.pick(
        f"{max(1, round(low / finish.coats))}–{max(1, math.ceil(high / finish.coats))} ml",
        _ounces(low, high, finish.coats),
    )
    days = finish.coats * finish.dry_hours.high / 24
    lines = [
        say(
            "Each coat takes {each}; have {whole} at hand. Do every face of a part before you set it down on pins or "
            "narrow strips.",
            each=each,
            whole=units.pick(f"{math.ceil(bought)} ml", f"{bought / _ML_PER_OUNCE:.1f} fl oz"),
        ),
        say(
            "Use a fresh lint-free cloth for each coat, {cloths} in all with one to wipe dust.",
            cloths=finish.coats + 1,
        ),
        say(
            "Count {days} from the first coat to the last dry one, and up to {cure} more until it is fully "
            "cured: no water, no weight and no food on it before.",
            days=say_many("one day", "{count} days", max(1, math.ceil(days))),
            cure=say_many("one day", "{count} days", max(1, math.ceil(finish.cure_days.high))),
        ),
    ]
    return tuple(sentence(line) for line in lines)


def _ounces(low: float, high: float, coats: int) -> str:
    return f"{low / coats / _ML_PER_OUNCE:.2f}–{high / coats / _ML_PER_OUNCE:.2f} fl oz"
