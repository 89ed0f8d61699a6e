"""The demo kits as they are built for the other tests as well."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "print" / "fixtures"))
sys.path.insert(0, str(Path(__file__).parent))

import once


@pytest.fixture(scope="session", autouse=True)
def _shared(tmp_path_factory: pytest.TempPathFactory) -> None:
    once.share(tmp_path_factory)
