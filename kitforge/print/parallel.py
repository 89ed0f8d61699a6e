"""Several documents at once: one in this process, the others in processes of their own, as many as there are cores.

A document is set from a manuscript alone, so the result does not depend on where that happens.
"""

from __future__ import annotations

import os
import signal
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.pack.records import PackFile
from kitforge.print.typesetter import Manuscript, set_in_type

if TYPE_CHECKING:
    from concurrent.futures import ProcessPoolExecutor


@dataclass(frozen=True, slots=True)
class Draft:
    """A document of the pack before it is set: file name, manuscript, what it is for, language."""

    name: str
    manuscript: Manuscript
    about: str
    language: str


SMALL = 60_000
"""A document of fewer characters is set before another process could have started."""


def set_drafts(drafts: Sequence[Draft]) -> list[PackFile]:
    """Return the documents as files of the pack, in the order of the drafts."""
    documents = set_all([draft.manuscript for draft in drafts])
    return [
        PackFile(draft.name, data, draft.about, draft.language) for draft, data in zip(drafts, documents, strict=True)
    ]


def set_all(manuscripts: Sequence[Manuscript]) -> list[bytes]:
    """Return every manuscript as a PDF, in their order. Raises PrintError as `set_in_type` does."""
    helpers = min(_cores(), len(manuscripts)) - 1
    if helpers < 1 or sum(len(one.html) for one in manuscripts[1:]) < SMALL:
        return [set_in_type(one) for one in manuscripts]
    share = -(-len(manuscripts) // (helpers + 1))
    with _pool(helpers) as pool:
        waiting = [pool.submit(set_in_type, one) for one in manuscripts[share:]]
        try:
            own = [set_in_type(one) for one in manuscripts[:share]]
            return own + [document.result() for document in waiting]
        except BaseException:
            pool.shutdown(wait=False, cancel_futures=True)
            raise


def _cores() -> int:
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _pool(helpers: int) -> ProcessPoolExecutor:
    """New processes start clean (spawn), so that no lock of this one is copied in a locked state."""
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    return ProcessPoolExecutor(helpers, mp_context=get_context("spawn"), initializer=_leave_interrupts_to_the_parent)


def _leave_interrupts_to_the_parent() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
