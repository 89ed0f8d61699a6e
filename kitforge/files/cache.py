"""A cache of files: what was made once is found by a key over everything that it was made from.

Each entry is a file of its own with a sum over key and content: a damaged one, another key's, a link or a pipe is a
miss and is made anew. The sum finds damage, not malice: whoever can write into the folder can plant an entry. So the
folder is the user's own (0700), and one that others own or can write into is not used. Only pictures, typefaces,
PDF and JSON are kept; nothing is unpickled.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import stat
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from kitforge.files.reading import UnfitFileError, read_bounded
from kitforge.files.writing import sweep, temporary

MOST_BYTES = 1 << 30
"""The cache is trimmed to so much after a build; the entries that were not used for the longest time go first."""

SWITCH_OFF = "KITFORGE_NO_CACHE"
"""A variable of the environment: where it is set, nothing is read from the cache or kept. It changes no byte."""

_MAGIC = b"kitforge cache 1\n"
_LARGEST = 128 << 20
_HOUR = 3600.0


@dataclass(frozen=True, slots=True)
class CacheUse:
    """How much a cache holds: entries, and their bytes."""

    entries: int
    size: int


class FileCache:
    """The entries in one folder. No method raises for what is wrong on the disk: it is a miss, or not kept."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def get(self, key: str) -> bytes | None:
        """Return what was kept under a key, or None."""
        path = self._path(key)
        try:
            data = read_bounded(path, _LARGEST)
        except FileNotFoundError:
            return None
        except (UnfitFileError, OSError):
            self._forget(path)
            return None
        body = data[len(_MAGIC) + 32 :]
        if data[: len(_MAGIC)] != _MAGIC or data[len(_MAGIC) : len(_MAGIC) + 32] != _sum(key, body):
            self._forget(path)
            return None
        self._used(path)
        return body

    def put(self, key: str, body: bytes) -> None:
        """Keep something under a key. An entry is whole or not there, whoever writes it at the same time."""
        path = self._path(key)
        beside = temporary(path)
        with contextlib.suppress(OSError):
            path.parent.mkdir(mode=0o700, exist_ok=True)
            if path.is_symlink() or (path.exists() and not path.is_file()):
                self._forget(path)
            try:
                beside.write_bytes(_MAGIC + _sum(key, body) + body)
                beside.replace(path)
            finally:
                beside.unlink(missing_ok=True)

    def use(self) -> CacheUse:
        """Return how much is kept."""
        sizes = [size for _path, size, _used in self._entries()]
        return CacheUse(len(sizes), sum(sizes))

    def trim(self, most: int = MOST_BYTES) -> None:
        """Remove entries, those first that were not used for the longest time, until `most` bytes are left."""
        entries = sorted(self._entries(), key=lambda entry: entry[2])
        left = sum(size for _path, size, _used in entries)
        for path, size, _used in entries:
            if left <= most:
                break
            self._forget(path)
            left -= size
        for folder in self._folders():
            sweep(folder)

    def clear(self) -> CacheUse:
        """Remove every entry, and nothing else; return how much that was."""
        gone = self.use()
        for path, _size, _used in list(self._entries()):
            self._forget(path)
        for folder in self._folders():
            with contextlib.suppress(OSError):
                folder.rmdir()
        return gone

    def _path(self, key: str) -> Path:
        return self.folder / key.rpartition("-")[2][:2] / key

    def _folders(self) -> Iterator[Path]:
        with contextlib.suppress(OSError):
            yield from (one for one in sorted(self.folder.iterdir()) if len(one.name) == 2 and not one.is_symlink())

    def _entries(self) -> Iterator[tuple[Path, int, float]]:
        for folder in self._folders():
            with contextlib.suppress(OSError), os.scandir(folder) as found:
                for one in found:
                    with contextlib.suppress(OSError):
                        about = one.stat(follow_symlinks=False)
                        if not one.name.startswith(".") and "-" in one.name:
                            yield Path(one.path), about.st_size, about.st_mtime

    @staticmethod
    def _forget(path: Path) -> None:
        with contextlib.suppress(OSError):
            path.unlink(missing_ok=True)

    @staticmethod
    def _used(path: Path) -> None:
        """Note that an entry was used, once an hour at most."""
        now = time.time()
        with contextlib.suppress(OSError):
            if now - path.stat().st_mtime > _HOUR:
                os.utime(path, (now, now))


def key_of(kind: str, *parts: bytes) -> str:
    """Return the key of something: its kind and a sum over all it is made from; the length stands before each part."""
    found = hashlib.sha256(kind.encode())
    for part in parts:
        found.update(len(part).to_bytes(8, "big"))
        found.update(part)
    return f"{kind}-{found.hexdigest()}"


class ReadingCache(FileCache):
    """A cache in which things are found and nothing is kept: for what is made of a stranger's name."""

    def put(self, key: str, body: bytes) -> None:
        """Keep nothing."""


def users_cache() -> FileCache | None:
    """Return the user's cache; None where it is switched off or its folder cannot be trusted or made."""
    if os.environ.get(SWITCH_OFF):
        return None
    folder = users_folder()
    if folder is None or problem_of(folder):
        return None
    return FileCache(folder)


def users_folder() -> Path | None:
    """Return where the cache of this user belongs, by the conventions of the system; None where there is no home.

    Linux: XDG Base Directory Specification 0.8, $XDG_CACHE_HOME or ~/.cache; a relative path there counts as none.
    """
    home = Path(os.path.expanduser("~"))  # noqa: PTH111 - the method raises where there is no home
    if not home.is_absolute():
        return None
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local") / "kitforge" / "cache"
    if sys.platform == "darwin":
        return home / "Library" / "Caches" / "kitforge"
    named = os.environ.get("XDG_CACHE_HOME", "")
    return (Path(named) if Path(named).is_absolute() else home / ".cache") / "kitforge"


def problem_of(folder: Path) -> str:
    """Make the folder of a cache where it is missing; return why it must not be used, or ''."""
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        about = folder.lstat()
    except OSError as error:
        return f"{folder} cannot be made ({error.strerror or error})"
    if not stat.S_ISDIR(about.st_mode):
        return f"{folder} is no folder"
    if hasattr(os, "getuid") and about.st_uid != os.getuid():
        return f"{folder} belongs to somebody else"
    if os.name == "posix" and about.st_mode & (stat.S_IWGRP | stat.S_IWOTH):
        return f"others may write into {folder}"
    return ""


def _sum(key: str, body: bytes) -> bytes:
    return hashlib.sha256(key.encode() + b"\0" + body).digest()
