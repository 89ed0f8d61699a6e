"""A pack as it lies in a zip, whole: a stranger may have written it, so that its names, sizes and sums are tried."""

from __future__ import annotations

import stat
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kitforge.files.reading import LARGEST_PACK
from kitforge.model.errors import KitforgeError
from kitforge.pack.names import clashes, name_problem
from kitforge.pack.sums import SUMS, sums_of
from kitforge.release.state import MOST_ENTRIES, read_manifest


@dataclass(frozen=True, slots=True)
class WholePack:
    """The folder that a zip unpacks to, and every file in it by its name there."""

    top: str
    files: dict[str, bytes]
    manifest: dict[str, Any]


def read_pack(path: Path) -> WholePack:
    """Return a pack of kitforge whose files are as its SHA256SUMS says.

    Raises KitforgeError for what is none, what is damaged, and what no pack holds: links, encrypted files, names that
    lead outside or clash, more than LARGEST_PACK bytes.
    """
    manifest = read_manifest(path)
    try:
        with zipfile.ZipFile(path) as archive:
            entries = archive.infolist()
            if problem := next(_unfit(entries), ""):
                raise KitforgeError(f"{path} cannot be read as a pack: {problem}.")
            found = _unpacked(archive, entries, path)
    except (OSError, zipfile.BadZipFile, ValueError, NotImplementedError, RuntimeError, EOFError, zlib.error) as error:
        raise KitforgeError(f"{path} cannot be read as a pack: {error}.") from None
    top = entries[0].filename.partition("/")[0]
    files = {name.removeprefix(f"{top}/"): data for name, data in found.items()}
    _require_whole(path, files)
    return WholePack(top, files, manifest)


def _unfit(entries: list[zipfile.ZipInfo]) -> Iterator[str]:
    """Yield what no pack has among its entries."""
    names = [entry.filename for entry in entries]
    if len(entries) > MOST_ENTRIES:
        yield f"it has {len(entries)} files"
    yield from (f"the name '{name[:80]}' will not do: {why}" for name in names if (why := name_problem(name)))
    yield from map(str, clashes(names))
    if len({name.partition("/")[0] for name in names}) > 1 or not all("/" in name for name in names):
        yield "its files do not lie in one folder"
    for entry in entries:
        kind = stat.S_IFMT(entry.external_attr >> 16)
        if kind not in (0, stat.S_IFREG) or entry.flag_bits & 1:
            yield f"'{entry.filename}' is no ordinary file"


def _unpacked(archive: zipfile.ZipFile, entries: list[zipfile.ZipInfo], path: Path) -> dict[str, bytes]:
    """Return the files by name; what is unpacked is counted, for a zip may say less than it holds."""
    found: dict[str, bytes] = {}
    left = LARGEST_PACK
    for entry in entries:
        with archive.open(entry) as file:
            data = file.read(left + 1)
        left -= len(data)
        if left < 0:
            raise KitforgeError(f"{path} unpacks to more than {LARGEST_PACK >> 20} MiB; no pack does.")
        found[entry.filename] = data
    return found


def _require_whole(path: Path, files: dict[str, bytes]) -> None:
    rest = {name: data for name, data in files.items() if name != SUMS}
    stated, right = files.get(SUMS, b"").splitlines(), sums_of(rest).splitlines()
    if stated == right:
        return
    names = sorted({line[66:].decode("utf-8", "replace") for line in set(stated) ^ set(right)})
    first = names[0][:80] if names else SUMS
    raise KitforgeError(f"{path} is not whole: '{first}' is not as {SUMS} says. Take the zip as it was built.")
