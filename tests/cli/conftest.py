"""The starter kit in a folder of its own, and the command line called in this process."""

from __future__ import annotations

import pathlib

import pytest
from starting import Call, Kits

from kitforge.cli.main import main


@pytest.fixture
def kits(tmp_path: pathlib.Path) -> Kits:
    """Writes starter kits, changed where a test says so."""
    return Kits(tmp_path / "kits")


@pytest.fixture
def call(capsys: pytest.CaptureFixture[str]) -> Call:
    """Calls the command line and returns exit code, standard output and standard error."""

    def run(*arguments: str | pathlib.Path) -> tuple[int, str, str]:
        try:
            code = main([str(argument) for argument in arguments])
        except SystemExit as left:
            code = int(left.code or 0)
        said = capsys.readouterr()
        return code, said.out, said.err

    return run
