"""Builds from the cache give the bytes of cold ones, after every kind of edit, and make only what the edit touches."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from kitforge.files import builder as builder_module
from kitforge.model.pack import BuildOptions
from kitforge.pictures.drawn import shots
from kitforge.pictures.shaded.make import LastPainting
from kitforge.print import parallel
from kitforge.print.typesetter import PdfJob
from kitforge.release.findings.rows import KitResult
from kitforge.release.jobs import BuildJob
from kitforge.release.record import plain, result_from
from kitforge.release.work import build_one, last_result
from kitforge.surface.heightmap import SurfaceState
from kitforge.testing import SmallKit

OPTIONS = BuildOptions(papers=("a4",))
EPOCH = "1767225600"  # 2026-01-01


class Made:
    """What was made: names of the steps drawn, and how many documents were set."""

    def __init__(self) -> None:
        self.steps: list[str] = []
        self.parts = self.documents = 0

    def told(self) -> tuple[list[str], int, int]:
        found = sorted(self.steps), self.parts, self.documents
        self.__init__()  # type: ignore[misc]
        return found


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, small_pictures: None) -> Made:
    """A cache of its own, documents that are not set but depend on all they are set from, and a count of the work."""
    monkeypatch.delenv("KITFORGE_NO_CACHE")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "home"))
    count, step, part = Made(), shots._shot_drawn, shots._part_drawn

    def document(one: PdfJob) -> bytes:
        count.documents += 1
        said = repr(
            (one.html, sorted(one.assets.items()), one.released, one.identifier, sorted(one.families), one.zoom)
        )
        return b"%PDF-" + hashlib.sha256(said.encode()).digest()

    def drawn_step(state: SurfaceState, last: LastPainting) -> shots.StepShot:
        count.steps.append(state.step.key)
        return step(state, last)

    def drawn_part(*given: Any) -> object:
        count.parts += 1
        return part(*given)

    monkeypatch.setattr(parallel, "render_pdf", document)
    monkeypatch.setattr(parallel, "_cores", lambda: 1)
    monkeypatch.setattr(shots, "_shot_drawn", drawn_step)
    monkeypatch.setattr(shots, "_part_drawn", drawn_part)
    return count


def _job(kit: SmallKit, **more: Any) -> BuildJob:
    return replace(BuildJob(kit.folder, kit.folder.parent / "out", OPTIONS, cached=True), **more)


def _bytes(result: KitResult) -> bytes:
    assert result.archive is not None, result
    return result.archive.read_bytes()


def _cold(job: BuildJob) -> bytes:
    return _bytes(build_one(replace(job, cached=False, output=job.output.with_name("cold"))))


ALL = ["sign/free", "sign/line", "sign/recess"]
Edit = Callable[[SmallKit], SmallKit]
EDITS: dict[str, tuple[Edit, list[str], int]] = {
    "a word": (lambda kit: kit.change("title: Line around the recess", "title: Fine line"), [], 2),
    "a line above and a comment": (lambda kit: kit.change("kitforge: 1 ", "# mine\n\nkitforge: 1 "), [], 0),
    "settings": (
        lambda kit: kit.change("    flutes: 2\n  v60", "    flutes: 1\n  v60"),
        [],
        2,
    ),
    "one step's depth": (lambda kit: kit.change("depth: 2 mm", "depth: 2.5 mm"), ALL, 2),
    "the last step": (lambda kit: kit.change("width: 8 mm, height: 2 mm", "width: 9 mm, height: 2 mm"), ALL[:1], 1),
}


OFTEN = ("a line above and a comment", "one step's depth")
"""The edits that are tried every time: one that touches nothing of a page, and one that touches every step."""


@pytest.mark.parametrize("edits", [OFTEN, pytest.param(tuple(EDITS), marks=pytest.mark.soak)], ids=["often", "each"])
def test_cached_zips_are_those_of_cold_builds_after_each_edit(
    kit: SmallKit, made: Made, edits: tuple[str, ...]
) -> None:
    job = _job(kit)
    first = build_one(job)
    assert made.told() == (ALL, 1, 2)
    assert _bytes(first) == _cold(job)
    made.told()
    for name in edits:
        edit, steps, documents = EDITS[name]
        edit(kit)
        built = build_one(job)
        drawn, _parts, typeset = made.told()
        assert (name, built.unchanged, set(drawn) <= set(steps), typeset) == (name, False, True, documents)
        cached = _bytes(built)
        if name != "a line above and a comment":  # a cold build each would take the most of the test's time
            assert cached == _cold(job), name
        made.told()


def test_a_build_in_which_nothing_changed_ends_at_once(kit: SmallKit, made: Made, bare_packs: None) -> None:
    """No plugin, no NumPy, no typesetter; three times the wish of 0.3 processor seconds is the bound of the process."""
    result = build_one(_job(kit))
    assert result.archive is not None
    script = (
        "import resource, sys\n"
        "resource.setrlimit(resource.RLIMIT_CPU, (2, 2))\n"
        "from kitforge.cli.main import main\n"
        f"code = main(['build', {str(kit.folder)!r}, '-o', {str(result.archive.parent)!r}, '--paper', 'a4'])\n"
        "heavy = {'numpy', 'weasyprint', 'shapely', 'scipy', 'pydantic', 'ezdxf', 'PIL', 'rich'} & set(sys.modules)\n"
        "heavy |= {name for name in sys.modules if name.startswith('kitforge_')}\n"
        "assert not heavy, heavy\n"
        "sys.exit(code)\n"
    )
    before = result.archive.stat().st_mtime_ns
    done = subprocess.run([sys.executable, "-c", script], env=os.environ, capture_output=True, text=True, check=False)
    assert (done.returncode, "unchanged" in done.stdout) == (0, True), done.stderr
    assert result.archive.stat().st_mtime_ns == before


@pytest.fixture
def built(kit: SmallKit, made: Made, bare_packs: None) -> Iterator[tuple[BuildJob, KitResult]]:
    job = _job(kit)
    yield job, build_one(job)
    builder_module.builder.cache_clear()


def test_what_is_not_as_it_was_is_built_again(
    kit: SmallKit, built: tuple[BuildJob, KitResult], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Zip edited, deleted or a link; an input; what lies beside kit.yaml; the call; the builder."""
    job, result = built
    archive, whole = result.archive, _bytes(result)
    assert archive is not None
    assert last_result(job) == replace(result, unchanged=True)
    archive.write_bytes(whole[:-1] + b"x")
    assert last_result(job) is None
    archive.unlink()
    assert last_result(job) is None
    archive.with_name("real").write_bytes(whole)
    archive.symlink_to("real")
    assert last_result(job) is None
    archive.unlink()
    archive.write_bytes(whole)
    assert last_result(job) is not None
    for name in ("waivers.toml", "kit.lock", "releases.toml"):
        (kit.folder / name).write_text("")
        assert last_result(job) is None, name
        (kit.folder / name).unlink()
    assert last_result(job) is not None
    for other in ({"strict": True}, {"most": 5}, {"options": BuildOptions()}, {"output": job.output / "deeper"}):
        assert last_result(replace(job, **other)) is None, other
    monkeypatch.setenv("SOURCE_DATE_EPOCH", EPOCH)
    assert last_result(job) is None
    monkeypatch.delenv("SOURCE_DATE_EPOCH")
    kit.change("depth: 2 mm", "depth: 3 mm")
    assert last_result(job) is None
    kit.change("depth: 3 mm", "depth: 2 mm")
    assert last_result(job) is not None
    monkeypatch.setattr(builder_module, "_libraries", lambda: iter([]))
    builder_module.builder.cache_clear()
    assert last_result(job) is None


