"""The hand-made board of the print tests, planned."""

from __future__ import annotations

import morris
import pytest
from plain_pictures import plain_pictures  # noqa: F401 - a fixture

from kitforge.model.kit import Kit
from kitforge.model.plan import Plan


@pytest.fixture(scope="session")
def kit() -> Kit:
    return morris.kit()


@pytest.fixture(scope="session")
def plan() -> Plan:
    return morris.plan()
