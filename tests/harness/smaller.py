"""How pictures become small, in a process that has no pytest: a script that a test starts begins with `IN_A_SCRIPT`."""

from __future__ import annotations

import hashlib
import importlib
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from kitforge.model.pack import PackFile
    from kitforge.print.typesetter import PdfJob

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
_LEFT_OUT = frozenset({"booklet", "listing"})
_as_shipped: dict[tuple[str, str], Any] = {}
_FRAMES = ("kitforge.pictures.studio.frames", "kitforge_listing.pictures")
IN_A_SCRIPT = (
    f"import sys; sys.path.insert(0, {str(Path(__file__).parent)!r}); "
    "import smaller, warm; smaller.make_small(setattr); warm.warm_up()\n"
)
UNSET = IN_A_SCRIPT + "smaller.leave_unset(setattr)\n"
"""The same, and documents are not set in type, which takes most of what is left. What stands for one depends on all
that it would be set from."""
BARE = UNSET + "smaller.leave_bare(setattr)\n"
"""The same, without booklet and listing, which take nearly all of what is left: for what is around a pack."""


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
    forgotten()


def leave_unset(change: Callable[[object, str, object], None]) -> None:
    """Put a sum of all that a document would be set from in its place. change: as above."""
    from kitforge.print import parallel

    change(parallel, "render_pdf", _sum_of)
    change(parallel, "_cores", lambda: 1)


def leave_bare(change: Callable[[object, str, object], None]) -> None:
    """Leave booklet and listing out of packs. change: as above."""
    from kitforge.plugins import Plugins

    change(Plugins, "render", _rendered_bare)


def _rendered_bare(plugins: Any, kit: object, plan: object, findings: object, options: object) -> list[PackFile]:
    given = {"kit": kit, "plan": plan, "findings": findings, "options": options}
    calls = [one for one in plugins._hook.kitforge_render.get_hookimpls() if one.plugin_name not in _LEFT_OUT]
    return [file for one in calls for file in one.function(**{name: given[name] for name in one.argnames})]


def _sum_of(job: PdfJob) -> bytes:
    said = (job.html, sorted(job.assets.items()), job.released, job.identifier, sorted(job.families), job.zoom)
    return b"%PDF-" + hashlib.sha256(repr(said).encode()).digest()


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


def forgotten() -> None:
    """Hand on no picture of another size, and none that was left plain."""
    from kitforge.pictures.drawn import shots, together
    from kitforge.pictures.studio import hero

    shots._shots.cache_clear()
    shots.thumbnail.cache_clear()
    together._stood.cache_clear()
    together._after_steps.cache_clear()
    together._exploded_view.cache_clear()
    hero._hero.cache_clear()
