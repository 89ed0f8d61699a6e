"""The release zip: the same bytes for the same files, written whole or not at all."""

from __future__ import annotations

import hashlib
import io
import os
import pathlib
import time
import zipfile
from collections.abc import Iterable, Sequence

from kitforge.files.writing import write_whole
from kitforge.model.errors import KitforgeError
from kitforge.model.messages import msg
from kitforge.model.pack import PackFile
from kitforge.pack.names import clashes, name_problem

_LEVEL = 9
_UNIX = 3
_PLAIN_FILE = 0o100644 << 16
_Stamp = tuple[int, int, int, int, int, int]
_EARLIEST: _Stamp = (1980, 1, 1, 0, 0, 0)
_LATEST: _Stamp = (2107, 12, 31, 23, 59, 58)


def write_zip(path: pathlib.Path, top_folder: str, files: Sequence[PackFile], kept: str = "") -> str:
    """Write `files` under `top_folder` into the zip at `path`, and return its SHA-256 in hexadecimal.

    An older zip is replaced only when the new one is complete, and never by another one where `kept` is its sum. Names
    are sorted, times fixed (1980-01-01, or SOURCE_DATE_EPOCH held to the years that a zip can name), so equal files
    give equal bytes with one version of zlib. Raises KitforgeError for a name that some system cannot unpack, for a
    malformed SOURCE_DATE_EPOCH and when the disk refuses; an existing zip is then untouched.
    """
    _check_names(top_folder, files)
    stamp = fixed_time(os.environ.get("SOURCE_DATE_EPOCH"))
    entries = sorted((f"{top_folder}/{file.name}", file.data) for file in files)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        data = _packed(entries, stamp)
        _refuse_other(path, data, kept)
        write_whole(path, data)
    except OSError as problem:
        raise KitforgeError(f"Cannot write {path}: {problem.strerror or problem}. Choose another folder.") from None
    return hashlib.sha256(data).hexdigest()


def _refuse_other(path: pathlib.Path, data: bytes, kept: str) -> None:
    """Raise KitforgeError where `path` is the zip with the sum `kept`, which was released, and `data` is another."""
    if not kept or hashlib.sha256(data).hexdigest() == kept:
        return
    try:
        there = hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return
    if there == kept:
        raise KitforgeError(
            f"{path} is the released zip, and this build gives other bytes: other options or another builder. "
            "Choose another folder, or raise the version."
        )


def fixed_time(epoch: str | None) -> _Stamp:
    """Return the time every entry of a zip carries (UTC), from the value of SOURCE_DATE_EPOCH or None.

    The variable holds decimal seconds since 1970-01-01 UTC (reproducible-builds.org, SOURCE_DATE_EPOCH 1.1). A zip
    knows the years 1980 to 2107 in steps of two seconds. Raises KitforgeError when the value is not such a number.
    """
    if not epoch:  # an empty variable is as none
        return _EARLIEST
    if not (epoch.isascii() and epoch.isdigit() and len(epoch) <= 12):
        raise KitforgeError(f"SOURCE_DATE_EPOCH is '{epoch}'; give whole seconds since 1970-01-01, or unset it.")
    utc = time.gmtime(int(epoch))
    stamp = (utc.tm_year, utc.tm_mon, utc.tm_mday, utc.tm_hour, utc.tm_min, utc.tm_sec // 2 * 2)
    return min(max(stamp, _EARLIEST), _LATEST)


def _check_names(top_folder: str, files: Sequence[PackFile]) -> None:
    names = [file.name for file in files]
    problems = [*_name_problems(top_folder, names), *map(str, clashes(names))]
    if not files:
        problems.append("it would be empty")
    if problems:
        raise KitforgeError("The pack cannot be written:\n" + "\n".join(f"  - {problem}" for problem in problems))


def _name_problems(top_folder: str, names: Iterable[str]) -> Iterable[str]:
    why = msg("it has a slash") if "/" in top_folder else name_problem(top_folder)
    if why:
        yield f"the folder name '{top_folder}' will not do: {why}; change the kit's slug or version"
    for name in names:
        if problem := name_problem(name):
            yield f"the file name '{name}' will not do: {problem}; rename the part, stock or file it is made from"


def _packed(entries: Iterable[tuple[str, bytes]], stamp: _Stamp) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        for name, data in entries:
            info = zipfile.ZipInfo(name, stamp)
            info.create_system = _UNIX
            info.external_attr = _PLAIN_FILE
            archive.writestr(info, data, zipfile.ZIP_DEFLATED, _LEVEL)
    return stream.getvalue()
