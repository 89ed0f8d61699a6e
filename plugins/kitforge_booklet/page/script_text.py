"""The scripts of the page by name, and as the one text that the page's policy lets run."""

from __future__ import annotations

from importlib.resources import files

from kitforge.print.script_text import PLANES, RELIEF, shared_script, shortened

RECKONING = (PLANES, "numbers.js", "timing.js", "reckoning.js")
"""What computes, after the worksheet's own script."""
SCREEN = (RELIEF, "explaining.js", "keeping.js", "own.js", "working.js", "screen.js")
"""What a reader uses."""


def script_text(worksheet: str, names: tuple[str, ...]) -> str:
    """Return scripts as one, without lines of comment and indents."""
    return "".join(shortened(text) for text in (worksheet, *map(_script, names)))


def _script(name: str) -> str:
    if name in (PLANES, RELIEF):
        return shared_script(name)
    return files(f"{__package__}.scripts").joinpath(name).read_text(encoding="utf-8")
