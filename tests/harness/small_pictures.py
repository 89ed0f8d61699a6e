"""Small pictures, for tests of what is built, kept and found: none of that depends on how many dots a picture has.

Everything is painted as ever, photographs and steps, in a fraction of the time; at a tenth of the dots the maps that
are cut have wider cells as well, for they take the most of what is left. A test takes `small_pictures` as its fixture;
a script that a test starts puts `IN_A_SCRIPT` of smaller.py before its own lines.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from smaller import forgotten, make_small

_within: list[int] = []


@pytest.fixture
def small_pictures() -> Iterator[None]:
    """Take a tenth of the dots across and up until the test ends."""
    with small():
        yield


@contextmanager
def small(by: int = 10) -> Iterator[None]:
    """Take fewer dots across and up, a tenth of them, until the block ends; in such a block nothing changes."""
    if by in _within:
        yield
        return
    _within.append(by)
    with pytest.MonkeyPatch.context() as patch:
        make_small(patch.setattr, by)
        yield
    _within.remove(by)
    forgotten()
