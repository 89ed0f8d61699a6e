"""kitforge.toml beside the kits: what a shop always asks for, so that nobody has to type it.

    [build]
    output = "packs"          # in the folder of this file
    paper = "a4"
    language = ["en", "de"]
    [check]
    strict = true

What is typed counts before it. The file may come from a stranger: it is bounded, and leads nowhere outside its folder.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from kitforge.release.toml_files import UnfitTomlError, read_toml

DEFAULTS = "kitforge.toml"
LARGEST = 64 << 10
OPTIONS: Mapping[str, tuple[str, ...]] = {
    "check": ("strict", "language", "jobs", "most", "verbose", "quiet"),
    "settings": ("machine", "units"),
    "explain": ("machine",),
    "build": ("output", "machine", "units", "paper", "language", "theme", "strict", "jobs", "most", "verbose", "quiet"),
    "release": ("output", "language"),
}
"""The options of each command that may stand in the file."""


def defaults_file(kits: Iterable[Path]) -> Path | None:
    """Return the file beside the folders of kits, None where there is none.

    Raises UnfitTomlError where kits of one call lie beside different ones.
    """
    beside = {folder.resolve().parent / DEFAULTS for folder in kits}
    found = sorted(path for path in beside if path.is_file() or path.is_symlink())
    if found and len(beside) > 1:
        raise UnfitTomlError(
            f"The kits do not all lie beside {found[0]}; build or check those of each folder in one call."
        )
    return found[0] if found else None


def read_defaults(path: Path) -> dict[str, dict[str, Any]]:
    """Return the options of each command in a file, as they are written. Raises UnfitTomlError for what is none."""
    document = read_toml(path, LARGEST) or {}
    for command, options in document.items():
        known = OPTIONS.get(command)
        if known is None or not isinstance(options, dict):
            raise UnfitTomlError(f"{path}: [{command}] is none of {', '.join(f'[{name}]' for name in OPTIONS)}.")
        for name in options:
            if name not in known:
                raise UnfitTomlError(f"{path}: '{name}' in [{command}] is none of {', '.join(known)}.")
    if "output" in (found := {**document.get("build", {}), **document.get("release", {})}):
        _require_inside(path, found["output"])
    return document


def _require_inside(path: Path, output: object) -> None:
    place = Path(output) if isinstance(output, str) else Path("/")
    if place.is_absolute() or place.drive or ".." in place.parts:
        raise UnfitTomlError(f"{path}: 'output' must name a folder below that of the file.")
