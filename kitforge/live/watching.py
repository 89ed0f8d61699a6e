"""Seeing that a kit was saved: its files are looked at again and again, by name, time, size and inode.

Native events of the file system are left alone: they do not come from network, container and mounted folders, and a
file that an editor replaces is lost after its first save.
"""

from __future__ import annotations

import os
import stat
import threading
from collections.abc import Iterable, Iterator
from pathlib import Path

Look = dict[str, tuple[int, int, int]]

PAUSE, SETTLED = 0.12, 0.05
"""Seconds between two looks, and between the two that must agree before a save counts as finished: common practice."""
_MOST, _DEEPEST = 4000, 6
_UNFINISHED = ("~", ".swp", ".swx", ".tmp", ".part", ".bak")


def look(folder: Path, names: Iterable[str] | None = None) -> Look:
    """Return what can be seen of the files without opening them. names: only of these; None: of all in the folder."""
    chosen = _all(folder) if names is None else names
    found = ((name, _seen(folder / name)) for name in chosen)
    return {name: seen for name, seen in found if seen is not None}


def settled(folder: Path, names: Iterable[str] | None, stop: threading.Event) -> Look:
    """Return a look at the files that a second one, a moment later, agrees with; the last one where it is to stop."""
    wanted = None if names is None else tuple(names)
    before = look(folder, wanted)
    while not stop.wait(SETTLED):
        now = look(folder, wanted)
        if now == before:
            break
        before = now
    return before


def _seen(path: Path) -> tuple[int, int, int] | None:
    try:
        found = path.stat()
    except (OSError, ValueError):
        return None
    return (found.st_mtime_ns, found.st_size, found.st_ino) if stat.S_ISREG(found.st_mode) else None


def _all(folder: Path) -> Iterator[str]:
    """Yield the files below a folder by relative name; hidden ones and what an editor has not finished are left out."""
    left = _MOST
    for place, folders, files in os.walk(folder):
        inside = Path(place).relative_to(folder)
        folders[:] = sorted(one for one in folders if not one.startswith(".")) if len(inside.parts) < _DEEPEST else []
        for name in sorted(files):
            if left <= 0:
                return
            left -= 1
            if not name.startswith((".", "#")) and not name.endswith(_UNFINISHED):
                yield (inside / name).as_posix()
