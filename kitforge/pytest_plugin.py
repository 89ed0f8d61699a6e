"""What pytest finds by itself where kitforge is installed: the fixture `small_kit` for tests of plugins.

Apart from `kitforge.testing`, because only this module needs pytest.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from kitforge.testing import SmallKit


@pytest.fixture
def small_kit(tmp_path: Path) -> SmallKit:
    """A kit to change, check and build: two name signs of cherry, in a folder of its own."""
    from kitforge.testing import SmallKit

    return SmallKit(tmp_path / "kit")
