"""Many kits at once: every kit has its result, whatever becomes of the others."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import time
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import Any

import pytest
from calling import Call
from working import OddJob, odd_work, quick_build

from kitforge.model.pack import BuildOptions
from kitforge.release import capacity, pool
from kitforge.release.capacity import MEMORY_EACH, workers_for
from kitforge.release.catalogue import run_all
from kitforge.release.findings.rows import KitResult
from kitforge.release.jobs import BuildJob
from kitforge.release.pool import LOST
from kitforge.release.watching import Watching
from kitforge.release.work import build_one
from kitforge.testing import SmallKit


def _jobs(folder: Path, *names: str) -> list[OddJob]:
    return [OddJob(folder / name) for name in names]


def test_a_pool_gives_every_result_in_order(tmp_path: Path) -> None:
    """One worker dies each time, one once; one kit has errors, one a mistake; all others are done."""
    heard: list[tuple[str, str]] = []
    ended: list[KitResult] = []
    names = ("slow-a", "dies", "bad", "mistake", "once", "good", "slow-b")
    watching = Watching(lambda folder, stage: heard.append((folder.name, stage)), ended.append)
    results = run_all(odd_work, _jobs(tmp_path, *names), 2, watching)
    assert [result.folder.name for result in results] == list(names)
    assert sorted(result.folder.name for result in ended) == sorted(names)
    assert {result.folder.name: result.mistake for result in results if result.mistake} == {
        "dies": LOST, "mistake": "There is no room."
    }  # fmt: skip
    assert [result.folder.name for result in results if result.counts.get("error")] == ["bad"]
    assert os.getpid() not in {int(path.name) for path in (tmp_path / "pids").iterdir()}
    assert ("slow-a", "read") in heard


@pytest.mark.parametrize("workers", [1, 2])
def test_a_bug_in_one_kit_is_raised_when_the_others_are_done(tmp_path: Path, workers: int) -> None:
    ended: list[KitResult] = []
    with pytest.raises(ValueError, match="bug"):
        run_all(odd_work, _jobs(tmp_path, "bug", "good", "bad"), workers, Watching(ended=ended.append))
    assert sorted(result.folder.name for result in ended) == ["bad", "good"]


def test_the_heaviest_kit_is_begun_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    given: list[int] = []
    give = pool.Pool._give

    def counted(self: pool.Pool, *more: Any) -> object:
        given.append(more[1])
        return give(self, *more)

    monkeypatch.setattr(pool.Pool, "_give", counted)
    names = ("a", "bb", "dddd", "ccc")
    run_all(odd_work, _jobs(tmp_path, *names), 2, weight=lambda job: float(len(job.folder.name)))
    assert given == [2, 3, 1, 0]


@pytest.mark.parametrize(
    ("kits", "asked", "cores", "memory", "workers"),
    [
        (7, None, 4, 100 * MEMORY_EACH, 4), (7, None, 16, 3 * MEMORY_EACH, 3), (2, None, 16, 100 * MEMORY_EACH, 2),
        (7, 3, 1, 1, 3), (7, 50, 1, 1, 7), (7, None, 4, MEMORY_EACH // 2, 1), (7, None, 4, 0, 4), (0, None, 4, 0, 1),
    ],
)  # fmt: skip
def test_the_pool_is_bounded_by_kits_cores_and_memory(
    kits: int, asked: int | None, cores: int, memory: int, workers: int
) -> None:
    assert workers_for(kits, asked, cores, memory) == workers


def test_a_containers_limit_counts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "most").write_text("1000000\n")
    (tmp_path / "used").write_text("400000\n")
    monkeypatch.setattr(capacity, "_LIMITS", ((tmp_path / "most", tmp_path / "used"),))
    assert capacity.free_memory() == 600_000
    (tmp_path / "most").write_text("max\n")
    assert capacity.free_memory() > 1_000_000


@pytest.mark.soak
def test_the_pool_builds_the_bytes_of_one_process(kit: SmallKit, tmp_path: Path, quick: None) -> None:
    other = shutil.copytree(kit.folder, tmp_path / "other")
    (other / "kit.yaml").write_text((other / "kit.yaml").read_text().replace("slug: name-signs", "slug: other-signs"))
    pooled, alone = (
        [BuildJob(one, tmp_path / out, BuildOptions(papers=("a4",))) for one in (kit.folder, other)]
        for out in ("pooled", "alone")
    )
    results = [*run_all(quick_build, pooled, 2), *run_all(build_one, alone[:1])]
    assert [result.archive is not None for result in results] == [True, True, True]
    made = [result.archive.read_bytes() for result in results if result.archive is not None]
    assert made[0] == made[2]
    assert results[0].sha256 == results[2].sha256 != results[1].sha256


def test_check_with_jobs_tells_every_kit_once_and_the_worst_code(call: Call, kit: SmallKit, tmp_path: Path) -> None:
    bad = SmallKit(tmp_path / "bad").change("long: 150 mm", "long: 350 mm")
    unreadable = SmallKit(tmp_path / "worse").change("material: black_cherry", "material: cheese")
    code, out, err = call("check", kit.folder, bad.folder, unreadable.folder, "--jobs", "2")
    assert (code, err) == (2, "")
    assert [out.count(f"{one.folder}: ") for one in (kit, bad, unreadable)] == [1, 1, 1]


def test_processes_that_are_told_to_end_need_not_be_killed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each that had to be killed kept whoever interrupted a build waiting."""
    killed: list[BaseProcess] = []
    kill = BaseProcess.kill

    def killing(one: BaseProcess) -> None:
        killed.append(one)
        kill(one)

    monkeypatch.setattr(BaseProcess, "kill", killing)

    def interrupt(folder: Path, _stage: str) -> None:
        if folder.name == "blames-b":
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        run_all(odd_work, _jobs(tmp_path, "blames-a", "blames-b"), 2, Watching(interrupt))
    assert killed == []


def test_an_interrupted_pool_leaves_no_process_and_no_half_file(tmp_path: Path) -> None:
    """Only the first process gets the signal; its workers are ended by it."""
    script = (
        "import signal, sys, os, pathlib\n"
        f"sys.path[:0] = [{str(Path(__file__).parent)!r}, {str(Path(__file__).parents[1] / 'harness')!r}]\n"
        "from working import OddJob, odd_work\n"
        "from kitforge.release.catalogue import run_all\n"
        "from kitforge.release.watching import Watching\n"
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        f"jobs = [OddJob(pathlib.Path({str(tmp_path)!r}) / f'slow-{{n}}') for n in range(200)]\n"
        "if __name__ == '__main__':\n"
        "    try:\n"
        "        run_all(odd_work, jobs, 2, Watching(ended=lambda _one: print('one', flush=True)))\n"
        "    except KeyboardInterrupt:\n"
        "        print('interrupted', flush=True)\n"
    )
    (tmp_path / "script.py").write_text(script)
    with subprocess.Popen([sys.executable, tmp_path / "script.py"], stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "one\n"
        process.send_signal(signal.SIGINT)
        said = process.communicate(timeout=300)[0]
    assert said.endswith("interrupted\n")
    deadline, workers = 600, [int(path.name) for path in (tmp_path / "pids").iterdir()]
    while deadline and any(Path(f"/proc/{pid}").exists() for pid in workers):
        time.sleep(0.1)
        deadline -= 1
    assert [pid for pid in workers if Path(f"/proc/{pid}").exists()] == []