def test_a_build_ends_with_the_waiver_that_let_it_pass(
    kit: SmallKit, made: Made, bare_packs: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    kit.change("cutting_length: 18 mm", "cutting_length: 12 mm")
    (kit.folder / "waivers.toml").write_text(
        '[[waiver]]\ncode = "beyond-cutting-length"\nreason = "scrap below"\nby = "A. Maker"\nuntil = 2026-01-05\n'
    )
    monkeypatch.setattr("kitforge.release.findings.waivers.time.time", lambda: float(EPOCH))
    job = _job(kit, strict=True)
    assert build_one(job).archive is not None
    assert last_result(job) is not None
    monkeypatch.setattr("kitforge.release.findings.waivers.time.time", lambda: float(EPOCH) + 10 * 86400)
    assert last_result(job) is None
    assert build_one(job).archive is None, "an old waiver no longer lets it pass"


def test_a_result_is_the_same_after_a_round_trip(built: tuple[BuildJob, KitResult]) -> None:
    result = built[1]
    assert result_from(json.loads(json.dumps(plain(result)))) == result


def test_a_cache_inside_the_kit_is_not_used(
    kit: SmallKit, made: Made, bare_packs: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(kit.folder))
    job = _job(kit)
    build_one(job)
    assert (last_result(job), (kit.folder / "kitforge").exists()) == (None, False)
