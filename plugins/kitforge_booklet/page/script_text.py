"""The scripts of the page by name, and as the one text that the page's policy lets run."""

from __future__ import annotations

import re
from importlib.resources import files

RECKONING = ("numbers.js", "reckoning.js")
"""What computes, after the worksheet's own script."""
SCREEN = ("relief.js", "explaining.js", "keeping.js", "own.js", "working.js", "screen.js")
"""What a reader uses."""
_COMMENT = re.compile(r"^\s*//[^\n]*\n", re.MULTILINE)
_INDENT = re.compile(r"^[ \t]+", re.MULTILINE)


def script_text(worksheet: str, names: tuple[str, ...]) -> str:
    """Return scripts as one, without lines of comment and indents: no text in them runs over a line."""
    texts = (worksheet, *(files(f"{__package__}.scripts").joinpath(name).read_text(encoding="utf-8") for name in names))
    return "".join(_INDENT.sub("", _COMMENT.sub("", text)) for text in texts)
