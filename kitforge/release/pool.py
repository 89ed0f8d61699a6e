"""Processes that work on kits, one kit at a time each.

A process that ends without an answer (killed, out of memory) costs nothing but time: its kit is done again when the
others are done, and only one that ends so each time is given up. Every process has a pipe of its own and shares no
lock, so that none can hold up another by dying.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import pickle
import signal
import traceback
from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from time import monotonic
from typing import Any

from kitforge.model.errors import Terminated, terminated
from kitforge.release.findings.rows import KitResult, with_mistake
from kitforge.release.watching import Books, Job, Work

TASKS_OF_A_PROCESS = 8
"""A process is replaced after so many kits: what libraries keep grows it by some 60 MB a kit."""

LOST = (
    "The process that worked on it ended without an answer, each time; most likely memory ran out. "
    "Free some, or simplify the kit."
)
_TRIES = 3
_PATIENCE = 5.0


@dataclass(eq=False)
class _Worker:
    """A process, this end of its pipe, the place of the job it has, and how many it had."""

    process: BaseProcess
    pipe: Connection
    place: int | None = None
    done: int = 0


class Pool:
    """Hands out jobs to processes, one at a time to each, and hears what they say."""

    def __init__(self, work: Work, books: Books, places: Sequence[int]) -> None:
        self._work, self._books = work, books
        self._waiting = deque(places)
        self._again: deque[int] = deque()
        self._tries: dict[int, int] = dict.fromkeys(places, 0)
        self._workers: list[_Worker] = []

    def run(self, workers: int) -> None:
        """Do every job. Whatever is raised here ends all processes first."""
        try:
            while True:
                self._hand_out(workers)
                if not self._workers:
                    return
                for pipe in wait([worker.pipe for worker in self._workers]):
                    self._hear(next(one for one in self._workers if one.pipe is pipe))
        finally:
            self._end_all()

    def _hand_out(self, workers: int) -> None:
        """Give every idle process a job, start processes where there is room, and end those that are not needed."""
        for worker in [one for one in self._workers if one.place is None]:
            if worker.done >= TASKS_OF_A_PROCESS or (place := self._next()) is None:
                self._dismiss(worker)
            else:
                self._give(worker, place)
        while len(self._workers) < workers and (place := self._next()) is not None:
            worker = self._started()
            self._workers.append(worker)
            self._give(worker, place)

    def _next(self) -> int | None:
        """Return the next job: one that is lost comes last, while no other is being done."""
        if self._waiting:
            return self._waiting.popleft()
        busy = any(worker.place is not None for worker in self._workers)
        return self._again.popleft() if self._again and not busy else None

    def _started(self) -> _Worker:
        context = multiprocessing.get_context("spawn")  # no lock of this process is copied in a locked state
        ours, theirs = context.Pipe()
        process = context.Process(target=_serve, args=(self._work, theirs), daemon=True)
        process.start()
        theirs.close()
        return _Worker(process, ours)

    def _give(self, worker: _Worker, place: int) -> None:
        worker.place = place
        self._tries[place] += 1
        with contextlib.suppress(OSError):  # it has died; listening to it will tell
            worker.pipe.send(self._books.jobs[place])

    def _hear(self, worker: _Worker) -> None:
        assert worker.place is not None
        place = worker.place
        try:
            kind, said = worker.pipe.recv()
        except (EOFError, OSError, pickle.UnpicklingError):
            self._lose(worker, place)
            return
        if kind == "stage":
            self._books.watching.tell_stage(self._books.jobs[place].folder, said)
            return
        worker.place, worker.done = None, worker.done + 1
        if kind == "bug":
            self._books.bugs.append(said)
        else:
            self._books.keep(place, said)

    def _lose(self, worker: _Worker, place: int) -> None:
        self._workers.remove(worker)
        _ended(worker)
        if self._tries[place] < _TRIES:
            self._again.append(place)
        else:
            self._books.keep(place, with_mistake(KitResult(self._books.jobs[place].folder), LOST))

    def _dismiss(self, worker: _Worker) -> None:
        self._workers.remove(worker)
        with contextlib.suppress(OSError):
            worker.pipe.send(None)
        _ended(worker)

    def _end_all(self) -> None:
        for worker in self._workers:
            worker.process.terminate()
        last = monotonic() + _PATIENCE  # for all of them together: somebody waits
        for worker in self._workers:
            _ended(worker, max(0.0, last - monotonic()))


def _ended(worker: _Worker, patience: float = _PATIENCE) -> None:
    """Wait until a process has ended, and see to it that it does after `patience` in seconds."""
    worker.process.join(patience)
    if worker.process.is_alive():
        worker.process.kill()
        worker.process.join()
    worker.pipe.close()


# -------------------------------------------------------------------------------------------------- in the worker


def _serve(work: Work, pipe: Connection) -> None:
    """Do jobs until there is none: one core for each, and an end on a signal that unwinds what is being written."""
    from kitforge.print.parallel import work_alone

    work_alone()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # a terminal sends it to all; the first process ends its workers
    signal.signal(signal.SIGTERM, terminated)
    with contextlib.suppress(EOFError, OSError, Terminated):
        for job in iter(pipe.recv, None):
            pipe.send(_answer(work, job, pipe))


def _answer(work: Work, job: Job, pipe: Connection) -> tuple[str, Any]:
    try:
        return "done", work(job, lambda stage: pipe.send(("stage", stage)))
    except Exception as bug:
        return "bug", _portable(bug)


def _portable(bug: Exception) -> Exception:
    """Return an exception that can travel, with the lines where it was raised as a note."""
    bug.add_note("".join(traceback.format_exception(bug)).rstrip())
    with contextlib.suppress(Exception):
        pickle.loads(pickle.dumps(bug))
        return bug
    return RuntimeError(f"{type(bug).__name__}: {bug}\n{bug.__notes__[-1]}")
