"""Starter kits to change, for the tests of the command line."""

from __future__ import annotations

import pathlib
from dataclasses import dataclass

from kitforge.cli.new import write_starter


@dataclass(frozen=True)
class Kits:
    """A folder of kits."""

    folder: pathlib.Path

    def starter(self, *changes: tuple[str, str], name: str = "signs") -> pathlib.Path:
        """Return a starter kit in which each first text of a pair, found exactly once, is replaced by the second."""
        kit = self.folder / name
        write_starter(kit)
        text = (kit / "kit.yaml").read_text()
        for old, new in changes:
            assert text.count(old) == 1, f"'{old}' is in the starter kit {text.count(old)} times"
            text = text.replace(old, new)
        (kit / "kit.yaml").write_text(text)
        return kit

    def written(self, text: str, name: str = "own") -> pathlib.Path:
        """Return a kit whose kit.yaml is `text`."""
        kit = self.folder / name
        kit.mkdir(parents=True)
        (kit / "kit.yaml").write_text(text)
        return kit


def line_of(kit: pathlib.Path, marker: str) -> int:
    """Return the number of the first line of kit.yaml that holds `marker`."""
    lines = (kit / "kit.yaml").read_text().splitlines()
    return next(number for number, line in enumerate(lines, 1) if marker in line)
