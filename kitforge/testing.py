"""What authors of plugins test with: a small kit to change, checked and built with everything that is installed.

    def test_a_heavy_part_is_told(small_kit):
        small_kit.plugin("weights", limit_kg=0.01)
        assert "part-heavy" in small_kit.codes()
        assert b"sign" in small_kit.build()["weights.csv"]

The fixture `small_kit` comes from `kitforge.pytest_plugin`, which pytest finds by itself; `SmallKit(folder)` too.

Under the same promise as `kitforge.api`.
"""

from __future__ import annotations

import zipfile
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kitforge.api import BuildOptions, Finding, build, check
from kitforge.model.findings import KIT_FILE

if TYPE_CHECKING:
    from kitforge.pipeline import CheckedKit

_STARTER = Path(__file__).parent / "cli" / "starter"


class SmallKit:
    """The starter kit, two name signs of cherry, in a folder of its own. Every change is written at once."""

    def __init__(self, folder: Path) -> None:
        """Write the kit into `folder`, which is made where it is missing."""
        self.folder = folder
        folder.mkdir(parents=True, exist_ok=True)
        self.file = folder / KIT_FILE
        self.file.write_text((_STARTER / KIT_FILE).read_text(encoding="utf-8"), encoding="utf-8")

    def change(self, old: str, new: str) -> SmallKit:
        """Replace a text of kit.yaml. Raises ValueError where it is not there exactly once."""
        text = self.file.read_text(encoding="utf-8")
        if text.count(old) != 1:
            raise ValueError(f"'{old}' stands {text.count(old)} times in {self.file}, not once")
        self.file.write_text(text.replace(old, new), encoding="utf-8")
        return self

    def plugin(self, name: str, **keys: Any) -> SmallKit:  # noqa: ANN401 - whatever YAML holds
        """Write what a plugin reads from the kit: `plugins: {name: {keys}}`."""
        import yaml

        text = self.file.read_text(encoding="utf-8")
        self.file.write_text(f"{text.rstrip()}\n{yaml.safe_dump({'plugins': {name: keys}})}", encoding="utf-8")
        return self

    def check(self) -> CheckedKit:
        """Return the kit, its plan and its findings. Raises UnreadableKitError where it cannot be read."""
        return check(self.folder)

    def findings(self) -> tuple[Finding, ...]:
        """Return every finding."""
        return self.check().findings

    def codes(self) -> list[str]:
        """Return the codes of the findings, each once, in order."""
        return list(dict.fromkeys(finding.code for finding in self.findings()))

    def build(self, *, papers: tuple[str, ...] = ("a4",)) -> Mapping[str, bytes]:
        """Return the files of the pack by their names. Raises AssertionError, with the findings, if there is none."""
        built = build(self.folder, self.folder / "dist", BuildOptions(papers=papers))
        told = "\n".join(finding.as_line() for finding in built.checked.findings)
        assert built.archive is not None, told
        with zipfile.ZipFile(built.archive) as pack:
            return {name.partition("/")[2]: pack.read(name) for name in pack.namelist()}


def differing(first: Mapping[str, bytes], second: Mapping[str, bytes]) -> list[str]:
    """Return the names of the files that two packs do not share byte for byte: what a change has changed."""
    return sorted(name for name in first.keys() | second.keys() if first.get(name) != second.get(name))
