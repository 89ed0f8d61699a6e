"""Finding an entry of a table by its key, by a key of older kits, or by another name that the trade uses."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Generic, Protocol, TypeVar

from kitforge.model.messages import Listed, Message, listed, msg, msg_many
from kitforge.model.record import record

SHOWN = 12
"""How many names a message lists before it says how many more there are."""


class Named(Protocol):
    """An entry of a table: a material, a machine class, a hold-down or a finish."""

    @property
    def key(self) -> str:
        """Its key in the table."""

    @property
    def name(self) -> str:
        """Its name in print."""

    @property
    def aliases(self) -> tuple[str, ...]:
        """Other names in the trade."""

    @property
    def former_keys(self) -> tuple[str, ...]:
        """Its keys in older kits."""


T = TypeVar("T", bound=Named)


@record
class FoundName(Generic[T]):
    """The entry that a name stands for; former: the name is one that only older kits use."""

    entry: T
    former: bool = False


def find(table: Mapping[str, T], name: str) -> FoundName[T] | None:
    """Return the entry that `name` stands for: its key, a former key, its printed name or an alias; None for none.

    Keys come first, so that no other name can hide one. Printed names and aliases are compared without regard to
    capitals, dashes, underscores and brackets. A name that stands for two entries stands for none.
    """
    if name in table:
        return FoundName(table[name])
    for entry in table.values():
        if name in entry.former_keys:
            return FoundName(entry, former=True)
    plain = _plain(name)
    meant = [entry for entry in table.values() if plain in map(_plain, (entry.key, entry.name, *entry.aliases))]
    return FoundName(meant[0]) if len(meant) == 1 else None


def names_of(table: Mapping[str, Named]) -> Mapping[str, str]:
    """Return all names by which an entry can be found, each with the entry's key."""
    names = {alias: key for key, entry in table.items() for alias in (*entry.aliases, *entry.former_keys)}
    return names | {key: key for key in table}


def known(names: Iterable[str], shown_by: str = "") -> Message:
    """Return 'known are ...' for a message, without a full stop.

    A list that leaves some out says how many; shown_by: the command that shows them all.
    """
    found = list(names)
    first, more = _first(found), len(found) - SHOWN
    if not found:
        return msg("none is known")
    if more <= 0:
        return msg("known are {names}", names=first)
    if not shown_by:
        return msg_many("known are {names} and {count} more", "known are {names} and {count} more", more, names=first)
    return msg_many(
        "known are {names} and {count} more; `{command}` shows all of them",
        "known are {names} and {count} more; `{command}` shows all of them",
        more,
        names=first,
        command=shown_by,
    )


def _first(names: list[str]) -> Listed | str:
    return listed(names) if len(names) <= SHOWN else ", ".join(names[:SHOWN])


def _plain(name: str) -> str:
    return " ".join(re.findall(r"[^\W_]+", name.casefold()))
