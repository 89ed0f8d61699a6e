"""How many kits can be worked on at the same time: as many as there are cores, and as memory has room for."""

from __future__ import annotations

import contextlib
import os
import re
from pathlib import Path

from kitforge.print.parallel import cores_here

MEMORY_EACH = 800 << 20
"""Bytes that one process needs at most for a kit of ordinary size; measured on the demo kits: 380 to 640 MB."""

_LIMITS = (
    (Path("/sys/fs/cgroup/memory.max"), Path("/sys/fs/cgroup/memory.current")),
    (Path("/sys/fs/cgroup/memory/memory.limit_in_bytes"), Path("/sys/fs/cgroup/memory/memory.usage_in_bytes")),
)


def workers_for(kits: int, asked: int | None = None, cores: int | None = None, memory: int | None = None) -> int:
    """Return how many processes shall work on `kits` kits.

    asked: as many as the user wants, bounded by the kits alone; None for as many as there are cores and as memory has
    room for. cores, memory (bytes): measured where they are None.
    """
    if asked is not None:
        return max(1, min(asked, kits))
    have = free_memory() if memory is None else memory
    room = have // MEMORY_EACH if have else kits
    return max(1, min(kits, cores or cores_here(), room))


def free_memory() -> int:
    """Return the bytes that are free for this process, also within a container's limit; 0 where nobody tells."""
    return min((bytes_free for bytes_free in (_of_system(), *_of_container()) if bytes_free), default=0)


def _of_system() -> int:
    with contextlib.suppress(OSError):
        found = re.search(r"^MemAvailable:\s+(\d+) kB", Path("/proc/meminfo").read_text(encoding="ascii"), re.MULTILINE)
        if found:
            return int(found[1]) << 10
    with contextlib.suppress(ValueError, OSError, AttributeError):
        return os.sysconf("SC_PHYS_PAGES") * os.sysconf("SC_PAGE_SIZE")
    return 0


def _of_container() -> list[int]:
    found = []
    for most, used in _LIMITS:
        with contextlib.suppress(OSError, ValueError):
            found.append(int(most.read_text(encoding="ascii")) - int(used.read_text(encoding="ascii")))
    return found
