"""What each process that builds makes anew, kept for the next: smaller typefaces, compiled templates.

Neither depends on the kit; together they are a fifth of a small build in a new process. They lie beside what `once`
keeps, in a folder of this state of the code, which processes that a test starts find through their environment.
"""

from __future__ import annotations

import hashlib
import os
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jinja2.sandbox import ImmutableSandboxedEnvironment

FOLDER = "KITFORGE_TESTS_KEPT"
"""Names the folder to processes that a test starts; see once.py."""


@cache
def warm_up() -> None:
    """Take over what another process has made, and keep what this one makes, where a folder is named for it."""
    if os.environ.get(FOLDER):
        folder = Path(os.environ[FOLDER])
        folder.mkdir(parents=True, exist_ok=True)
        _keep_typefaces(folder)
        _keep_templates(folder)


def _keep_typefaces(folder: Path) -> None:
    from kitforge_booklet.page import typeface

    make = typeface._smaller

    def smaller(font: bytes, characters: tuple[int, ...]) -> bytes:
        kept = folder / f"face-{hashlib.sha256(font + repr(characters).encode()).hexdigest()}.woff"
        if not kept.exists():
            beside = kept.with_suffix(f".{os.getpid()}")
            beside.write_bytes(make(font, characters))
            beside.replace(kept)  # whole or not at all, also when a run is stopped
        return kept.read_bytes()

    typeface._smaller = smaller


def _keep_templates(folder: Path) -> None:
    from jinja2 import FileSystemBytecodeCache

    from kitforge.print import templates

    make = templates._environment

    def environment(texts: tuple[tuple[str, str], ...]) -> ImmutableSandboxedEnvironment:
        found = make(texts)
        found.bytecode_cache = FileSystemBytecodeCache(str(folder))  # it compares a sum of the template's text
        return found

    templates._environment = environment  # type: ignore[assignment]
