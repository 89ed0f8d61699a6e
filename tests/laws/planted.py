"""What a law is made of, and how planted faults prove that its property sees anything at all.

A law is a module `law_<name>.py` in this folder; it is found by its name. It holds:

    LAW = "after each step every piece is held"      what is promised, one line
    def broken(sample): ...                          every place where a kit breaks it, in words; none if it is kept
    FAULTS = (Fault("what is wrong", plant, needs={"plug"}), ...)

`broken` is tried on every demo kit and on random ones (`kit_samples`); it works out what must be true from the kit
and the geometry, by another way than the planner. A fault is planted into the planner with monkeypatch: `plant(patch)`
makes the planner wrong in one way, and the property must tell on at least one kit that keeps the law without it.
`needs` names what such a kit must have (see kit_coverage); the fewer kits, the quicker the test.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import islice
from pathlib import Path
from typing import Protocol, cast, runtime_checkable

import pytest
from kit_samples import DEMOS, Sample, names, sample
from unplanned import nothing_kept

MOST_TRIED = 12
"""How many random kits a planted fault is tried on."""


@dataclass(frozen=True)
class Fault:
    """A fault to be planted: what is wrong, how it gets into the planner, and what a kit must have to show it.

    on_demos: only the demo kits hold what shows it, so that no random ones need be tried.
    """

    what: str
    plant: Callable[[pytest.MonkeyPatch], None]
    needs: frozenset[str] | set[str] = frozenset()
    on_demos: bool = False


@runtime_checkable
class Law(Protocol):
    """The module of a law."""

    LAW: str
    FAULTS: Sequence[Fault]

    def broken(self, sample: Sample) -> list[str]:
        """Return every place where a kit breaks the law."""
        ...


def laws() -> dict[str, Law]:
    """Return all laws by the name of their module."""
    found = sorted(path.stem for path in Path(__file__).parent.glob("law_*.py"))
    return {name.removeprefix("law_"): cast("Law", importlib.import_module(name)) for name in found}


@cache
def _broken(law: Hashable, name: str) -> list[str]:
    assert isinstance(law, Law)
    return law.broken(sample(name))


def broken(law: Law, name: str) -> list[str]:
    """Return every place where the kit of this name breaks a law as things are; worked out once in a process."""
    return _broken(cast("Hashable", law), name)


def kits_for(law: Law, fault: Fault) -> Iterator[Sample]:
    """Yield kits that have what a fault needs and keep the law as things are, a few random ones and the demo kits.

    The random ones come first: they are small, and most of them show the fault.
    """
    random, demos = (_fit(law, fault, [name for name in names() if (name in DEMOS) is demo]) for demo in (False, True))
    yield from islice(random, 0 if fault.on_demos else MOST_TRIED)
    yield from demos


def _fit(law: Law, fault: Fault, names: Iterable[str]) -> Iterator[Sample]:
    return (sample(name) for name in names if fault.needs <= sample(name).covers and not broken(law, name))


def seen(law: Law, fault: Fault) -> list[str]:
    """Return what the law says of the first kit on which it sees the planted fault; nothing if it sees it nowhere.

    A planner that breaks down instead of planning wrongly proves nothing about the law: its exception is not caught.
    """
    for kit in kits_for(law, fault):
        with pytest.MonkeyPatch.context() as patch, nothing_kept():
            again = kit.anew()
            fault.plant(patch)
            said = law.broken(again)
        if said:
            return [f"{again.name}: {line}" for line in said]
    return []
