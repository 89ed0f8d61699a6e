"""How tests call the command line in their own process; a conftest takes `call` over as its fixture."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from kitforge.cli.main import main
from kitforge.release import capacity

Call = Callable[..., tuple[int, str, str]]


@pytest.fixture
def call(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Call:
    """Calls the command line and returns exit code, standard output and standard error.

    However many cores there are, several kits are worked on in this process unless `--jobs` is given: other processes
    take long to start, and know nothing of what a test has made small.
    """
    monkeypatch.setattr(capacity, "cores_here", lambda: 1)

    def run(*arguments: str | Path) -> tuple[int, str, str]:
        try:
            code = main([str(argument) for argument in arguments])
        except SystemExit as left:
            code = int(left.code or 0)
        said = capsys.readouterr()
        return code, said.out, said.err

    return run
