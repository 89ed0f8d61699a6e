"""Builds that are killed, run at the same time, or may not write: the zip is the old one or a whole new one."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from small_pictures import small
from smaller import UNSET, leave_unset

from kitforge.files.writing import OLD, sweep
from kitforge.model.pack import BuildOptions
from kitforge.release.jobs import BuildJob
from kitforge.release.work import build_one
from kitforge.testing import SmallKit

TINY = UNSET + "from kitforge.cli.main import entry\nentry()\n"
"""Builds with documents that are not set and small pictures: a whole build, but for what takes most of its time."""


def _build(kit: SmallKit, out: Path, home: Path, *more: str) -> subprocess.Popen[str]:
    env = {key: value for key, value in os.environ.items() if key != "KITFORGE_NO_CACHE"} | {
        "XDG_CACHE_HOME": str(home)
    }
    command = [sys.executable, "-c", TINY, "build", str(kit.folder), "-o", str(out), "--paper", "a4", *more]
    return subprocess.Popen(command, env=env, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)


def _ended(process: subprocess.Popen[str]) -> int:
    said = process.communicate()[0]
    assert "Traceback" not in said, said
    return process.returncode


def _zip(out: Path) -> bytes | None:
    path = out / "name-signs-0.1.0.zip"
    return path.read_bytes() if path.exists() else None


@pytest.fixture
def home(tmp_path: Path) -> Path:
    folder = tmp_path / "home"
    folder.mkdir(mode=0o700)
    return folder


def _built_here(kit: SmallKit, out: Path, *, cached: bool) -> None:
    """Build in this process, as the others do."""
    with small(), pytest.MonkeyPatch.context() as patch:
        leave_unset(patch.setattr)
        result = build_one(BuildJob(kit.folder, out, BuildOptions(papers=("a4",)), cached=cached))
    assert result.archive is not None


def _killed(kit: SmallKit, tmp_path: Path, home: Path, times: int) -> None:
    """Kill builds at random moments: a zip that is there is whole and of a state that the kit had."""
    out, draw = tmp_path / "out", random.Random(13)
    whole: set[bytes | None] = {None}
    begun = time.monotonic()
    assert _ended(_build(kit, tmp_path / "cold", home, "--no-cache")) == 0
    span = time.monotonic() - begun
    whole.add(_zip(tmp_path / "cold"))
    for number in range(times):
        if number == times // 2:
            kit.change("depth: 2 mm", "depth: 2.5 mm")
            assert _ended(_build(kit, tmp_path / "cold", home, "--no-cache")) == 0
            whole.add(_zip(tmp_path / "cold"))
        process = _build(kit, out, home)
        time.sleep(draw.uniform(0.0, span))
        process.send_signal(signal.SIGKILL)
        process.communicate()
        assert _zip(out) in whole, number
    assert _ended(_build(kit, out, home)) == 0
    assert _zip(out) == _zip(tmp_path / "cold")
    left = [path.name for path in out.iterdir() if path.suffix != ".zip"]
    assert [name for name in left if not name.endswith(".kitforge-part")] == []
    assert sweep(out, out.stat().st_mtime + OLD + 3600) == len(left)


@pytest.mark.soak
@pytest.mark.timeout(3000)
@pytest.mark.skipif(os.name != "posix", reason="signals are POSIX")
def test_builds_killed_at_50_moments_leave_no_half_zip_and_a_sound_cache(
    kit: SmallKit, tmp_path: Path, home: Path
) -> None:
    _killed(kit, tmp_path, home, 50)


@pytest.mark.soak
def test_two_builds_at_once_leave_one_whole_zip(kit: SmallKit, tmp_path: Path, home: Path) -> None:
    """Into one folder and one cache, as in two containers that share both."""
    processes = [_build(kit, tmp_path / "out", home) for _ in range(2)]
    assert [_ended(process) for process in processes] == [0, 0]
    whole = _zip(tmp_path / "out")
    assert [path.name for path in (tmp_path / "out").iterdir()] == ["name-signs-0.1.0.zip"]
    _built_here(kit, tmp_path / "cold", cached=False)
    assert whole == _zip(tmp_path / "cold")


@pytest.mark.skipif(os.name != "posix", reason="rights of POSIX")
def test_a_kits_folder_may_be_read_only(
    kit: SmallKit, tmp_path: Path, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing is written beside kit.yaml; the superuser could, so the names there are compared as well."""
    before = sorted(path.name for path in kit.folder.iterdir())
    monkeypatch.delenv("KITFORGE_NO_CACHE")
    monkeypatch.setenv("XDG_CACHE_HOME", str(home))
    kit.folder.chmod(0o555)
    try:
        _built_here(kit, tmp_path / "out", cached=True)
    finally:
        kit.folder.chmod(0o755)
    assert sorted(path.name for path in kit.folder.iterdir()) == before
