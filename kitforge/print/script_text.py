"""Scripts of pages as one text, without what only people read; and the ones that more than one page runs."""

from __future__ import annotations

import re
from importlib.resources import files

_COMMENT = re.compile(r"^\s*//[^\n]*\n", re.MULTILINE)
_INDENT = re.compile(r"^[ \t]+", re.MULTILINE)

PLANES = "planes.js"
"""What takes apart the numbers that `kitforge/surface/packing.py` packs."""
RELIEF = "relief.js"
"""The view in three dimensions, drawn from the height maps of `kitforge/surface/maps.py`."""


def shared_script(name: str) -> str:
    """Return a script of this room by its name, as it is written."""
    return files("kitforge.print.scripts").joinpath(name).read_text(encoding="utf-8")


def shortened(script: str) -> str:
    """Return a script without lines of comment and indents: no text in it runs over a line."""
    return _INDENT.sub("", _COMMENT.sub("", script))
