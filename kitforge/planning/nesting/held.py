"""A kept layout against the kit as it is now: used, used with a note, or refused with everything that is wrong."""

from __future__ import annotations

from collections import defaultdict

from kitforge.model.kit import Kit
from kitforge.model.layout import LaidSheet
from kitforge.model.messages import Message, msg
from kitforge.planning.nesting.locked import LockedLayout, made_for
from kitforge.planning.nesting.records import Laid
from kitforge.planning.nesting.task import parts_of, wanted_of
from kitforge.planning.nesting.verified import faults


def misfits(kit: Kit, layout: LockedLayout) -> list[Message]:
    """Return what keeps a layout from being cut as it stands; none where it fits. Measured on the true outlines."""
    found: list[Message] = []
    for key, sheets in by_stock(layout).items():
        parts = parts_of(kit).get(key)
        if not parts:
            found.append(msg("no part of the kit is cut from '{stock}'", stock=key))
            continue
        numbers = sorted(sheet.number for sheet in sheets)
        if numbers != list(range(1, len(numbers) + 1)):
            found.append(msg("the sheets of '{stock}' are not numbered from 1", stock=key))
            continue
        ordered = sorted(sheets, key=lambda sheet: sheet.number)
        wanted = wanted_of(kit, kit.stock[key], parts, len(ordered))
        found += faults(wanted, Laid(tuple(sheet.placements for sheet in ordered)))
    return found


def is_older(kit: Kit, layout: LockedLayout) -> bool:
    """Return whether the kit has changed since the layout was found."""
    stocks = [key for key in by_stock(layout) if key in kit.stock]
    return made_for(kit, stocks) != layout.made_for


def by_stock(layout: LockedLayout) -> dict[str, list[LaidSheet]]:
    """Return the sheets of each stock."""
    found: dict[str, list[LaidSheet]] = defaultdict(list)
    for sheet in layout.sheets:
        found[sheet.stock].append(sheet)
    return found
