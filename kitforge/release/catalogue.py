"""Many kits in one call: the same function for every kit, and a kit whose work fails stops no other.

One worker works in this process; several are processes of their own (`kitforge.release.pool`), the longest kit first.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from kitforge.release.findings.rows import KitResult
from kitforge.release.watching import Books, Job, Watching, Work


def run_all(
    work: Work,
    jobs: Sequence[Job],
    workers: int = 1,
    watching: Watching | None = None,
    weight: Callable[[Job], float] | None = None,
) -> list[KitResult]:
    """Return the results of all jobs, in their order; with one worker everything is done in this process.

    weight: how long a job is expected to take; the longest are begun first. Raises, after every other kit is done, the
    first exception that is none of a user's mistakes.
    """
    books = Books(jobs, watching or Watching())
    if workers <= 1:
        for place, job in enumerate(jobs):
            _in_this_process(work, place, job, books)
    else:
        from kitforge.release.pool import Pool  # loads the library of processes, which one kit does not need

        places = sorted(range(len(jobs)), key=lambda place: -weight(jobs[place]) if weight else 0.0)
        Pool(work, books, places).run(workers)
    if books.bugs:
        raise books.bugs[0]
    return [books.results[place] for place in range(len(jobs))]


def _in_this_process(work: Work, place: int, job: Job, books: Books) -> None:
    try:
        result = work(job, lambda stage: books.watching.tell_stage(job.folder, stage))
    except Exception as bug:
        books.bugs.append(bug)
    else:
        books.keep(place, result)
