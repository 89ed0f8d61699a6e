"""Fixtures of the print tests: the hand-made kit and the shipped theme."""

from __future__ import annotations

import morris
import pytest

from kitforge.model.kit import Kit
from kitforge.model.plan import Plan
from kitforge.print.themes import Theme, load_theme


@pytest.fixture(scope="session")
def kit() -> Kit:
    return morris.kit()


@pytest.fixture(scope="session")
def plan() -> Plan:
    return morris.plan()


@pytest.fixture(scope="session")
def plain() -> Theme:
    return load_theme("plain")
