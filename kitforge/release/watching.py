"""What many kits in one call share: a job and the work on it, who is told what, and the results by their places."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Protocol

from kitforge.model.record import record
from kitforge.release.findings.rows import KitResult


class Job(Protocol):
    """Plain values that say what to do with one kit."""

    @property
    def folder(self) -> Path:
        """The kit's folder."""


Report = Callable[[str], None]
Work = Callable[[Any, Report], KitResult]
"""A function of a module: a job and a function that is told each stage, to a result."""


@record
class Watching:
    """What a call wants to hear: each stage of each kit, and each result as it ends."""

    stage: Callable[[Path, str], None] | None = None
    ended: Callable[[KitResult], None] | None = None

    def tell_stage(self, folder: Path, stage: str) -> None:
        """Tell a stage of a kit."""
        if self.stage is not None:
            self.stage(folder, stage)

    def tell_end(self, result: KitResult) -> None:
        """Tell a result."""
        if self.ended is not None:
            self.ended(result)


@dataclass
class Books:
    """The jobs, and by their places the results; the bugs that were met."""

    jobs: Sequence[Job]
    watching: Watching
    results: dict[int, KitResult] = field(default_factory=dict)
    bugs: list[BaseException] = field(default_factory=list)

    def keep(self, place: int, result: KitResult) -> None:
        """Keep a result and tell it."""
        self.results[place] = result
        self.watching.tell_end(result)
