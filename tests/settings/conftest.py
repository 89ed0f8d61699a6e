"""The demo kits, and a kit of small dishes, planned for the tests of settings that can be defended."""

from __future__ import annotations

import pathlib

import pytest
from seed_dishes import DISHES, Check

import kitforge_settings
from kitforge.pipeline import CheckedKit, check_kit, plan_kit
from kitforge.plugins import load_plugins

KITS = sorted(path.parent for path in (pathlib.Path(__file__).parents[2] / "kits").glob("*/kit.yaml"))


@pytest.fixture(scope="session", params=KITS, ids=lambda path: path.name)
def demo(request: pytest.FixtureRequest) -> CheckedKit:
    """Each demo kit, planned, with the findings about its settings alone."""
    kit, plan = plan_kit(request.param, load_plugins())
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
