"""A small kit in a folder of its own, and the command line called in this process, without setting any PDF."""

from __future__ import annotations

from pathlib import Path

import pytest
from bare_packs import bare_packs  # noqa: F401 - a fixture
from calling import call  # noqa: F401 - a fixture
from small_pictures import small_pictures  # noqa: F401 - a fixture
from smaller import leave_unset

from kitforge.testing import SmallKit


@pytest.fixture
def kit(tmp_path: Path) -> SmallKit:
    return SmallKit(tmp_path / "signs")


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch, small_pictures: None) -> None:  # noqa: F811 - the fixture
    """Documents are made ready for print but not set in type, and pictures are small: both take most of the time."""
    leave_unset(monkeypatch.setattr)
