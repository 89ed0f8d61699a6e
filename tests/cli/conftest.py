"""The starter kit in a folder of its own, and the command line called in this process."""

from __future__ import annotations

import pathlib

import pytest
from calling import call  # noqa: F401 - a fixture
from plain_pictures import plain_pictures  # noqa: F401 - a fixture
from starting import Kits


@pytest.fixture
def kits(tmp_path: pathlib.Path) -> Kits:
    """Writes starter kits, changed where a test says so."""
    return Kits(tmp_path / "kits")
