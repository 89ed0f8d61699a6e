"""Packs without booklet and listing, for tests of what is around a pack: names, sums, records, exit codes.

Drawings, settings sheets, read-me, manifest and sums are made as ever. The two that are left out take nearly all of the
time of a build whose documents are not set in type. A conftest takes `bare_packs` over as its fixture; a script that a
test starts begins with `BARE` of smaller.py.
"""

from __future__ import annotations

import pytest
from smaller import leave_bare


@pytest.fixture
def bare_packs(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave booklet and listing out of what is built until the test ends."""
    leave_bare(monkeypatch.setattr)
