"""What would make a build fail at its end is told before its work; files of others are never written over."""

from __future__ import annotations

import os
import pathlib
import shutil
import subprocess
import sys
import threading
import zipfile
from concurrent.futures import ThreadPoolExecutor

import pytest
from calling import Call
from starting import Kits

import kitforge.pipeline
from kitforge.pack import targets
from kitforge.pack.targets import REPORT_MARK
from kitforge.print.ready import PACKAGES

ROOT = pathlib.Path(__file__).parents[2]


@pytest.fixture
def no_work(monkeypatch: pytest.MonkeyPatch) -> None:
    """Make rendering impossible, so that a test sees what comes before it."""

    def work(*_given: object) -> list[object]:
        raise AssertionError("the pack was rendered")

    monkeypatch.setattr(kitforge.pipeline, "render_files", work)


def test_a_folder_that_cannot_be_written_is_told_before_the_kit_is_read(
    call: Call, kits: Kits, monkeypatch: pytest.MonkeyPatch
) -> None:
    kit = kits.starter()
    monkeypatch.setattr(kitforge.pipeline, "check_kit", lambda *_given: pytest.fail("the kit was checked"))
    (kit.parent / "file").write_text("not a folder")
    code, out, err = call("build", kit, "-o", kit.parent / "file" / "out")
    assert (code, out, len(err.splitlines())) == (2, "", 1)
    assert "Choose another folder" in err


def test_a_full_disk_is_told_before_the_work(
    call: Call, kits: Kits, monkeypatch: pytest.MonkeyPatch, no_work: None
) -> None:
    usage = shutil.disk_usage(kits.folder.parent)
    monkeypatch.setattr("kitforge.pack.targets.shutil.disk_usage", lambda _folder: usage._replace(free=3 << 20))
    code, out, err = call("build", kits.starter(), "-o", kits.folder / "out")
    assert (code, out, "Only 3 MiB are free" in err) == (2, "", True)


def test_trying_leaves_nothing_behind(tmp_path: pathlib.Path) -> None:
    targets.require_room(tmp_path / "a" / "b")
    assert list(tmp_path.iterdir()) == []


def test_several_may_try_the_same_missing_folder_at_once(tmp_path: pathlib.Path) -> None:
    """Workers of one build once took a new output folder away under each other."""
    together = threading.Barrier(4)

    def often() -> None:
        together.wait()
        for _time in range(200):
            targets.require_room(tmp_path / "dist")

    with ThreadPoolExecutor(4) as pool:
        for one in [pool.submit(often) for _worker in range(4)]:
            one.result()
    assert list(tmp_path.iterdir()) == []


NO_LIBRARY = """\
import cffi, sys
plain = cffi.FFI.dlopen
def dlopen(self, name, flags=0):
    raise OSError(f"cannot load library {name!r}")
cffi.FFI.dlopen = dlopen
from kitforge.cli.main import main
sys.exit(main(sys.argv[1:]))
"""


@pytest.mark.parametrize("command", ["build", "report"])
def test_without_the_printing_library_one_line_names_the_packages(kits: Kits, command: str) -> None:
    kit = kits.starter()
    more = ["build", kit, "-o", kit.parent / "out"] if command == "build" else ["check", kit, "--report", "report.pdf"]
    done = subprocess.run(
        [sys.executable, "-c", NO_LIBRARY, *map(str, more)], cwd=kit.parent, capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stdout, len(done.stderr.splitlines())) == (2, "", 1), done.stderr
    assert all(package in done.stderr for package in PACKAGES)
    assert not (kit.parent / "out").exists()


def test_the_packages_are_those_that_the_make_file_installs() -> None:
    line = next(line for line in (ROOT / "Makefile").read_text().splitlines() if line.startswith("RUN_PACKAGES"))
    assert tuple(line.partition(":=")[2].split()) == PACKAGES


def test_a_machine_file_with_a_name_that_cannot_be_printed_is_told(
    call: Call, kits: Kits, no_work: None, tmp_path: pathlib.Path
) -> None:
    file = tmp_path / "own.yaml"
    file.write_text("like: light_router\nname: My router ⌀ 3\n", encoding="utf-8")
    code, out, _err = call("build", kits.starter(), "-o", tmp_path / "out", "--machine-file", file)
    assert (code, "own.yaml:2:7" in out, "character-missing" in out) == (2, True, True)


# ------------------------------------------------------------------------------------------------ files of others


@pytest.mark.parametrize("name", ["report.svg", "report.html", "report.pdf"])
def test_a_report_takes_the_place_of_a_report_only(call: Call, kits: Kits, name: str) -> None:
    kit = kits.starter()
    report = kit.parent / name
    for _time in range(2):
        code, _out, err = call("check", kit, "--report", report)
        assert (code, err) == (0, "")
    report.write_bytes(b"%PDF-1.7 mine" if name.endswith("pdf") else b"<svg>mine</svg>")
    before = report.read_bytes()
    code, out, err = call("check", kit, "--report", report)
    assert (code, out, report.read_bytes()) == (2, "", before)
    assert "exists and is no report of kitforge" in err


def test_a_report_never_takes_the_place_of_a_file_of_the_kit(call: Call, kits: Kits) -> None:
    """Not even where that file looks like a report, or is reached by another way."""
    kit = kits.starter(("licence: CC-BY-4.0", "licence: LicenseRef-Own\n  licence_file: terms.svg"))
    (kit / "terms.svg").write_bytes(REPORT_MARK)
    (kit.parent / "link.svg").symlink_to(kit / "terms.svg")
    for report in (kit / "terms.svg", kit / ".." / kit.name / "terms.svg", kit.parent / "link.svg"):
        code, _out, err = call("check", kit, "--report", report)
        assert (code, "is a file of the kit" in err) == (2, True)
    assert (kit / "terms.svg").read_bytes() == REPORT_MARK


def test_a_pack_takes_the_place_of_a_pack_only(call: Call, kits: Kits, no_work: None, tmp_path: pathlib.Path) -> None:
    kit = kits.starter()
    slug = next(line.split()[1] for line in (kit / "kit.yaml").read_text().splitlines() if "slug:" in line)
    archive = tmp_path / f"{slug}-0.1.0.zip"
    for make in (_no_zip, _other_zip, _folder):
        make(archive)
        code, _out, err = call("build", kit, "-o", tmp_path)
        assert (code, "exists and is no pack of kitforge" in err) == (2, True), make
        shutil.rmtree(archive) if archive.is_dir() else archive.unlink()
    _old_pack(archive)
    code, _out, err = call("build", kit, "-o", tmp_path)
    assert (code, "the pack was rendered" in err) == (3, True)


def _no_zip(path: pathlib.Path) -> None:
    path.write_bytes(b"PK mine")


def _other_zip(path: pathlib.Path) -> None:
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("own/manifest.json", "{}")


def _folder(path: pathlib.Path) -> None:
    path.mkdir()


def _old_pack(path: pathlib.Path) -> None:
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("own/manifest.json", '{"tool": {\n    "name": "kitforge"}}')


def test_a_folder_without_rights_is_told(call: Call, kits: Kits) -> None:
    if os.geteuid() == 0:
        kit = kits.starter()
        code, _out, err = call("build", kit, "-o", "/proc/none")  # not even root writes there
        assert (code, len(err.splitlines())) == (2, 1)
