"""The sums of a pack's files: as a program lists them in the manifest, and as `sha256sum -c` reads them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from typing import Any, TypedDict

MANIFEST = "manifest.json"
SUMS = "SHA256SUMS"


class FileEntry(TypedDict):
    """A file: its name with forward slashes, its size in bytes, its SHA-256 in hexadecimal."""

    name: str
    size: int
    sha256: str


def entries_of(files: Mapping[str, bytes]) -> list[FileEntry]:
    """Return an entry for each file, sorted by name."""
    return [
        {"name": name, "size": len(data), "sha256": hashlib.sha256(data).hexdigest()}
        for name, data in sorted(files.items())
    ]


def sums_of(files: Mapping[str, bytes]) -> bytes:
    """Return lines that `sha256sum -c` reads: sum, two spaces, name; sorted by name, LF, UTF-8."""
    return "".join(f"{entry['sha256']}  {entry['name']}\n" for entry in entries_of(files)).encode()


def sealed(files: Mapping[str, bytes], manifest: Mapping[str, Any]) -> dict[str, bytes]:
    """Return the files of a pack with a manifest, and sums, that are true of them. files: all but these two."""
    told = {**manifest, "files": entries_of(files)}
    found = {**files, MANIFEST: (json.dumps(told, indent=2, ensure_ascii=False) + "\n").encode()}
    return {**found, SUMS: sums_of(found)}
