"""Planning that begins anew: for tests that change the planner itself, and for those of what it keeps."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from kitforge.planning import overall, pieces, retention, step_geometry, steps

KEEPING = (steps._worked_out, retention._worked_out, step_geometry._moves, pieces._divisions)
"""The functions of planning that keep what they worked out for a step."""
_OF_PARTS = (overall._extent, overall._left)


@contextmanager
def nothing_kept() -> Iterator[None]:
    """Forget what was worked out for steps, now and when the block ends."""
    _forget()
    try:
        yield
    finally:
        _forget()


def _forget() -> None:
    for one in (*KEEPING, *_OF_PARTS):
        one.cache_clear()
