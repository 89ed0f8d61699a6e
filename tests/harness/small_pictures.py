"""Small pictures, for tests of what is built, kept and found: none of that depends on how many dots a picture has.

Everything is painted as ever, photographs and steps, in a fraction of the time; at a tenth of the dots the maps that
are cut have wider cells as well, for they take the most of what is left. A test takes `small_pictures` as its fixture;
a script that a test starts puts `IN_A_SCRIPT` before its own lines.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

_SIZES: dict[str, tuple[str, ...]] = {
    "kitforge.pictures.drawn.shots": ("_DRAWN", "_BEFORE", "STEP_DOTS", "_LARGER"),
    "kitforge.pictures.drawn.together": ("STEP_DOTS",),
    "kitforge.pictures.studio.hero": ("OBJECT_DOTS", "CLOSE_UP"),
    "kitforge.pictures.studio.series": ("_SIZE", "_OBJECT", "CLOSE_UP"),
    "kitforge_booklet.pictures": ("DOTS_PER_MM",),
}
"""How many dots pictures have across and up, or for each mm of paper."""
_GRID = "kitforge.surface.grid"
_CELLS = 3
"""How much wider the cells of a map are at a tenth of the dots or fewer."""
_LAMPS = "kitforge.pictures.studio.lamps"
_within: list[int] = []
_as_shipped: dict[tuple[str, str], Any] = {}
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
def small(by: int = 10) -> Iterator[None]:
    """Take fewer dots across and up, a tenth of them, until the block ends; in such a block nothing changes."""
    if by in _within:
        yield
        return
    _within.append(by)
    with pytest.MonkeyPatch.context() as patch:
        make_small(patch.setattr, by)
        yield
    _within.remove(by)
    _forgotten()


def make_small(change: Callable[[object, str, object], None], by: int = 10) -> None:
    """Take fewer dots across and up, a tenth of them. change: `setattr`, or one that is undone later."""
    from dataclasses import replace

    for name in (
        *_SIZES,
        _LAMPS,
        _GRID,
        *_FRAMES,
    ):  # all of them first: one takes a size over from another when it is imported
        importlib.import_module(name)
    for name, sizes in _SIZES.items():
        for size in sizes:
            change(importlib.import_module(name), size, _smaller(_full(name, size), by))
    change(importlib.import_module(_LAMPS), "_POINTS", _full(_LAMPS, "_POINTS") // by**2)
    wider = _CELLS if by >= 10 else 1
    for size in ("CELL", "FINEST_CELL"):
        change(importlib.import_module(_GRID), size, _full(_GRID, size) * wider)
    change(importlib.import_module(_GRID), "_WANTED", _full(_GRID, "_WANTED") // wider**2)
    small = tuple(replace(one, width=one.width // by, height=one.height // by) for one in _full(_FRAMES[0], "FRAMES"))
    for name in _FRAMES:
        change(importlib.import_module(name), "FRAMES", small)
    _forgotten()


def _full(module: str, name: str) -> Any:
    """Return a size as it is without tests, also while it is smaller."""
    return _as_shipped.setdefault((module, name), getattr(importlib.import_module(module), name))


def _smaller(size: int | float | tuple[int, int], by: int) -> int | float | tuple[int, int]:
    match size:
        case (across, up):
            return across // by, up // by
        case int():
            return size // by
        case _:
            return size / by


def _forgotten() -> None:
    """No picture of another size is handed on."""
    from kitforge.pictures.drawn import shots
    from kitforge.pictures.studio import hero

    shots._shots.cache_clear()
    shots.thumbnail.cache_clear()
    hero._hero.cache_clear()
