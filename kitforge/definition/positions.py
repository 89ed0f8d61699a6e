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

    def of(self, *place: str | int) -> Source:
        """Return where the value stands; a value that was left out stands where the entry around it does."""
        return self._nearest(self.values, place)

    def key(self, *place: str | int) -> Source:
        """Return where the key of the value stands, or the value itself where it has no key (in a list)."""
        return self.keys.get(place) or self.of(*place)

    def _nearest(self, table: Mapping[Place, Source], place: Place) -> Source:
        while place and place not in table:
            place = place[:-1]
        return table.get(place) or Source(self.file)
