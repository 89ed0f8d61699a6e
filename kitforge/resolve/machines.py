"""The machine classes that a kit is for, with machines of the author's own."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from kitforge.definition import kinds
from kitforge.definition.machines import MachineEntry
from kitforge.definition.positions import Place
from kitforge.definition.schema import Definition
from kitforge.definition.values import Raw
from kitforge.model.messages import Message, msg
from kitforge.model.workshop import MachineClass, Workshop
from kitforge.resolve.values import MACHINES, ResolveContext, ValueRange, label
from kitforge.workshop.load import load_workshop
from kitforge.workshop.own_machine import RefusedMachineError, machine_from_mapping

_ANY = ValueRange(-1e9, 1e9)
_LENGTHS = ("area", "z_travel", "clearance", "collets", "nut")
_FEEDS = ("feed_limit", "plunge_limit")
_WORDS = ("like", "name", "about", "force_class")


def resolve_machines(sheet: ResolveContext, definition: Definition, workshop: Workshop) -> dict[str, MachineClass]:
    """Return the machine classes that the kit is for, weakest first: those named, else all, with the author's own."""
    known = dict(workshop.machines)
    for key, entry in definition.own_machines.items():
        if key in workshop.machines:
            message = msg("{place}: there is a machine class of this name already.", place=label(("own_machines", key)))
            sheet.report(kinds.DUPLICATE_NAME, ("own_machines", key), message, msg("Choose another name."), key=True)
        machine = own_machine(sheet, key, entry, ("own_machines", key))
        known |= {key: machine} if machine is not None else {}
    if not definition.machines:
        return _by_rank(known.values())
    written = enumerate(definition.machines)
    named = [_named(sheet, definition, known, name, index) for index, name in written]
    return _by_rank(machine for machine in named if machine is not None)


def _named(
    sheet: ResolveContext, definition: Definition, known: dict[str, MachineClass], name: str, index: int
) -> MachineClass | None:
    """Return the machine that the kit names, or None after a finding, for an own machine at that machine's place."""
    if name in definition.own_machines:
        return known.get(name)
    return sheet.entry(known, name, MACHINES, "machines", index)


def _by_rank(machines: Iterable[MachineClass]) -> dict[str, MachineClass]:
    return {machine.key: machine for machine in sorted(machines, key=lambda one: (one.rank, one.key))}


def own_machine(sheet: ResolveContext, key: str, entry: MachineEntry, at: Place) -> MachineClass | None:
    """Return the machine that an entry at a place of the file describes, or None after a finding."""
    before = sheet.failures
    data = {name: _plain(sheet, name, getattr(entry, name), (*at, name)) for name in entry.model_fields_set}
    readable = {name: value for name, value in data.items() if not _has_nan(value)}
    try:
        machine = machine_from_mapping(key, readable)
    except RefusedMachineError as error:
        for field, problem in error.problems:
            _report(sheet, at, field, problem)
        return None
    for field in ("like", "force_class"):
        if isinstance(readable.get(field), str):
            sheet.entry(load_workshop().machines, str(readable[field]), MACHINES, *at, field)
    return machine if sheet.failures == before else None


def _has_nan(value: object) -> bool:
    """Return whether a number in the value could not be worked out, which has been said already."""
    if isinstance(value, dict):
        return any(map(_has_nan, value.values()))
    if isinstance(value, list):
        return any(map(_has_nan, value))
    return isinstance(value, float) and math.isnan(value)


def _plain(sheet: ResolveContext, name: str, written: object, at: Place) -> object:
    """Return a field in mm, mm/min and plain numbers."""
    if name in _WORDS or written is None:
        return written
    if isinstance(written, dict):
        return {position: sheet.number(raw, *at, position, within=_ANY) for position, raw in written.items()}
    if isinstance(written, Sequence) and not isinstance(written, str):
        return [_plain(sheet, name, raw, (*at, index)) for index, raw in enumerate(written)]
    return _amount(sheet, name, written, at) if isinstance(written, str | int | float) else written


def _amount(sheet: ResolveContext, name: str, raw: Raw, at: Place) -> float | str | None:
    if name == "collets" and isinstance(raw, str) and raw.strip().upper().startswith("ER"):
        return raw.strip()
    if name in _FEEDS:
        return sheet.feed(raw, *at)
    value = sheet.length(raw, *at, within=_ANY) if name in _LENGTHS else sheet.number(raw, *at, within=_ANY)
    whole = math.isfinite(value) and value == int(value)
    return int(value) if whole else value


def _report(sheet: ResolveContext, at: Place, field: str, problem: Message) -> None:
    """Report one problem of a refused machine at its field, or at the machine where it belongs to none."""
    place = (*at, field) if field else at
    said = msg("{place}: {problem}.", place=label(place), problem=problem)
    sheet.report(kinds.WRONG_VALUE, place, said, key=place == at)
