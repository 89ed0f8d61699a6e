"""Every demo kit, built once for all tests."""

from __future__ import annotations

from pathlib import Path

import demo_kits
import pytest


@pytest.fixture(params=demo_kits.DEMOS)
def made(request: pytest.FixtureRequest) -> demo_kits.Demo:
    """Each demo kit in turn, built; two of them on both papers."""
    name: str = request.param
    return demo_kits.demo(name)


@pytest.fixture
def folder(made: demo_kits.Demo, tmp_path: Path) -> Path:
    """The unpacked pack of the demo kit in turn."""
    for name, data in made.files.items():
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return tmp_path
