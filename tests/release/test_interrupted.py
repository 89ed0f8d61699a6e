"""A plugin that hangs can be interrupted, from the keyboard and by being told to end, in one process and in a pool;
nothing is left behind, and it is not the plugin that is blamed."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from keyboard import heeds_the_keyboard

from kitforge.testing import SmallKit

pytestmark = pytest.mark.skipif(os.name != "posix", reason="signals are POSIX")
HANGS = """
import itertools, os, pathlib, time
from kitforge import hookimpl

def wait():
    {how}

@hookimpl
def kitforge_check(kit, plan):
    (pathlib.Path(__file__).parent / "pids" / str(os.getpid())).touch()
    wait()
    return []
"""
WAYS = {
    "works": "sum(0 for _ in itertools.count())",
    "waits": "time.sleep(3600)",
    "goes on after every error": """while True:
        try:
            time.sleep(0.01)
        except Exception:
            pass""",
}


def _plugin(folder: Path, how: str) -> None:
    (folder / "pids").mkdir(parents=True)
    (folder / "hangs.py").write_text(HANGS.format(how=how))
    about = folder / "hangs-1.0.dist-info"
    about.mkdir()
    (about / "METADATA").write_text("Metadata-Version: 2.1\nName: hangs\nVersion: 1.0\n")
    (about / "entry_points.txt").write_text("[kitforge]\nhangs = hangs\n")


def _until_it_hangs(folder: Path, processes: int) -> list[int]:
    for _ in range(600):
        found = [int(one.name) for one in (folder / "pids").iterdir()]
        if len(found) == processes:
            return found
        time.sleep(0.1)
    raise TimeoutError


SOME = (("works", 1, signal.SIGINT), ("waits", 2, signal.SIGINT), ("waits", 1, signal.SIGTERM))
ENDS = {
    signal.SIGINT: (130, "kitforge: interrupted; nothing half-written is left behind\n"),
    signal.SIGTERM: (143, ""),  # the plugin is not blamed for it
}


@pytest.mark.timeout(500)
@pytest.mark.parametrize(
    ("way", "jobs", "told"),
    [
        *SOME,
        *(
            pytest.param(way, jobs, told, marks=pytest.mark.soak)
            for way in WAYS
            for jobs in (1, 2)
            for told in ENDS
            if (way, jobs, told) not in SOME
        ),
    ],
)
def test_a_plugin_that_hangs_can_be_interrupted(
    kit: SmallKit, tmp_path: Path, way: str, jobs: int, told: signal.Signals
) -> None:
    folder, out = tmp_path / "plugin", tmp_path / "out"
    _plugin(folder, WAYS[way])
    other = shutil.copytree(kit.folder, tmp_path / "other")
    (other / "kit.yaml").write_text((other / "kit.yaml").read_text().replace("slug: name-signs", "slug: other-signs"))
    command = [sys.executable, "-m", "kitforge", "build", str(kit.folder), str(other), "-o", str(out), "--no-cache"]
    env = os.environ | {"PYTHONPATH": os.pathsep.join([str(folder), *sys.path])}
    with subprocess.Popen(
        [*command, "--jobs", str(jobs)],
        env=env,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=heeds_the_keyboard,  # noqa: PLW1509 - this process has no thread that holds a lock then
    ) as process:
        try:
            pids = _until_it_hangs(folder, jobs)
            process.send_signal(told)
            _said, complained = process.communicate(timeout=300)
        finally:
            process.kill()
    assert (process.returncode, complained) == ENDS[told]
    assert not out.exists() or list(out.iterdir()) == []
    assert [pid for pid in pids if Path(f"/proc/{pid}").exists()] == []
