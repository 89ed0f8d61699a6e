"""Which numbers of the demo kits are others than before, and which law says why."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from fnmatch import fnmatchcase
from functools import cache
from pathlib import Path

import yaml
from printed_numbers import read, same

HERE = Path(__file__).parent
CHANGES = HERE / "changes.yaml"
_SHOWN = 40


@dataclass(frozen=True, slots=True)
class Renamed:
    """A name that is another one today: `before` is a regular expression, `now` what takes its place in a key."""

    before: str
    now: str
    law: str
    why: str


@dataclass(frozen=True, slots=True)
class Change:
    """Numbers that a law changed: keys of a kit with the wildcards * and ?."""

    keys: str
    law: str
    why: str
    kits: tuple[str, ...] = ()

    def covers(self, kit: str, key: str) -> bool:
        """Return whether a number of this kit is one of these."""
        return (not self.kits or kit in self.kits) and fnmatchcase(key, self.keys)


@dataclass(frozen=True, slots=True)
class Difference:
    """A number before and today; None where there is none."""

    kit: str
    key: str
    before: str | None
    now: str | None

    def __str__(self) -> str:
        return f"{self.kit}  {self.key}: {self.before or 'nothing'} -> {self.now or 'nothing'}"


@dataclass
class Book:
    """What is written in changes.yaml, and how often each entry met a number that changed and one that did not."""

    renamed: tuple[Renamed, ...]
    changes: tuple[Change, ...]
    met: dict[Change, int] = field(default_factory=dict)
    idle: dict[Change, int] = field(default_factory=dict)
    used: set[Renamed] = field(default_factory=set)

    def uncovered(self, kit: str, now: Mapping[str, str]) -> list[Difference]:
        """Return the numbers of a kit that are others than before while no entry says why."""
        before = self._today(read((HERE / "before" / f"{kit}.txt").read_text(encoding="utf-8")))
        self._count_unchanged(kit, before, now)
        return [found for found in _differences(kit, before, now) if not self._told(found)]

    def unused(self) -> list[str]:
        """Return the entries that met no changed number, and those that meet mostly numbers that are as before."""
        names = [f"renamed {one.before}" for one in self.renamed if one not in self.used]
        idle = [f"{change.keys}: covers no number that changed" for change in self.changes if not self.met.get(change)]
        broad = [
            f"{change.keys}: covers {self.idle[change]} numbers that are as before and {self.met[change]} others"
            for change in self.changes
            if 0 < self.met.get(change, 0) < self.idle.get(change, 0)
        ]
        return [*names, *idle, *broad]

    def _told(self, found: Difference) -> bool:
        told = [change for change in self.changes if change.covers(found.kit, found.key)]
        for change in told:
            self.met[change] = self.met.get(change, 0) + 1
        return bool(told)

    def _count_unchanged(self, kit: str, before: Mapping[str, str], now: Mapping[str, str]) -> None:
        for key in before.keys() & now.keys():
            if same(before[key], now[key]):
                for change in self.changes:
                    if change.covers(kit, key):
                        self.idle[change] = self.idle.get(change, 0) + 1

    def _today(self, before: Mapping[str, str]) -> dict[str, str]:
        found = {}
        for key, value in before.items():
            name = key
            for one in self.renamed:
                name, times = re.subn(one.before, one.now, name)
                if times:
                    self.used.add(one)
            found[name] = value
        return found


def _differences(kit: str, before: Mapping[str, str], now: Mapping[str, str]) -> Iterator[Difference]:
    for key in sorted(before.keys() | now.keys()):
        old, new = before.get(key), now.get(key)
        if old is None or new is None or not same(old, new):
            yield Difference(kit, key, old, new)


def book(text: str | None = None) -> Book:
    """Return what is written in changes.yaml, or in `text`. Raises TypeError for an entry with a wrong key.

    An entry that names no kits means those of `first`, all where that is not written: no entry covers numbers of a kit
    that was recorded after it was written.
    """
    written = yaml.safe_load(CHANGES.read_text(encoding="utf-8") if text is None else text) or {}
    renamed = tuple(Renamed(**entry) for entry in written.get("renamed") or ())
    meant = written.get("first") or ()
    changes = (entry | {"kits": tuple(entry.get("kits", meant))} for entry in written.get("changes") or ())
    return Book(renamed, tuple(Change(**entry) for entry in changes))


def told(found: Iterable[Difference]) -> str:
    """Return what to do about numbers that changed while nobody says why."""
    listed = [str(one) for one in found]
    more = [f"... and {len(listed) - _SHOWN} more"] if len(listed) > _SHOWN else []
    return "\n".join(
        [
            "These numbers of the demo kits are others than before:",
            *listed[:_SHOWN],
            *more,
            "If they are right now, add an entry to tests/truth/changes.yaml that covers them and names the law or",
            "reason; `python tests/truth/compare_numbers.py` prints all of them. If nothing should have changed them,",
            "this is a fault: mend the code. The files in tests/truth/before are never written anew.",
        ]
    )


@cache
def kits_before() -> tuple[str, ...]:
    """Return the demo kits that there were before."""
    return tuple(sorted(path.stem for path in (HERE / "before").glob("*.txt")))
