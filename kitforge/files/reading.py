"""Reading a file that may come from a stranger: an ordinary file only, no link, no pipe, no more than so many bytes."""

from __future__ import annotations

import os
import stat
from pathlib import Path

_FLAGS = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)

LARGEST_PACK = 1 << 30
"""Bytes of a pack, as a zip and unpacked; packs of the demo kits have 10 MB."""


class UnfitFileError(OSError):
    """A file that is there but is no ordinary one, or larger than allowed; the text says which."""


def read_bounded(path: Path, largest: int) -> bytes:
    """Return the bytes of an ordinary file of at most `largest` bytes.

    Raises FileNotFoundError when there is none, UnfitFileError for a link, a pipe, a folder or too many bytes, and
    OSError when it cannot be read. Opening never waits, as it would for a pipe.
    """
    if path.is_symlink():
        raise UnfitFileError(f"{path.name} is a link")
    descriptor = os.open(path, _FLAGS)
    with os.fdopen(descriptor, "rb") as file:
        if not stat.S_ISREG(os.fstat(descriptor).st_mode):
            raise UnfitFileError(f"{path.name} is no ordinary file")
        data = file.read(largest + 1)
    if len(data) > largest:
        raise UnfitFileError(f"{path.name} is larger than {largest >> 10} KiB")
    return data
