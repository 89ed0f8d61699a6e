"""How tests call the command line in their own process; a conftest takes `call` over as its fixture."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from kitforge.cli.main import main

Call = Callable[..., tuple[int, str, str]]


@pytest.fixture
def call(capsys: pytest.CaptureFixture[str]) -> Call:
    """Calls the command line and returns exit code, standard output and standard error."""

    def run(*arguments: str | Path) -> tuple[int, str, str]:
        try:
            code = main([str(argument) for argument in arguments])
        except SystemExit as left:
            code = int(left.code or 0)
        said = capsys.readouterr()
        return code, said.out, said.err

    return run
