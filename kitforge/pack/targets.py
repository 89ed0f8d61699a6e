"""Files that a command is about to write: whether there is room, and whose file would be lost."""

from __future__ import annotations

import os
import re
import shutil
import zipfile
import zlib
from collections.abc import Iterable, Iterator
from itertools import islice
from pathlib import Path

from kitforge.files.writing import sweep, temporary
from kitforge.model.errors import KitforgeError

LEAST_FREE = 32 << 20
"""Bytes that must be free where a pack is written; packs of the demo kits take up to 10 MB and are written twice."""

REPORT_MARK = b"kitforge check report"
"""Stands in every report, so that a later one may take its place."""

_MANIFEST = "manifest.json"
_TOOL = b'"name": "kitforge"'
_LARGEST_LOOKED_INTO = 64 << 20
_LARGEST_MANIFEST = 4 << 20
_STREAM = re.compile(rb"stream\r?\n")
_STREAM_PART, _MOST_STREAMS = 1 << 16, 5000


def require_room(folder: Path) -> None:
    """Try whether a pack can be written into `folder`, which need not exist; leaves nothing behind.

    Raises KitforgeError.
    """
    try:
        sweep(folder)
        free = _tried(folder)
    except OSError as problem:
        raise KitforgeError(
            f"Cannot write to {folder}: {problem.strerror or problem}. Choose another folder."
        ) from None
    if free < LEAST_FREE:
        raise KitforgeError(f"Only {free >> 20} MiB are free in {folder}; a pack needs {LEAST_FREE >> 20}. Make room.")


def _tried(folder: Path) -> int:
    """Make a folder and a file where a pack is to go, and return how many bytes are free there.

    What is missing of `folder` is tried under a name of its own beside it: others may be about to write there too, and
    none may take the folder away under another. Raises OSError.
    """
    place = next(one for one in (folder, *folder.parents) if os.path.lexists(one))
    trial = temporary(place / "kitforge")
    inside = trial / folder.relative_to(place)
    try:
        inside.mkdir(parents=True)
        (inside / "kitforge").write_bytes(b"kitforge")
    finally:
        shutil.rmtree(trial, ignore_errors=True)
    return shutil.disk_usage(place).free


def refuse_foreign_pack(path: Path) -> None:
    """Raise KitforgeError where `path` is a file that is no pack of this program."""
    if _there(path) and not _is_pack(path):
        raise KitforgeError(f"{path} exists and is no pack of kitforge; move it away or choose another folder.")


def refuse_foreign_report(path: Path) -> None:
    """Raise KitforgeError where `path` is a file that is no report of this program."""
    if _there(path) and not _is_report(path):
        raise KitforgeError(f"{path} exists and is no report of kitforge; move it away or choose another name.")


def refuse_what_is_read(path: Path, folder: Path, read: Iterable[str]) -> None:
    """Raise KitforgeError where `path` is one of the files that were read from the kit's folder."""
    place = path.resolve()
    for name in read:
        if (folder / name).resolve() == place:
            raise KitforgeError(f"{path} is a file of the kit; choose another name.")


def _there(path: Path) -> bool:
    try:
        return path.exists()
    except (OSError, ValueError):
        return False  # writing will say why


def _is_pack(path: Path) -> bool:
    try:
        with zipfile.ZipFile(path) as archive:
            names = [name for name in archive.namelist() if name.count("/") == 1 and name.endswith(f"/{_MANIFEST}")]
            if len(names) != 1 or archive.getinfo(names[0]).file_size > _LARGEST_MANIFEST:
                return False
            return _TOOL in archive.read(names[0])
    except (OSError, zipfile.BadZipFile, ValueError, NotImplementedError, RuntimeError):
        return False


def _is_report(path: Path) -> bool:
    try:
        if not path.is_file():
            return False
        with path.open("rb") as file:
            data = file.read(_LARGEST_LOOKED_INTO)
    except OSError:
        return False
    return any(REPORT_MARK in text for text in (_unpacked(data) if data.startswith(b"%PDF-") else (data,)))


def _unpacked(pdf: bytes) -> Iterator[bytes]:
    """Yield what is in the streams of a PDF, the first part of each; the mark stands in one of them."""
    for found in islice(_STREAM.finditer(pdf), _MOST_STREAMS):
        try:
            yield zlib.decompressobj().decompress(pdf[found.end() : found.end() + _STREAM_PART], 8 * _STREAM_PART)
        except zlib.error:
            continue
