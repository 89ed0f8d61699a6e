"""Several things at once, as many as there are cores: documents in processes of their own, pictures in threads.

The typesetter is Python, so only another process sets another document meanwhile; a document is set from a manuscript
alone, so the result does not depend on where that happens. Pictures are NumPy and Pillow, which let other threads run.
"""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TYPE_CHECKING, ParamSpec, TypeVar

from kitforge.files.artefacts import Artefacts, current, kept_in
from kitforge.files.cache import FileCache
from kitforge.model.messages import Text
from kitforge.model.pack import PackFile
from kitforge.model.record import record
from kitforge.print.ready import load_typesetter, require_printing
from kitforge.print.typesetter import PdfJob, render_pdf

if TYPE_CHECKING:
    from concurrent.futures import Executor, Future, ProcessPoolExecutor

T = TypeVar("T")
P = ParamSpec("P")


@record
class DocumentJob:
    """A document of the pack before it is set: file name, manuscript, what it is for, language, whether it guides."""

    name: str
    manuscript: PdfJob
    about: Text
    language: str
    guide: bool = False


SMALL = 60_000
"""A document of fewer characters is set before another process could have started."""

_MOST_DRAWING = 4
"""Pictures drawn at the same time: each needs some 100 MB."""


class _Workers:
    """Processes that are kept ready, started when they are first asked for."""

    def __init__(self, helpers: int) -> None:
        self.helpers = helpers
        self._pool: ProcessPoolExecutor | None = None
        self._lock = threading.Lock()

    def started(self) -> ProcessPoolExecutor:
        """Return the pool, which loads the typesetter as soon as it is started."""
        with self._lock:
            if self._pool is None:
                self._pool = _pool(self.helpers)
                for _ in range(self.helpers):
                    self._pool.submit(_load_the_typesetter)
            return self._pool

    def end(self, *, at_once: bool = False) -> None:
        """End the processes; at once: without what still waits."""
        if self._pool is not None:
            self._pool.shutdown(wait=not at_once, cancel_futures=at_once)


_ready: _Workers | None = None


@contextmanager
def typesetters(documents: int) -> Iterator[None]:
    """Keep processes ready, one less than there are cores, for every call of `set_all` until the block ends.

    They load the typesetter at once, while this process gets the first documents ready; where documents may have been
    kept from an earlier build, only when one is expected (`expect_documents`). None are started where there is only one
    document of a kind, or one core.
    """
    global _ready  # noqa: PLW0603 - one build at a time in a process, seen by its threads
    helpers = min(_processes(), documents) - 1
    if helpers < 1:
        yield
        return
    crew = _Workers(helpers)
    before, _ready = _ready, crew
    try:
        if current() is None:
            crew.started()
        yield
    except BaseException:
        crew.end(at_once=True)
        raise
    finally:
        _ready = before
        crew.end()


def expect_documents() -> None:
    """Start the processes that are kept ready, for something was not kept, so documents will have to be set."""
    crew = _ready
    if crew is not None:
        crew.started()


def set_drafts(drafts: Sequence[DocumentJob]) -> list[PackFile]:
    """Return the documents as files of the pack, in the order of the drafts."""
    documents = set_all([draft.manuscript for draft in drafts])
    return [
        PackFile(draft.name, data, draft.about, draft.language, draft.guide)
        for draft, data in zip(drafts, documents, strict=True)
    ]


def set_all(manuscripts: Sequence[PdfJob]) -> list[bytes]:
    """Return every manuscript as a PDF, in their order, kept or set anew. Raises PrintError as `render_pdf` does."""
    store = current()
    if store is None:
        return _all_set(manuscripts)
    keys = [_key(store, one) for one in manuscripts]
    found: dict[str, bytes | None] = {key: store.cache.get(key) for key in keys}
    missing = [(key, one) for key, one in zip(keys, manuscripts, strict=True) if found[key] is None]
    if missing:
        require_printing()
        for (key, _one), document in zip(missing, _all_set([one for _key, one in missing]), strict=True):
            store.cache.put(key, document)
            found[key] = document
    return [found[key] or b"" for key in keys]


