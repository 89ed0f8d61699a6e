"""An environment of its own for each built package, and running commands outside the project."""

from __future__ import annotations

import atexit
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from typing import Protocol

from smaller import BARE, IN_A_SCRIPT, UNSET

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

    def build(self, *arguments: str, typeset: bool = True) -> subprocess.CompletedProcess[str]:
        """Build with what is installed, one paper and small pictures: what a pack holds does not depend on them."""
        command = str(self.quick_command(typeset=typeset) / "kitforge")
        return run(command, "build", *arguments, "--paper", "a4", check=False, cwd=self.folder)

    def quick_command(self, *, typeset: bool, bare: bool = False) -> pathlib.Path:
        """Return a folder with a command `kitforge` that is the installed one, but for the size of pictures.

        typeset: whether documents are set in type. Those that are not are kept in a cache of their own. bare: whether
        booklet and listing are left out of packs.
        """
        command = self.folder / ("small" if typeset else "bare" if bare else "unset") / "kitforge"
        if not command.exists():
            command.parent.mkdir()
            # the guard: processes that a build starts read the file of the command again
            run_it = "if __name__ == '__main__':\n    from kitforge.cli.main import entry\n    entry()\n"
            kept = f"import os; os.environ['XDG_CACHE_HOME'] += '/{command.parent.name}'\n"
            before = IN_A_SCRIPT if typeset else (BARE if bare else UNSET) + kept
            command.write_text(f"#!{self.python}\n{before}{run_it}")
            command.chmod(0o755)
        return command.parent


def surroundings() -> dict[str, str]:
    """Return the environment of a user: with a cache, which lies where the tests of this run share it."""
    kept = {key: value for key, value in os.environ.items() if not key.startswith(("PYTHON", "KITFORGE_NO_CACHE"))}
    return kept | {"XDG_CACHE_HOME": str(_CACHES)}


def run(*command: str, check: bool = True, cwd: pathlib.Path | None = None) -> subprocess.CompletedProcess[str]:
    """Run a command outside the project, so that only what is installed can be imported."""
    done = subprocess.run(command, cwd=cwd, env=surroundings(), capture_output=True, text=True, check=False)
    assert not (check and done.returncode), f"{command}:\n{done.stdout}\n{done.stderr}"
    return done


class Maker(Protocol):
    """Makes an environment of a name, empty or with what another one has."""

    def __call__(self, name: str, like: Environment | None = None) -> Environment: ...
