"""What the author states about the finished piece: things to buy with their hazards, its use, trials."""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING

from kitforge.definition import kinds
from kitforge.model.facts import Hardware, Hazard, PieceUse, Tried
from kitforge.model.messages import msg
from kitforge.resolve.values import MACHINES, MATERIALS, ValueRange, label

if TYPE_CHECKING:
    from kitforge.definition.positions import Place
    from kitforge.definition.schema import Definition, HardwareEntry, KitEntry, TriedEntry
    from kitforge.model.workshop import Workshop
    from kitforge.resolve.values import ResolveContext


def resolve_hardware(sheet: ResolveContext, definition: Definition) -> tuple[Hardware, ...]:
    """Return the things to buy; one whose hazard is not stated has None, which is not the same as none."""
    return tuple(_thing(sheet, entry, ("hardware", index)) for index, entry in enumerate(definition.hardware))


def _thing(sheet: ResolveContext, entry: HardwareEntry, at: Place) -> Hardware:
    written = [entry.hazard] if isinstance(entry.hazard, str) else entry.hazard
    hazards = None if written is None else tuple(hazard for hazard in Hazard if hazard.value in written)
    return Hardware(
        entry.item, _count(sheet, entry, (*at, "count")), entry.use, entry.note, hazards, sheet.where.key(*at)
    )


def _count(sheet: ResolveContext, entry: HardwareEntry, at: Place) -> str:
    """Return how many: a number, one that follows from the parameters, or words."""
    if isinstance(entry.count, str) and not entry.count.startswith("="):
        return entry.count
    return str(sheet.whole(entry.count, *at, within=ValueRange(1, 100_000)))


def resolve_uses(entry: KitEntry) -> tuple[PieceUse, ...]:
    """Return how the piece is used, in a fixed order; empty where the author does not say."""
    written = [entry.use] if isinstance(entry.use, str) else entry.use or []
    return tuple(use for use in PieceUse if use.value in written)


def resolve_tried(sheet: ResolveContext, definition: Definition, workshop: Workshop) -> tuple[Tried, ...]:
    """Return the maker's own trials, the latest first."""
    found = [_trial(sheet, definition, workshop, entry, index) for index, entry in enumerate(definition.tried)]
    return tuple(sorted((one for one in found if one), key=lambda one: one.date, reverse=True))


def _trial(
    sheet: ResolveContext, definition: Definition, workshop: Workshop, entry: TriedEntry, index: int
) -> Tried | None:
    at: Place = ("tried", index)
    check_date(sheet, entry.date, (*at, "date"))
    wood = sheet.entry(workshop.materials, entry.wood, MATERIALS, *at, "wood")
    own = definition.own_machines.get(entry.machine)
    if own is not None:
        machine: str | None = own.name or entry.machine
    else:
        named = sheet.entry(workshop.machines, entry.machine, MACHINES, *at, "machine")
        machine = named.name if named else None
    if wood is None or machine is None:
        return None
    return Tried(machine, wood.name, entry.date, entry.seen, sheet.where.key(*at))


def check_date(sheet: ResolveContext, written: str | None, place: Place) -> None:
    """Report a date that is not in the calendar."""
    try:
        datetime.date.fromisoformat(written or "2000-01-01")
    except ValueError:
        message = msg("{place}: '{date}' is not in the calendar.", place=label(place), date=written or "")
        advice = msg("Write it as year-month-day, such as 2025-03-31.")
        sheet.report(kinds.BAD_DATE, place, message, advice)
