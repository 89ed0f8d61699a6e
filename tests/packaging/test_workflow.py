"""What is told to sellers for their build servers works from the wheel, in a repository that holds nothing else."""

from __future__ import annotations

import os
import pathlib
import re
import shutil
import subprocess

import pytest
import yaml
from environments import ROOT, Environment, surroundings

pytestmark = pytest.mark.wheel
PAGE = (ROOT / "kitforge" / "release" / "README.md").read_text(encoding="utf-8")
RELEASED = "version: 1.0.0\n  released: 2026-11-29\n  changes: [{ version: 1.0.0, text: [First one.] }]"


@pytest.fixture
def repository(installed: Environment, tmp_path: pathlib.Path) -> pathlib.Path:
    """A repository with one kit in it, locked and ready to be released, and a drawing that belongs to none."""
    if shutil.which("git") is None:
        pytest.skip("git is not installed")
    subprocess.run(["git", "init", "-q", str(tmp_path)], check=True)
    kit = tmp_path / "kits" / "my-signs"
    assert installed.kitforge("new", str(kit)).returncode == 0
    text = (kit / "kit.yaml").read_text()
    (kit / "kit.yaml").write_text(text.replace("version: 0.1.0", RELEASED))
    (tmp_path / "kits" / "README.md").write_text("# Kits\n")
    (tmp_path / "logo.svg").write_text("<svg/>")
    assert installed.kitforge("lock", str(kit)).returncode == 0
    return tmp_path


def _shell(installed: Environment, repository: pathlib.Path, script: str) -> subprocess.CompletedProcess[str]:
    env = surroundings()
    env["PATH"] = os.pathsep.join(
        [str(installed.quick_command(typeset=False, bare=True)), str(installed.folder / "bin"), env["PATH"]]
    )
    return subprocess.run(
        ["sh", "-eu", "-c", script], cwd=repository, env=env, capture_output=True, text=True, check=False
    )


def test_every_line_of_the_workflow_works(installed: Environment, repository: pathlib.Path) -> None:
    change, tag = re.findall(r"```sh\n(.*?)```", PAGE, re.DOTALL)
    for script in (change, tag):
        done = _shell(installed, repository, script)
        assert done.returncode == 0, done.stdout + done.stderr
    assert sorted(path.name for path in (repository / "dist").iterdir()) == [
        "SHA256SUMS", "name-signs-1.0.0.provenance.json", "name-signs-1.0.0.zip"
    ]  # fmt: skip
    assert {"findings.sarif", "findings.xml"} <= {path.name for path in repository.iterdir()}
    assert "name-signs-1.0.0.zip" in (repository / "kits" / "my-signs" / "releases.toml").read_text()


@pytest.mark.soak
def test_the_hooks_check_the_kit_of_each_file_that_they_are_given(
    installed: Environment, repository: pathlib.Path
) -> None:
    """As a runner of hooks calls them: the entry, then the names of all files that fit the pattern, in one call."""
    hooks = yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text())
    listed = subprocess.run(["git", "ls-files", "-o"], cwd=repository, capture_output=True, text=True, check=True)
    for hook in hooks:
        names = [name for name in listed.stdout.split() if re.search(hook["files"], name)]
        assert names == ["kits/my-signs/kit.lock", "kits/my-signs/kit.yaml", "logo.svg"]
        done = _shell(installed, repository, f"{hook['entry']} {' '.join(names)}")
        assert (done.returncode, done.stdout.count("nothing to complain about")) == (0, 1), done.stdout + done.stderr
    kit = repository / "kits" / "my-signs" / "kit.yaml"
    kit.write_text(kit.read_text().replace("long: 150 mm", "long: 350 mm"))
    assert _shell(installed, repository, f"{hooks[0]['entry']} {kit}").returncode == 1
