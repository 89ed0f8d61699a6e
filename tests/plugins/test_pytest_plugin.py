"""pytest finds the fixture for authors of plugins, and a test with it runs without anything else."""

from __future__ import annotations

import os
import subprocess
import sys
from importlib.metadata import entry_points
from pathlib import Path

TEST = """
def test_the_small_kit(small_kit):
    assert small_kit.check().kit.info.slug == "name-signs"
    small_kit.change("slug: name-signs", "slug: other-signs")
    assert small_kit.check().kit.info.slug == "other-signs"
"""


def test_a_test_with_the_fixture_runs_anywhere(tmp_path: Path) -> None:
    (tmp_path / "test_small.py").write_text(TEST, encoding="utf-8")
    env = {**os.environ, "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1", "PYTEST_ADDOPTS": ""}
    command = [sys.executable, "-m", "pytest", "-q", "-p", "kitforge.pytest_plugin", "-p", "no:cacheprovider"]
    done = subprocess.run(command, cwd=tmp_path, env=env, capture_output=True, text=True, check=False)
    assert (done.returncode, "1 passed" in done.stdout) == (0, True), done.stdout


def test_pytest_is_told_of_it() -> None:
    found = {point.name: point.value for point in entry_points(group="pytest11")}
    assert found["kitforge"] == "kitforge.pytest_plugin"
