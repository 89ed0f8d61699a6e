"""The files of a kit that could not be read as a whole, for excerpts: only ordinary files inside its folder."""

from __future__ import annotations

import os
import pathlib
import stat
from collections.abc import Iterable

LARGEST = 2_000_000
_MOST = 20


def readable_files(folder: pathlib.Path, names: Iterable[str]) -> dict[str, bytes]:
    """Return the bytes of those named files that are ordinary files inside `folder` and not too large."""
    found: dict[str, bytes] = {}
    for name in list(dict.fromkeys(names))[:_MOST]:
        data = _bytes(folder, name)
        if data is not None:
            found[name] = data
    return found


def _bytes(folder: pathlib.Path, name: str) -> bytes | None:
    try:
        root = folder.resolve(strict=True)
        path = root.joinpath(*name.split("/")).resolve(strict=True)
        if not path.is_relative_to(root) or not stat.S_ISREG(path.stat().st_mode):
            return None
        # not blocking: a pipe put in the file's place would otherwise wait for its writer
        with os.fdopen(os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0)), "rb") as file:
            data = file.read(LARGEST + 1)
    except (OSError, RuntimeError, ValueError):
        return None
    return data if len(data) <= LARGEST else None
