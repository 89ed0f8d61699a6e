"""The project's version stands in three files; a release names the same in all of them."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import kitforge

ROOT = Path(__file__).parents[2]


def test_the_version_is_that_of_the_package_and_of_the_newest_changes() -> None:
    said = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["version"]
    newest = re.search(
        r"^## (\S+) \((?:\d{4}-\d\d-\d\d|unreleased)\)$", (ROOT / "CHANGELOG.md").read_text("utf-8"), re.M
    )
    assert newest is not None
    assert (said, newest[1]) == (kitforge.__version__,) * 2
