"""Every demo kit, built once for all tests of this folder."""

from __future__ import annotations

import pathlib
import zipfile
from dataclasses import dataclass

import pytest

from kitforge.pack.records import BuildOptions
from kitforge.pipeline import Checked, build_kit
from kitforge.plugins import load_plugins

KITS = pathlib.Path(__file__).parents[2] / "kits"
DEMOS = sorted(path.parent.name for path in KITS.glob("*/kit.yaml"))


@dataclass(frozen=True)
class Demo:
    """A demo kit as checked, and the folder that its pack was unpacked to."""

    checked: Checked
    folder: pathlib.Path


_built: dict[str, Demo] = {}


@pytest.fixture(params=DEMOS)
def demo(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """Each demo kit in turn, built; one of them with both papers."""
    name: str = request.param
    if name not in _built:
        output = tmp_path_factory.mktemp(name)
        papers = ("a4", "letter") if name == "morris-board" else ("a4",)
        built = build_kit(KITS / name, output, load_plugins(), BuildOptions(papers=papers))
        assert built.archive is not None, [finding.as_line() for finding in built.checked.findings]
        with zipfile.ZipFile(built.archive) as archive:
            archive.extractall(output)
        _built[name] = Demo(built.checked, output / built.archive.stem)
    return _built[name]
