"""Kits that laws are tried on: every demo kit and random ones, each read and planned once in a process."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cache, cached_property
from pathlib import Path

from kit_coverage import covers
from once import once
from random_kits import random_kit

from kitforge.model.findings import Finding, Severity
from kitforge.model.kit import Kit
from kitforge.model.plan import Plan
from kitforge.pipeline import CheckedKit, check_kit, load_kit
from kitforge.plugins import Plugins, load_plugins
from kitforge.stages.checking import check
from kitforge.stages.planning import plan

KITS = Path(__file__).parents[2] / "kits"
DEMOS = tuple(sorted(path.parent.name for path in KITS.glob("*/kit.yaml")))
KEPT = Path(__file__).with_name("kept-seeds.txt")
FIXED_SEEDS = tuple(range(1, 51))
"""The seeds of every run; `make soak` takes others."""


@dataclass(frozen=True)
class Sample:
    """One kit: a demo kit (its name) or a random one (its seed). What is asked for is made once and kept."""

    demo: str | None = None
    seed: int | None = None
    anew_planned: bool = False

    @property
    def name(self) -> str:
        """For the name of a test: 'wall-clock' or 'random-17'."""
        return self.demo or f"random-{self.seed}"

    @cached_property
    def kit(self) -> Kit:
        """The kit as resolved. Raises UnreadableKitError."""
        if self.demo is not None:
            return checked_demo(self.demo).kit
        return self._kit_and_plan[0] if self._for_every_run else self._random_kit()

    @cached_property
    def plan(self) -> Plan:
        """Its plan."""
        if self.demo is not None and not self.anew_planned:
            return checked_demo(self.demo).plan
        return self._kit_and_plan[1] if self._for_every_run else plan(self.kit, plugins())

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """What `kitforge check` says. This takes longer than the plan."""
        if self.demo is not None and not self.anew_planned:
            return checked_demo(self.demo).findings
        if self._for_every_run:
            return once(f"findings-{self.name}", lambda: tuple(check(self.kit, self.plan, plugins())))
        return tuple(check(self.kit, self.plan, plugins()))

    @property
    def _for_every_run(self) -> bool:
        """Whether all workers of every run ask for this kit, so that it is planned once for all of them."""
        return self.seed in FIXED_SEEDS and not self.anew_planned

    @cached_property
    def _kit_and_plan(self) -> tuple[Kit, Plan]:
        def planned() -> tuple[Kit, Plan]:
            kit = self._random_kit()
            return kit, plan(kit, plugins())

        return once(f"planned-{self.name}", planned)

    def _random_kit(self) -> Kit:
        assert self.seed is not None
        return kit_of(random_kit(self.seed).text)

    @cached_property
    def covers(self) -> frozenset[str]:
        """What is in it: words such as 'plug', 'two faces', 'hold-down screws'; see kit_coverage."""
        return covers(self.kit, self.plan)

    def anew(self) -> Sample:
        """Return the same kit with nothing planned yet, to be planned with a planted fault."""
        again = replace(self, anew_planned=True)
        again.__dict__["kit"] = self.kit
        return again


@cache
def plugins() -> Plugins:
    """Return the plugins of this installation."""
    return load_plugins()


def checked_demo(name: str) -> CheckedKit:
    """Return a demo kit as checked, which is done once for a state of the code."""
    return once(f"checked-{name}", lambda: check_kit(KITS / name, plugins()))


def releasable(seed: int, folder: Path) -> CheckedKit | None:
    """Return a random kit, written into a folder and checked; None where it cannot be released."""
    (folder / "kit.yaml").write_text(random_kit(seed).text, encoding="utf-8")
    found = check_kit(folder, plugins())
    return None if any(one.severity is Severity.ERROR for one in found.findings) else found


@cache
def sample(name: str) -> Sample:
    """Return the sample of this name. Kept, so that each kit is planned once in a process."""
    return Sample(seed=int(name.removeprefix("random-"))) if name.startswith("random-") else Sample(demo=name)


def kept_seeds() -> list[int]:
    """Return the seeds that once showed a fault."""
    lines = KEPT.read_text(encoding="utf-8").splitlines()
    return [int(line.split()[0]) for line in lines if line.strip() and not line.startswith("#")]


def names(seeds: Iterable[int] = FIXED_SEEDS) -> list[str]:
    """Return the names of all demo kits and of the random kits of these seeds."""
    return [*DEMOS, *(f"random-{seed}" for seed in seeds)]


def kit_of(text: str) -> Kit:
    """Return the kit of a kit.yaml that names no drawings. Raises UnreadableKitError."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder, "kit.yaml").write_text(text, encoding="utf-8")
        return load_kit(Path(folder), plugins())
