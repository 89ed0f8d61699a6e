"""Rows that plugins add to a worksheet: a limit, and the values that it is reckoned from.

A limit goes where the limits of its symbol end, with the rows of values that stand above it, so that it may use what
the sheet knows there. Values carry the plugin's name, so that two plugins never mean each other's.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from kitforge.cutting.worksheet.reader import read_sheet
from kitforge.cutting.worksheet.rows import At, Entry, LimitRow, Row, SheetError, Worksheet
from kitforge.model.settings import AddedRows


def with_added(sheet: Worksheet, added: Sequence[AddedRows]) -> Worksheet:
    """Return the worksheet with the rows of plugins. Raises SheetError with everything that is wrong with them."""
    for one in added:
        sheet = _with(sheet, one)
    return sheet


def _with(sheet: Worksheet, added: AddedRows) -> Worksheet:
    last = max(case.number for _block, row in sheet.rows() for case in row.cases)
    new = read_sheet([(f"plugin '{added.plugin}' of {added.distribution}, row", added.text)], last)
    problems = [problem for entry in new.entries if (problem := _problem(entry, added.plugin, sheet))]
    if problems:
        raise SheetError(problems)
    entries = list(sheet.entries)
    group: list[Entry] = []
    for entry in new.entries:
        group.append(entry)
        if isinstance(entry, LimitRow):
            place = _place(entries, entry)
            entries[place:place] = group
            group = []
    if group:
        raise SheetError([(group[0].at, "a limit must follow the values that it is reckoned from")])
    helps, sources = {**new.helps, **sheet.helps}, {**new.sources, **sheet.sources}
    return replace(sheet, entries=tuple(entries), helps=helps, sources=sources)


def _problem(entry: Entry, plugin: str, sheet: Worksheet) -> tuple[At, str] | None:
    if isinstance(entry, Row):
        if entry.symbol.startswith(f"{plugin}_"):
            return None
        return entry.at, f"'{entry.symbol}' must begin with '{plugin}_'"
    if not isinstance(entry, LimitRow):
        return entry.at, "a plugin adds values and limits only"
    known = {(one.symbol, one.side) for one in sheet.entries if isinstance(one, LimitRow)}
    if (entry.symbol, entry.side) in known:
        return None
    return entry.at, f"there is no setting '{entry.symbol}' with limits '{entry.side}'"


def _place(entries: Sequence[Entry], row: LimitRow) -> int:
    """Return where a limit is put in: behind the last one of its symbol and side."""
    alike = [
        place
        for place, one in enumerate(entries)
        if isinstance(one, LimitRow) and (one.symbol, one.side) == (row.symbol, row.side) and "check" not in one.marks
    ]
    return alike[-1] + 1
