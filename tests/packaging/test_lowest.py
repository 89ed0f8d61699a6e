"""Every dependency says the least version that works; `make lowest` tries them."""

from __future__ import annotations

from importlib.metadata import version

import pytest
from lowest import lowest
from packaging.version import Version


@pytest.mark.parametrize("pinned", lowest())
def test_no_lower_bound_is_above_what_is_installed(pinned: str) -> None:
    name, _, least = pinned.partition("==")
    assert Version(version(name)) >= Version(least)
