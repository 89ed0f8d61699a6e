"""Records as plain values for the script of the worksheet: a figure of the tables is its number, a word its text."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from enum import Enum

from kitforge.cutting.worksheet.expression import Name, walk
from kitforge.cutting.worksheet.rows import ToldRow
from kitforge.cutting.worksheet.symbols import CheckedSheet
from kitforge.model.messages import Message, Quantity
from kitforge.model.workshop import Fact

Plain = None | bool | int | float | str | list["Plain"] | dict[str, "Plain"]


def plain(value: object) -> Plain:
    """Return a record as the script takes it. Raises TypeError for what a script does not know."""
    if isinstance(value, Fact):
        return value.value
    if isinstance(value, Enum):
        return plain(value.value)
    if value is None or isinstance(value, bool | int | float | str):
        return value
    if isinstance(value, Mapping):
        return {str(plain(key)): plain(item) for key, item in value.items()}
    if isinstance(value, tuple | list):
        return [plain(item) for item in value]
    if is_dataclass(value):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    raise TypeError(f"{type(value).__name__} has no plain form")


def plain_tables(checked: CheckedSheet, data: object) -> dict[str, Plain]:
    """Return those fields of a record called `data` that the worksheet looks up."""
    used = {name.parts[1] for name in _paths(checked) if name.parts[0] == "data"}
    return {name: plain(getattr(data, name)) for name in sorted(used)}


def plain_message(message: Message) -> Plain:
    """Return a message as the script writes one: its template, and its values by name."""
    values: list[Plain] = []
    for name, value in message.values:
        if isinstance(value, Message):
            values.append([name, plain_message(value)])
        elif isinstance(value, Quantity):
            values.append([name, {"value": value.value, "unit": value.unit, "places": value.places}])
        else:
            values.append([name, str(value)])
    return {"template": message.template, "values": values}


def _paths(checked: CheckedSheet) -> set[Name]:
    cases = [case for _block, row in checked.sheet.rows() for case in row.cases]
    nodes = [node for case in cases for node in (case.formula, case.when) if node is not None]
    nodes += [entry.when for entry in checked.sheet.entries if isinstance(entry, ToldRow)]
    return {one for node in nodes for one in walk(node) if isinstance(one, Name)}
