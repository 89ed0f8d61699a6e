"""An environment of its own for each built package, and running commands outside the project."""

from __future__ import annotations

import atexit
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass

ROOT = pathlib.Path(__file__).parents[2]
PIP = (sys.executable, "-m", "pip", "--disable-pip-version-check", "--no-cache-dir", "--quiet")
_CACHES = pathlib.Path(tempfile.mkdtemp(prefix="kitforge-tests-"))
atexit.register(shutil.rmtree, _CACHES, ignore_errors=True)
OFFLINE = ("--no-index", "--no-deps", "--no-build-isolation")


@dataclass(frozen=True)
class Environment:
    """A virtual environment without kitforge until a test installs it."""

    folder: pathlib.Path

    @property
    def python(self) -> pathlib.Path:
        return self.folder / "bin" / "python"

    @property
    def site(self) -> pathlib.Path:
        return next(self.folder.glob("lib/python*/site-packages"))

    def install(self, *what: pathlib.Path) -> None:
        self.pip("install", *OFFLINE, *map(str, what))

    def pip(self, *arguments: str) -> None:
        run(*PIP, "--python", str(self.python), *arguments)

    def kitforge(self, *arguments: str, cwd: pathlib.Path | None = None) -> subprocess.CompletedProcess[str]:
        return run(str(self.folder / "bin" / "kitforge"), *arguments, check=False, cwd=cwd or self.folder)


def surroundings() -> dict[str, str]:
    """Return the environment of a user: with a cache, which lies where the tests of this run share it."""
    kept = {key: value for key, value in os.environ.items() if not key.startswith(("PYTHON", "KITFORGE_NO_CACHE"))}
    return kept | {"XDG_CACHE_HOME": str(_CACHES)}


def run(*command: str, check: bool = True, cwd: pathlib.Path | None = None) -> subprocess.CompletedProcess[str]:
    """Run a command outside the project, so that only what is installed can be imported."""
    done = subprocess.run(command, cwd=cwd, env=surroundings(), capture_output=True, text=True, check=False)
    assert not (check and done.returncode), f"{command}:\n{done.stdout}\n{done.stderr}"
    return done


Maker = Callable[[str], Environment]
