"""Where everything in kit.yaml is written: a path of keys and indexes to its file, line and column."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from kitforge.model.findings import Source

Place = tuple[str | int, ...]


@dataclass(frozen=True)
class Positions:
    """The place of every key and every value, by its path such as ('parts', 'board', 'operations', 0, 'depth')."""

    file: str
    values: Mapping[Place, Source] = field(default_factory=dict, repr=False)
    keys: Mapping[Place, Source] = field(default_factory=dict, repr=False)
    aliases: Mapping[Place, Place] = field(default_factory=dict, repr=False)
    """What was written once and counts in several places: the two first steps of such a place, and where it stands."""
    ends: Mapping[Place, int] = field(default_factory=dict, repr=False)
    """The last line of every value, from 1."""

    def of(self, *place: str | int) -> Source:
        """Return where the value stands; a value that was left out stands where the entry around it does."""
        return self._nearest(self.values, self._written(place))

    def key(self, *place: str | int) -> Source:
        """Return where the key of the value stands, or the value itself where it has no key (in a list)."""
        return self.keys.get(self._written(place)) or self.of(*place)

    def last_lines(self) -> dict[tuple[int, int], int]:
        """Return the last lines of what is written behind keys and of entries of lists, by line and column of their
        begin. An entry of a list begins where its first key does, and its own end counts there."""
        keys = {(at.line, at.column): self.ends.get(place, at.line) for place, at in self.keys.items()}
        entries = ((place, at) for place, at in self.values.items() if place and isinstance(place[-1], int))
        return keys | {(at.line, at.column): self.ends.get(place, at.line) for place, at in entries}

    def _written(self, place: Place) -> Place:
        alias = self.aliases.get(place[:2])
        return place if alias is None else (*alias, *place[2:])

    def _nearest(self, table: Mapping[Place, Source], place: Place) -> Source:
        while place and place not in table:
            place = place[:-1]
        return table.get(place) or Source(self.file)
