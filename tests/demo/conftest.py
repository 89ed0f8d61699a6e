"""Every demo kit, built once for all tests."""

from __future__ import annotations

from pathlib import Path

import demo_kits
import pytest

_PACKS = (
    *((name, "a4") for name in demo_kits.DEMOS),
    *(pytest.param((name, "letter"), marks=pytest.mark.soak) for name in demo_kits.ON_LETTER),
)


@pytest.fixture(params=_PACKS, ids=lambda one: one[0] if one[1] == "a4" else "-".join(one))
def made(request: pytest.FixtureRequest) -> demo_kits.Demo:
    """Each demo kit in turn, built; in the long run some on the other paper as well."""
    return demo_kits.demo(*request.param)


@pytest.fixture
def folder(made: demo_kits.Demo, tmp_path: Path) -> Path:
    """The unpacked pack of the demo kit in turn."""
    for name, data in made.files.items():
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return tmp_path
