"""The starter kit in a folder of its own, and the command line called in this process."""

from __future__ import annotations

import pathlib

import pytest
from bare_packs import bare_packs  # noqa: F401 - a fixture
from calling import call  # noqa: F401 - a fixture
from plain_pictures import plain_pictures  # noqa: F401 - a fixture
from small_pictures import small_pictures  # noqa: F401 - a fixture
from smaller import leave_unset
from starting import Kits


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch, small_pictures: None) -> None:  # noqa: F811 - the fixture
    """Documents are not set in type and pictures are small: for tests that look at everything but these."""
    leave_unset(monkeypatch.setattr)


@pytest.fixture
def kits(tmp_path: pathlib.Path) -> Kits:
    """Writes starter kits, changed where a test says so."""
    return Kits(tmp_path / "kits")
