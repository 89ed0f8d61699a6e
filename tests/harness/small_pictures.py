"""Small pictures, for tests of what is built, kept and found: none of that depends on how many dots a picture has.

Everything is painted as ever, photographs and steps, in a fraction of the time. A test takes `small_pictures` as its
fixture; a script that a test starts puts `IN_A_SCRIPT` before its own lines.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

_SIZES: dict[str, dict[str, object]] = {
    "kitforge.pictures.drawn.shots": {
        "_DRAWN": (160, 120), "_BEFORE": (48, 36), "STEP_DOTS": (120, 90), "_LARGER": 0.2,
    },
    "kitforge.pictures.studio.hero": {"OBJECT_DOTS": 170, "CLOSE_UP": (120, 90)},
    "kitforge.pictures.studio.series": {"_SIZE": (120, 90), "_OBJECT": 102, "CLOSE_UP": (120, 90)},
    "kitforge.pictures.studio.lamps": {"_POINTS": 2_000},
    "kitforge_booklet.pictures": {"DOTS_PER_MM": 0.7},
}  # fmt: skip
_FRAMES = ("kitforge.pictures.studio.frames", "kitforge_listing.pictures")
IN_A_SCRIPT = (
    f"import sys; sys.path.insert(0, {str(Path(__file__).parent)!r}); "
    "import small_pictures; small_pictures.make_small(setattr)\n"
)


@pytest.fixture
def small_pictures() -> Iterator[None]:
    """Take a tenth of the dots across and up until the test ends."""
    with small():
        yield


@contextmanager
def small() -> Iterator[None]:
    """Take a tenth of the dots across and up until the block ends."""
    with pytest.MonkeyPatch.context() as patch:
        make_small(patch.setattr)
        yield
    _forgotten()


def make_small(change: Callable[[object, str, object], None]) -> None:
    """Take a tenth of the dots across and up. change: `setattr`, or one that is undone later."""
    from dataclasses import replace

    from kitforge.pictures.studio.frames import FRAMES

    for module, sizes in _SIZES.items():
        for name, size in sizes.items():
            change(importlib.import_module(module), name, size)
    small = tuple(replace(frame, width=frame.width // 10, height=frame.height // 10) for frame in FRAMES)
    for module in _FRAMES:
        change(importlib.import_module(module), "FRAMES", small)
    _forgotten()


def _forgotten() -> None:
    """No picture of another size is handed on."""
    from kitforge.pictures.drawn import shots
    from kitforge.pictures.studio import hero

    shots._shots.cache_clear()
    shots.thumbnail.cache_clear()
    hero._hero.cache_clear()
