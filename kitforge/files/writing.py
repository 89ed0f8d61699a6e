"""Writing a file whole or not at all: a temporary file beside it, which then takes its place.

The temporary file has a random name, so that two programs, also in containers with equal process numbers, never write
into one another's; only a file that this process made is removed. What a killed process left behind is swept away by a
later one when it is a day old.
"""

from __future__ import annotations

import contextlib
import os
import re
import stat
import time
from collections.abc import Iterator
from pathlib import Path
from typing import IO

OLD = 24 * 3600.0
"""Seconds after which a temporary file belongs to nobody: no build takes that long."""

_ENDING = ".kitforge-part"
_OURS = re.compile(r"\..+\.[0-9a-f]{16}" + re.escape(_ENDING))


@contextlib.contextmanager
def written_whole(path: Path) -> Iterator[IO[bytes]]:
    """Give a stream; when the block ends without an error, what was written takes the place of `path`.

    The bytes are on the disk before the name changes, so that a power cut leaves the old file or the new one.
    Raises OSError when the disk refuses; an existing file is then untouched.
    """
    beside = temporary(path)
    try:
        with beside.open("xb") as stream:
            yield stream
            stream.flush()
            os.fsync(stream.fileno())
        beside.replace(path)
        _flush_folder(path.parent)
    finally:
        with contextlib.suppress(OSError):
            beside.unlink(missing_ok=True)


def write_whole(path: Path, data: bytes) -> None:
    """Write a file whole or not at all. Raises OSError when the disk refuses."""
    with written_whole(path) as stream:
        stream.write(data)


def temporary(path: Path) -> Path:
    """Return a name beside `path` that nobody else uses."""
    return path.with_name(f".{path.name}.{os.urandom(8).hex()}{_ENDING}")


def sweep(folder: Path, now: float | None = None) -> int:
    """Remove temporary files of ours in `folder` that are a day old; return how many there were."""
    moment, count = time.time() if now is None else now, 0
    with contextlib.suppress(OSError), os.scandir(folder) as entries:
        for entry in entries:
            if _OURS.fullmatch(entry.name) and _is_old(entry, moment):
                with contextlib.suppress(OSError):
                    os.unlink(entry.path)  # noqa: PTH108 - the name as it was listed
                    count += 1
    return count


def _is_old(entry: os.DirEntry[str], moment: float) -> bool:
    try:
        about = entry.stat(follow_symlinks=False)
    except OSError:
        return False
    return stat.S_ISREG(about.st_mode) and moment - about.st_mtime > OLD


def _flush_folder(folder: Path) -> None:
    """Write the folder's own list to the disk where the system can; the new name lasts only then."""
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
