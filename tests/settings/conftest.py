"""The demo kits, and a kit of small dishes, planned for the tests of settings that can be defended."""

from __future__ import annotations

import pathlib
from functools import cache

import pytest
from kit_samples import DEMOS, sample
from seed_dishes import DISHES, Check

import kitforge_settings
from kitforge.pipeline import CheckedKit, check_kit
from kitforge.plugins import load_plugins


@pytest.fixture(scope="session", params=DEMOS)
def demo(request: pytest.FixtureRequest) -> CheckedKit:
    """Each demo kit, planned, with the findings about its settings alone."""
    return _planned(request.param)


@cache
def _planned(name: str) -> CheckedKit:
    """Planned once in a process: a fixture with parameters is made anew whenever another one was asked for between."""
    kit, plan = sample(name).kit, sample(name).plan
    return CheckedKit(kit, plan, tuple(kitforge_settings.kitforge_check(kit, plan)))


@pytest.fixture
def check(tmp_path: pathlib.Path) -> Check:
    """Checks the kit of seed dishes, with texts of it replaced."""

    def run(*changes: tuple[str, str]) -> CheckedKit:
        text = DISHES
        for old, new in changes:
            assert old in text, old
            text = text.replace(old, new)
        (tmp_path / "kit.yaml").write_text(text)
        return check_kit(tmp_path, load_plugins())

    return run