def _key(store: Artefacts, one: PdfJob) -> str:
    """Return the key of a document: everything that it is set from."""
    assets = [piece for name in sorted(one.assets) for piece in (name, one.assets[name])]
    more = (one.released, one.identifier, sorted(one.families), one.zoom)
    return store.key("pdf", one.html, assets, more)


def _all_set(manuscripts: Sequence[PdfJob]) -> list[bytes]:
    crew = _ready
    if crew is not None and len(manuscripts) > 1:
        return _shared(manuscripts, crew.started(), crew.helpers)
    helpers = min(_processes(), len(manuscripts)) - 1
    if helpers < 1 or sum(len(one.html) for one in manuscripts[1:]) < SMALL:
        return [render_pdf(one) for one in manuscripts]
    with _pool(helpers) as pool:
        return _shared(manuscripts, pool, helpers)


def _shared(manuscripts: Sequence[PdfJob], pool: Executor, helpers: int) -> list[bytes]:
    """Return the manuscripts as PDFs, the first of them set in this process meanwhile."""
    share = -(-len(manuscripts) // (helpers + 1))
    store = current()
    kept = None if store is None else (store.cache, store.builder)
    waiting = [pool.submit(_set_elsewhere, one, kept) for one in manuscripts[share:]]
    try:
        own = [render_pdf(one) for one in manuscripts[:share]]
        return own + [document.result() for document in waiting]
    finally:
        for document in waiting:
            document.cancel()


def _set_elsewhere(one: PdfJob, kept: tuple[FileCache, str] | None) -> bytes:
    """Set a document in a process that was started for it. kept: the cache of the build, and its builder's sum."""
    with kept_in(None if kept is None else Artefacts(*kept)):
        return render_pdf(one)


class DrawingPool:
    """Threads that draw several pictures at the same time; each piece of work handed out is a future.

    Only a few pieces wait at any time, so that the surfaces they hold do not fill the memory.
    """

    def __init__(self, pool: Executor, count: int) -> None:
        self._pool, self._room = pool, threading.BoundedSemaphore(2 * count)

    def give(self, work: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> Future[T]:
        """Hand out a piece of work; waits while too many are waiting."""
        self._room.acquire()
        future = self._pool.submit(work, *args, **kwargs)
        future.add_done_callback(lambda _: self._room.release())
        return future

    def each(self, work: Callable[[int], None], numbers: Iterable[int]) -> Iterator[None]:
        """Do something for every number, several at the same time; not for use within work that was handed out."""
        return self._pool.map(work, numbers)


@contextmanager
def hands() -> Iterator[DrawingPool]:
    """Give as many threads as there are cores, at most four, until the block ends."""
    from concurrent.futures import ThreadPoolExecutor

    count = min(_cores(), _MOST_DRAWING)
    with ThreadPoolExecutor(count) as pool:
        try:
            yield DrawingPool(pool, count)
        except BaseException:
            pool.shutdown(wait=False, cancel_futures=True)
            raise


_others: ContextVar[bool] = ContextVar("_others", default=False)


@contextmanager
def other_processes() -> Iterator[None]:
    """Allow that other processes are started until the block ends.

    Another process loads the program's main module once more. The command line is made for that; a script that has no
    `if __name__ == "__main__"` would begin anew in each of them, so it works in its own process alone.
    """
    token = _others.set(True)
    try:
        yield
    finally:
        _others.reset(token)


def work_alone() -> None:
    """Work with one process and one thread from now on: where several kits are worked on, each has one core."""
    global _alone  # noqa: PLW0603 - the process's own state, set once when a worker begins
    _alone = True


_alone = False


def cores_here() -> int:
    """Return the cores that this process may use."""
    return _cores()


def _processes() -> int:
    return _cores() if _others.get() else 1


def _cores() -> int:
    if _alone:
        return 1
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _pool(helpers: int) -> ProcessPoolExecutor:
    """New processes start clean (spawn), so that no lock of this one is copied in a locked state."""
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    return ProcessPoolExecutor(helpers, mp_context=get_context("spawn"), initializer=_leave_interrupts_to_the_parent)


def _leave_interrupts_to_the_parent() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _load_the_typesetter() -> None:
    load_typesetter()
