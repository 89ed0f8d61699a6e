"""The sanding schedule: which grit, on how much, with how much paper, and until when."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.language import say, say_many
from kitforge.model.lines import Line, Use, line
from kitforge.pack.times import sanding_minutes
from kitforge_booklet.amounts import sanded_areas, sheets_of_paper, surface_of
from kitforge_booklet.surface_areas import surface_texts

if TYPE_CHECKING:
    from kitforge.model.kit import Kit
    from kitforge.pictures.drawn.shots import Shots
    from kitforge.print.figures import Units
    from kitforge.surface.figures import Areas


@dataclass(frozen=True, slots=True)
class GritRow:
    """One grit: what is sanded with it, how much paper, how long, when it is done, and what that takes."""

    grit: str
    where: str
    paper: str
    time: str
    until: Line


@dataclass(frozen=True, slots=True)
class SurfaceFact:
    """A kind of surface and its area."""

    what: str
    area: str


@dataclass(frozen=True, slots=True)
class Schedule:
    """Sanding in figures: areas, and grits in order."""

    areas: tuple[SurfaceFact, ...]
    rows: tuple[GritRow, ...]


def schedule(kit: Kit, shots: Shots, units: Units) -> Schedule | None:
    """Return the schedule of a kit; None where nothing is sanded."""
    if not kit.finishing.sanding:
        return None
    surface = surface_of(kit, shots)
    return Schedule(_areas(surface, units), _rows(kit, surface, units))


def _areas(surface: Areas, units: Units) -> tuple[SurfaceFact, ...]:
    said = surface_texts(surface, units)
    found = (
        (say("Faces"), said.faces),
        (say("Floors of pockets, dishes and grooves"), said.hollows),
        (say("Their walls and the sides of holes"), said.walls),
        (say("Edges"), said.edges),
        (say("All together"), said.total),
    )
    return tuple(SurfaceFact(name, area) for name, area in found if area)


def _rows(kit: Kit, surface: Areas, units: Units) -> tuple[GritRow, ...]:
    grits = kit.finishing.sanding
    rows = []
    for index, (grit, area, words) in enumerate(sanded_areas(kit, surface, units)):
        last = index == len(grits) - 1 and index > 0
        rows.append(
            GritRow(
                str(grit),
                say("Everything, {area}", area=words) if index == 0 else say("All but the walls, {area}", area=words),
                say_many("one sheet", "{count} sheets", sheets_of_paper(area, grit)),
                say("about {count} min", count=sanding_minutes(area)),
                _until(index, grit, last=last),
            )
        )
    return tuple(rows)


def _until(index: int, grit: int, *, last: bool) -> Line:
    paper = Use("abrasive_paper", detail=say("grit {grit}", grit=grit))
    if index == 0:
        text = say(
            "Every mark of the cutter is gone. Sand along the grain; wrap the paper round a block on flat faces."
        )
        return line(text, paper, "sanding_block", "dust_mask")
    if last:
        text = say("The scratches of the grit before are gone. Vacuum, then wipe the dust off.")
        return line(text, paper, "vacuum_cleaner", Use("cloth", 1))
    return line(say("The scratches of the grit before are gone. Vacuum before the next grit."), paper, "vacuum_cleaner")
