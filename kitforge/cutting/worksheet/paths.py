"""What a place in the records that go in holds, by their annotations: 'cutter.max_speed' is a number or none."""

from __future__ import annotations

import types
import typing
from collections.abc import Mapping
from dataclasses import dataclass, is_dataclass
from enum import Enum
from functools import cache

from kitforge.cutting.worksheet.expression import Name
from kitforge.model.workshop import Fact


class PathError(ValueError):
    """There is no such place in the records."""


@dataclass(frozen=True, slots=True)
class PathTarget:
    """What a path leads to. kind: number, text, yes, table or map. fact: the number is the value of a Fact.

    optional: may be none. parents: after how many parts a record on the way may be none. word: a text of our own,
    which is translated, not a name that someone gave.
    """

    kind: str
    optional: bool
    fact: bool
    word: bool
    parents: tuple[int, ...]


@cache
def place(name: Name, inputs: tuple[tuple[str, type], ...]) -> PathTarget:
    """Return what a path leads to. Raises PathError with what is wrong."""
    known: object = dict(inputs)[name.parts[0]]
    parents: list[int] = []
    for count, part in enumerate(name.parts[1:], 1):
        if name.index is not None and name.index[0] == count:
            known = _item(known, name)
        known, optional = _without_none(known)
        if optional:
            parents.append(count)
        known = _field(known, part)
    if name.index is not None and name.index[0] == len(name.parts):
        known = _item(known, name)
    known, optional = _without_none(known)
    word = isinstance(known, type) and issubclass(known, Enum)
    return PathTarget(_kind(known, name), optional or bool(parents), known is Fact, word, tuple(parents))


def _field(record: object, part: str) -> object:
    if not (isinstance(record, type) and is_dataclass(record)):
        raise PathError(f"nothing has a '{part}' here")
    hints = _hints(record)
    if part not in hints:
        raise PathError(f"{record.__name__} has no '{part}'")
    return hints[part]


@cache
def _hints(record: type) -> dict[str, object]:
    return dict(typing.get_type_hints(record))


def _item(known: object, name: Name) -> object:
    if typing.get_origin(known) is not Mapping:
        raise PathError(f"'{name}' has no entries to choose from")
    return typing.get_args(known)[1]


def _without_none(known: object) -> tuple[object, bool]:
    if isinstance(known, types.UnionType) or typing.get_origin(known) is typing.Union:
        rest = [one for one in typing.get_args(known) if one is not type(None)]
        if len(rest) == 1:
            return rest[0], True
    return known, False


def _kind(known: object, name: Name) -> str:
    if known is bool:
        return "yes"
    if known in (float, int, Fact):
        return "number"
    if isinstance(known, type) and issubclass(known, str):
        return "text"
    if typing.get_origin(known) is tuple:
        return "table"
    if typing.get_origin(known) is Mapping:
        return "map"
    raise PathError(f"'{name}' is no number, text, yes or table")
