"""Several kits in one call: how many at once, and a bar that shows what is being done."""

from __future__ import annotations

import argparse
import contextlib
import pathlib
import sys
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

from kitforge.model.findings import KIT_FILE

if TYPE_CHECKING:
    from kitforge.release.findings.rows import KitResult
    from kitforge.release.watching import Job, Work

MOST_JOBS = 64
Tell = Callable[["KitResult"], None]


def add_jobs(parser: argparse.ArgumentParser) -> None:
    """Add --jobs and --scheduler."""
    parser.add_argument(
        "--jobs",
        metavar="N",
        type=_jobs,
        help="kits worked on at the same time (default: as many as there are cores and memory for)",
    )
    parser.add_argument(
        "--scheduler",
        metavar="ADDRESS",
        help="work on a cluster of Dask that runs already, such as tcp://10.0.0.5:8786, instead of here",
    )


def worked(work: Work, jobs: Sequence[Job], chosen: argparse.Namespace, tell: Tell) -> list[KitResult]:
    """Return the results of all jobs, in their order; `tell` is told each as it ends."""
    if chosen.scheduler is not None:
        return _on_cluster(work, jobs, chosen.scheduler, tell)
    from kitforge.release.capacity import workers_for
    from kitforge.release.catalogue import run_all
    from kitforge.release.watching import Watching

    workers = workers_for(len(jobs), chosen.jobs)
    with _alone(workers), _bar(len(jobs)) as (stage, ended):

        def end(result: KitResult) -> None:
            ended(result.folder)
            tell(result)

        return run_all(work, jobs, workers, Watching(stage, end), weight=_size)


def _on_cluster(work: Work, jobs: Sequence[Job], address: str, tell: Tell) -> list[KitResult]:
    from kitforge.release.cluster import run_on_cluster
    from kitforge.release.watching import Watching

    with _bar(len(jobs)) as (_stage, ended):

        def end(result: KitResult) -> None:
            ended(result.folder)
            tell(result)

        return run_on_cluster(work, jobs, address, Watching(ended=end))


@contextlib.contextmanager
def _alone(workers: int) -> Iterator[None]:
    """Where one kit is worked on at a time, other processes may help with its documents."""
    from kitforge.print.parallel import other_processes

    if workers > 1:
        yield
        return
    with other_processes():
        yield


def _size(job: Job) -> float:
    """Return how long a kit is expected to take: by the length of what its author wrote."""
    with contextlib.suppress(OSError):
        return float((job.folder / KIT_FILE).stat().st_size)
    return 0.0


@contextlib.contextmanager
def _bar(kits: int) -> Iterator[tuple[Callable[[pathlib.Path, str], None] | None, Callable[[pathlib.Path], None]]]:
    """Give what is told each stage and each end; it draws a bar on a terminal and is silent elsewhere."""
    if not sys.stderr.isatty():
        yield None, lambda _folder: None
        return
    from rich.progress import BarColumn, Progress, TextColumn

    from kitforge.cli.terminal import console
    from kitforge.model.characters import clean
    from kitforge.pipeline import STAGES

    columns = (
        TextColumn("{task.fields[count]}", markup=False),
        BarColumn(20),
        TextColumn("{task.description}", markup=False),
    )
    at: dict[pathlib.Path, str] = {}
    done: list[pathlib.Path] = []
    with Progress(*columns, console=console(error=True), transient=True) as progress:
        task = progress.add_task("", total=kits * len(STAGES), count="")

        def draw() -> None:
            working = "; ".join(f"{clean(folder.name)}: {stage}" for folder, stage in at.items())
            steps = sum(STAGES.index(stage.split()[0]) for stage in at.values())
            count = f"{min(kits, len(done) + 1)} of {kits}" if kits > 1 else ""
            progress.update(task, description=working, completed=len(done) * len(STAGES) + steps, count=count)

        def stage(folder: pathlib.Path, name: str) -> None:
            at[folder] = name
            draw()

        def ended(folder: pathlib.Path) -> None:
            at.pop(folder, None)
            done.append(folder)
            draw()

        yield stage, ended


def _jobs(typed: str) -> int:
    if not typed.isascii() or not typed.isdigit() or not 0 < int(typed) <= MOST_JOBS:
        raise argparse.ArgumentTypeError(f"'{typed}' is no number from 1 to {MOST_JOBS}")
    return int(typed)
