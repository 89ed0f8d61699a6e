"""Fixtures of the booklet and sheet tests: the hand-made kit, its plan, and one rendering of each document."""

from __future__ import annotations

import morris
import pytest
from plain_pictures import painted, plain_pictures  # noqa: F401 - a fixture
from small_pictures import small

from kitforge.model.kit import Kit
from kitforge.model.pack import BuildOptions
from kitforge.model.plan import Plan
from kitforge_booklet import kitforge_render as render_booklet
from kitforge_sheet import kitforge_render as render_sheet


@pytest.fixture(scope="session")
def kit() -> Kit:
    return morris.kit()


@pytest.fixture(scope="session")
def plan() -> Plan:
    return morris.plan()


@pytest.fixture(scope="session")
def files(kit: Kit, plan: Plan) -> dict[str, bytes]:
    """Every file of both plugins, on both papers, with small pictures."""
    with painted(), small():
        made = [*render_booklet(kit, plan, BuildOptions()), *render_sheet(kit, plan, BuildOptions())]
    return {file.name: file.data for file in made}
