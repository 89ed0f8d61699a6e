"""A drawing from anywhere on the disk: read through the plugins, every way it can fail one plain message."""

from __future__ import annotations

import os
import pathlib
import re
import stat
from typing import TYPE_CHECKING

from kitforge.drafting.records import DrawingSource
from kitforge.model.drawing import DrawingError
from kitforge.model.errors import KitforgeError
from kitforge.resolve.drawings import unreadable
from kitforge.stages.read import LARGEST_DRAWING

if TYPE_CHECKING:
    from kitforge.plugins import Plugins


def read_source(path: pathlib.Path, plugins: Plugins, unit: str | None = None, join: float = 0.0) -> DrawingSource:
    """Return the drawing at `path`. Raises KitforgeError for what cannot be read, with file and line."""
    data = _bytes(path)
    name = plain_name(path.name)
    try:
        drawing = plugins.read_drawing(name, data, unit, join)
    except DrawingError as error:
        line = f":{error.line}" if error.line else ""
        finding = unreadable(name, error)
        raise KitforgeError(f"{path}{line}: {finding.message} {finding.advice}") from None
    if drawing is None:
        raise KitforgeError(f"{path}: No reader knows what kind of drawing this is. Name a .dxf or .svg file.")
    return DrawingSource(name, data, drawing, unit, join)


def _bytes(path: pathlib.Path) -> bytes:
    # not blocking: opening a named pipe would otherwise wait for its writer
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    try:
        descriptor = os.open(path, flags)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name cannot be used"
        raise KitforgeError(f"Cannot read {path}: {reason}. Name a .dxf or .svg file.") from None
    if not stat.S_ISREG(os.fstat(descriptor).st_mode):
        os.close(descriptor)
        raise KitforgeError(f"Cannot read {path}: it is not an ordinary file. Name a .dxf or .svg file.")
    with os.fdopen(descriptor, "rb") as file:
        data = file.read(LARGEST_DRAWING + 1)
    if len(data) > LARGEST_DRAWING:
        raise KitforgeError(f"{path} is larger than {LARGEST_DRAWING >> 20} MiB. Simplify it, or split it.")
    return data


def plain_name(name: str) -> str:
    """Return a file name that a kit may use: letters, digits, '.', '_' and '-', its ending in small letters."""
    stem, dot, ending = name.rpartition(".")
    plain = re.sub(r"[^A-Za-z0-9._-]+", "-", stem).strip("-.") or "drawing"
    return f"{plain[:80]}{dot}{ending.lower()}"
