"""Many kits on a cluster of Dask that runs already: the same function for every kit as in a pool.

The workers must see the folders of the kits and of the output under the same paths, and have the same kitforge. What
passes between the processes is pickled: use it in a network that you trust.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kitforge import __version__
from kitforge.model.errors import KitforgeError
from kitforge.release.findings.rows import KitResult, with_mistake
from kitforge.release.pool import LOST
from kitforge.release.watching import Books, Job, Watching, Work

if TYPE_CHECKING:
    from distributed import Client

_PATIENCE = "10s"


def run_on_cluster(work: Work, jobs: Sequence[Job], address: str, watching: Watching | None = None) -> list[KitResult]:
    """Return the results of all jobs, in their order, done by the workers of the scheduler at an address.

    A worker that dies costs nothing but time. Raises KitforgeError where no scheduler answers or the library is
    missing; after every other kit is done, the first exception that is none of a user's mistakes.
    """
    if find_spec("distributed") is None:
        raise KitforgeError("A cluster needs one more library: python -m pip install 'kitforge[cluster]'")
    from distributed import as_completed

    books = Books(jobs, watching or Watching())
    with _client(address) as client:
        futures = [client.submit(_one, work, _anywhere(job), __version__, pure=False) for job in jobs]
        places = {future.key: place for place, future in enumerate(futures)}
        for future in as_completed(futures, loop=client.loop):
            _keep(books, places[future.key], future)
    if books.bugs:
        raise books.bugs[0]
    return [books.results[place] for place in range(len(jobs))]


@contextmanager
def _client(address: str) -> Iterator[Client]:
    """Give a connection; whatever ends the call takes back what was asked for."""
    from distributed import Client

    try:
        client = Client(address, timeout=_PATIENCE, set_as_default=False)
    except (OSError, ValueError, TimeoutError) as error:
        why = str(error).splitlines()[0][:200] if str(error) else type(error).__name__
        raise KitforgeError(f"No scheduler answers at {address}: {why}.") from None
    try:
        if not client.scheduler_info()["workers"]:
            raise KitforgeError(f"The scheduler at {address} has no workers; start some with `dask worker {address}`.")
        yield client
    finally:
        client.close()  # the scheduler forgets, and its workers end, what no client waits for


def _keep(books: Books, place: int, future: Any) -> None:  # noqa: ANN401 - the library has no types
    from distributed import KilledWorker

    job, bug = books.jobs[place], future.exception()
    if isinstance(bug, KilledWorker):
        books.keep(place, with_mistake(KitResult(job.folder), LOST))
    elif bug is not None:
        books.bugs.append(bug)
    else:
        result: KitResult = future.result()
        archive = result.archive and getattr(job, "output", result.archive.parent) / result.archive.name
        books.keep(place, dataclasses.replace(result, folder=job.folder, archive=archive))


def _anywhere(job: Any) -> Any:  # noqa: ANN401 - any record of plain values
    """Return a job whose places mean the same in another folder."""
    places: dict[str, Any] = {
        name: value.absolute() for name in ("folder", "output") if isinstance(value := getattr(job, name, None), Path)
    }
    if hasattr(job, "keep"):
        places["keep"] = {archive.absolute(): folder for archive, folder in job.keep.items()}
    return dataclasses.replace(job, **places)


def _one(work: Work, job: Job, version: str) -> KitResult:
    """Do a job in a worker: one core for each, as in a pool."""
    from kitforge.print.parallel import work_alone

    if version != __version__:
        said = f"A worker of the cluster has kitforge {__version__}, this call {version}. Install the same everywhere."
        return with_mistake(KitResult(job.folder), said)
    work_alone()
    return work(job, _unheard)


def _unheard(_stage: str) -> None:
    """Tell nobody: stages do not travel."""
