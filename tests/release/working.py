"""Invented work on kits for the tests of the pool; the name of a kit's folder says what becomes of it."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from smaller import leave_unset, make_small
from warm import warm_up

from kitforge.model.findings import FindingType, Severity, Source
from kitforge.model.messages import msg
from kitforge.release.findings.rows import KitResult, result_of, rows_of, with_mistake
from kitforge.release.jobs import BuildJob
from kitforge.release.work import build_one

ODD = FindingType("odd", Severity.ERROR, "An invented kind.")


@dataclass(frozen=True, slots=True)
class OddJob:
    folder: Path


def odd_work(job: OddJob, progress: Callable[[str], None]) -> KitResult:
    name = job.folder.name
    progress("read")
    if name.startswith("bug"):
        raise ValueError(name)
    if name.startswith("dies"):
        os.kill(os.getpid(), 9)
    if name.startswith("once") and not job.folder.exists():
        job.folder.mkdir()
        os.kill(os.getpid(), 9)
    if name.startswith("mistake"):
        return with_mistake(KitResult(job.folder), "There is no room.")
    if name.startswith("blames"):
        try:
            time.sleep(3600)
        except SystemExit:  # as the door to the plugins does, which must not take an end for a plugin's own
            return with_mistake(KitResult(job.folder), "A plugin calls sys.exit.")
    if name.startswith("slow"):
        time.sleep(0.5)
    found = [ODD.new(msg(name), msg(""), source=Source("kit.yaml", 1))] if name.startswith("bad") else []
    (job.folder.parent / "pids").mkdir(exist_ok=True)
    (job.folder.parent / "pids" / str(os.getpid())).touch()
    progress("pack")
    return result_of(job.folder, rows_of(found, name, {}))


def quick_build(job: BuildJob, progress: Callable[[str], None]) -> KitResult:
    """Build without setting documents in type, with small pictures."""
    make_small(setattr)
    leave_unset(setattr)
    warm_up()
    return build_one(job, progress)
