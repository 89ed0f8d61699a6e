"""Many kits on a cluster: a scheduler and two workers on this machine; one is killed in the middle, nothing is lost.

In the longer target: three processes start and end for each test.
"""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from calling import Call
from working import OddJob, odd_work, quick_build

from kitforge.model.errors import KitforgeError
from kitforge.model.pack import BuildOptions
from kitforge.release.catalogue import run_all
from kitforge.release.cluster import _one, run_on_cluster
from kitforge.release.findings.rows import KitResult
from kitforge.release.jobs import BuildJob, CheckJob
from kitforge.release.pool import LOST
from kitforge.release.watching import Watching
from kitforge.testing import SmallKit

pytest.importorskip("distributed")
HERE = "127.0.0.1"


def _started(*words: str) -> subprocess.Popen[bytes]:
    here = Path(__file__).parent
    path = os.pathsep.join([str(here), str(here.parent / "harness"), *filter(None, [os.environ.get("PYTHONPATH")])])
    env = os.environ | {"PYTHONPATH": path}
    return subprocess.Popen([sys.executable, "-m", "distributed.cli." + words[0], *words[1:]], env=env)


@pytest.fixture
def cluster(tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[str]:
    """The address of a scheduler with two workers of one thread; a test may ask for what brings dead ones back."""
    file = tmp_path / "scheduler.json"
    nanny = getattr(request, "param", "--no-nanny")
    scheduler = ("dask_scheduler", "--host", HERE, "--port", "0", "--no-dashboard", "--scheduler-file", str(file))
    processes = [_started(*scheduler)]
    try:
        _until(file.exists)
        address = json.loads(file.read_text())["address"]
        local = ("--nthreads", "1", "--no-dashboard", "--host", HERE, "--local-directory", str(tmp_path / "dask"))
        processes += [_started("dask_worker", address, nanny, *local) for _ in range(2)]
        _until(lambda: _workers(address) == 2)
        yield address
    finally:
        for process in reversed(processes):  # the scheduler last: a worker without one waits for it
            process.terminate()
            try:
                process.wait(10)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()


def _workers(address: str) -> int:
    from distributed import Client

    with Client(address, timeout="20s", set_as_default=False) as client:
        return len(client.scheduler_info()["workers"])


def _until(holds: Callable[[], bool]) -> None:
    for _ in range(300):
        if holds():
            return
        time.sleep(0.1)
    raise TimeoutError


@pytest.mark.soak
@pytest.mark.timeout(300)
def test_a_worker_that_is_killed_in_the_middle_loses_nothing(cluster: str, tmp_path: Path) -> None:
    names = [f"slow-{number}" for number in range(12)] + ["bad", "mistake"]
    ended: list[KitResult] = []

    def kill() -> None:
        folder = tmp_path / "pids"
        _until(lambda: folder.exists() and len(list(folder.iterdir())) == 2)
        os.kill(int(min(folder.iterdir()).name), signal.SIGKILL)

    killer = threading.Thread(target=kill)
    killer.start()
    jobs = [OddJob(tmp_path / name) for name in names]
    results = run_on_cluster(odd_work, jobs, cluster, Watching(ended=ended.append))
    killer.join()
    assert [result.folder.name for result in results] == names
    assert sorted(result.folder.name for result in ended) == sorted(names)
    assert [result.mistake for result in results if result.mistake] == ["There is no room."]
    assert _workers(cluster) == 1


@pytest.mark.soak
@pytest.mark.timeout(300)
@pytest.mark.parametrize("cluster", ["--nanny"], indirect=True)
def test_a_kit_that_kills_every_worker_is_given_up_and_a_bug_is_raised(cluster: str, tmp_path: Path) -> None:
    results = run_on_cluster(odd_work, [OddJob(tmp_path / name) for name in ("dies", "good")], cluster)
    assert [result.mistake for result in results] == [LOST, ""]
    _until(lambda: _workers(cluster) == 2)  # the killed ones are brought back
    with pytest.raises(ValueError, match="bug"):
        run_on_cluster(odd_work, [OddJob(tmp_path / name) for name in ("bug", "good")], cluster)


@pytest.mark.soak
@pytest.mark.timeout(300)
def test_the_cluster_builds_the_bytes_of_one_process(
    cluster: str, kit: SmallKit, tmp_path: Path, quick: None, call: Call, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = shutil.copytree(kit.folder, tmp_path / "other")
    (other / "kit.yaml").write_text((other / "kit.yaml").read_text().replace("slug: name-signs", "slug: other-signs"))
    monkeypatch.chdir(tmp_path)
    there, here = (
        [BuildJob(Path(one.name), Path(out), BuildOptions(papers=("a4",))) for one in (kit.folder, other)]
        for out in ("there", "here")
    )
    results = run_on_cluster(quick_build, there, cluster)
    alone = run_all(quick_build, here)
    assert [one.sha256 for one in results] == [one.sha256 for one in alone] and all(one.sha256 for one in alone)
    assert [one.archive for one in results] == [Path("there") / one.archive.name for one in alone if one.archive]
    far, near = (call("check", kit.folder, other, *where)[:2] for where in (("--scheduler", cluster), ()))
    assert far[0] == near[0]
    assert sorted(far[1].splitlines()) == sorted(near[1].splitlines())  # each kit is told of when it has ended


def test_where_nobody_answers_that_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("kitforge.release.cluster._PATIENCE", "1s")
    for address in (f"tcp://{HERE}:9", "nonsense://x"):
        with pytest.raises(KitforgeError, match="No scheduler answers at"):
            run_on_cluster(odd_work, [], address)


def test_another_kitforge_in_a_worker_is_told(tmp_path: Path) -> None:
    found = _one(odd_work, CheckJob(tmp_path), "0.0.0")
    assert "Install the same everywhere" in found.mistake


def test_without_the_library_it_is_said_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("kitforge.release.cluster.find_spec", lambda _name: None)
    with pytest.raises(KitforgeError, match=r"kitforge\[cluster\]"):
        run_on_cluster(odd_work, [], "tcp://x:1")
