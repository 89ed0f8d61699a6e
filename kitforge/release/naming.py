"""Zips of one call: of kits with one name the first that can be built is kept."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.model.errors import UnreadableKitError

if TYPE_CHECKING:
    from kitforge.release.jobs import BuildJob


def in_rounds(jobs: Sequence[BuildJob]) -> list[list[BuildJob]]:
    """Return the jobs in rounds, in each of which no two kits have one name; the first of a name comes first."""
    if len(jobs) < 2:
        return [list(jobs)]
    rounds: list[list[BuildJob]] = []
    seen: dict[tuple[str, str, str], int] = {}
    for job in jobs:
        number = 0
        if (name := _name(job)) is not None:
            number = seen[name] = seen.get(name, -1) + 1
        if number == len(rounds):
            rounds.append([])
        rounds[number].append(job)
    return rounds


def _name(job: BuildJob) -> tuple[str, str, str] | None:
    from kitforge.stages.read import read

    try:
        info = read(job.folder).definition.kit
    except UnreadableKitError:
        return None
    return info.slug, info.version, f"{job.choice.size}-{job.choice.order}"
