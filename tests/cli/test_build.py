"""`kitforge build`: what is in the zip, that it is always the same, and that a failed build writes nothing."""

from __future__ import annotations

import json
import os
import pathlib
import shutil
import subprocess
import sys
import zipfile

import pytest
from calling import Call
from processors import narrower
from smaller import UNSET
from starting import Kits

GOLDEN = pathlib.Path(__file__).parent / "golden"
ROOT = pathlib.Path(__file__).parents[2]
NAME = "name-signs-0.1.0"


@pytest.fixture(scope="module")
def pack(tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    """The starter kit, built once with everything left open; a test of the wheel sets it in type as well."""
    folder = tmp_path_factory.mktemp("built")
    done = _build_elsewhere(Kits(folder).starter(), folder / "out", before=UNSET)
    assert done.returncode == 0, done.stdout + done.stderr
    return folder / "out" / f"{NAME}.zip"


def _build_elsewhere(
    kit: pathlib.Path, out: pathlib.Path, *more: str, before: str = "", **changed: str
) -> subprocess.CompletedProcess[str]:
    script = before + "from kitforge.cli.main import entry; entry()"
    env = {**os.environ, **changed}
    arguments = [sys.executable, "-c", script, "build", str(kit), "-o", str(out), *more]
    return subprocess.run(arguments, env=env, cwd=kit.parent, capture_output=True, text=True, check=False)


def _names(pack: pathlib.Path) -> list[str]:
    with zipfile.ZipFile(pack) as opened:
        return opened.namelist()


def test_the_files_of_the_pack_are_those_agreed_on(pack: pathlib.Path) -> None:
    """A golden list: a file that comes, goes or changes its name shows here first."""
    expected = (GOLDEN / f"{NAME}.txt").read_text().splitlines()
    assert _names(pack) == expected


def test_another_process_zone_seed_folder_language_and_processor_build_the_same_bytes(
    pack: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    """Up to what documents are set from; that these give the same bytes, a test of the booklet says."""
    kit = Kits(tmp_path / "deeper" / "folder").starter(name="renamed-folder")
    surroundings = {"TZ": "Asia/Kathmandu", "PYTHONHASHSEED": "4711", "LC_ALL": "C", "HOME": str(tmp_path)}
    surroundings["NPY_DISABLE_CPU_FEATURES"] = narrower()
    done = _build_elsewhere(kit, tmp_path / "out", before=UNSET, **surroundings)
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "out" / f"{NAME}.zip").read_bytes() == pack.read_bytes()


@pytest.mark.soak
def test_two_processes_build_the_same_bytes_with_pictures_of_full_size(tmp_path: pathlib.Path) -> None:
    for name, seed in (("one", "1"), ("other", "4711")):
        done = _build_elsewhere(Kits(tmp_path / name).starter(), tmp_path / name / "out", PYTHONHASHSEED=seed)
        assert done.returncode == 0, done.stderr
    one, other = (tmp_path / name / "out" / f"{NAME}.zip" for name in ("one", "other"))
    assert one.read_bytes() == other.read_bytes()


def test_source_date_epoch_sets_the_times_and_a_malformed_one_is_refused(
    call: Call, kits: Kits, tmp_path: pathlib.Path, quick: None, bare_packs: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    kit = kits.starter()
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1700000000")
    assert call("build", kit, "-o", tmp_path / "a", "--paper", "a4")[0] == 0
    with zipfile.ZipFile(tmp_path / "a" / f"{NAME}.zip") as opened:
        assert {info.date_time for info in opened.infolist()} == {(2023, 11, 14, 22, 13, 20)}
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "yesterday")
    code, _, err = call("build", kit, "-o", tmp_path / "b")
    assert (code, "SOURCE_DATE_EPOCH" in err, "Traceback" in err) == (2, True, False)


@pytest.mark.skipif(shutil.which("sha256sum") is None, reason="GNU coreutils are not installed")
def test_the_unpacked_folder_passes_sha256sum(pack: pathlib.Path, tmp_path: pathlib.Path) -> None:
    with zipfile.ZipFile(pack) as opened:
        opened.extractall(tmp_path)
    arguments = ["sha256sum", "--strict", "--quiet", "-c", "SHA256SUMS"]
    done = subprocess.run(arguments, cwd=tmp_path / NAME, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    summed = {line.partition("  ")[2] for line in (tmp_path / NAME / "SHA256SUMS").read_text().splitlines()}
    assert {name.partition("/")[2] for name in _names(pack)} - summed == {"SHA256SUMS"}


def test_the_manifest_tells_the_same_files_as_the_zip(pack: pathlib.Path) -> None:
    with zipfile.ZipFile(pack) as opened:
        manifest = json.loads(opened.read(f"{NAME}/manifest.json"))
        sizes = {info.filename.partition("/")[2]: info.file_size for info in opened.infolist()}
    told = {entry["name"]: entry["size"] for entry in manifest["files"]}
    assert told == {name: size for name, size in sizes.items() if name not in ("manifest.json", "SHA256SUMS")}
    assert manifest["options"]["units"] == "both"


def test_every_file_says_in_the_read_me_what_it_is_for(pack: pathlib.Path) -> None:
    with zipfile.ZipFile(pack) as opened:
        text = opened.read(f"{NAME}/READ-ME-FIRST.txt").decode("utf-8-sig")
    names = {name.rpartition("/")[2] for name in _names(pack)} - {"READ-ME-FIRST.txt", "manifest.json"}
    assert sorted(name for name in names if name not in text) == []


def test_errors_are_told_and_no_zip_is_written(call: Call, kits: Kits, tmp_path: pathlib.Path) -> None:
    kit = kits.starter(("cutting_length: 18 mm", "cutting_length: 8 mm"))
    code, out, _ = call("build", kit, "-o", tmp_path / "out")
    assert (code, "error" in out, "no zip" in out) == (1, True, True)
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("change", "code"),
    [(("cutting_length: 18 mm", "cutting_length: 8 mm"), 1), (("material: black_cherry", "material: cheese"), 2)],
)
def test_a_failed_build_leaves_an_older_zip_as_it_was(
    call: Call, kits: Kits, tmp_path: pathlib.Path, change: tuple[str, str], code: int
) -> None:
    old = tmp_path / "out" / f"{NAME}.zip"
    old.parent.mkdir()
    old.write_bytes(b"the old one")
    assert call("build", kits.starter(change), "-o", old.parent)[0] == code
    assert [(path.name, path.read_bytes()) for path in old.parent.iterdir()] == [(old.name, b"the old one")]


def test_one_bad_kit_does_not_keep_another_from_being_built(
    call: Call, kits: Kits, tmp_path: pathlib.Path, quick: None, bare_packs: None
) -> None:
    bad = kits.starter(("material: black_cherry", "material: cheese"), name="bad")
    code, out, _ = call("build", bad, kits.starter(), "-o", tmp_path / "out", "--paper", "a4")
    assert (code, [path.name for path in (tmp_path / "out").iterdir()]) == (2, [f"{NAME}.zip"])
    assert str(tmp_path / "out" / f"{NAME}.zip") in out


def test_of_two_kits_of_one_name_the_first_is_kept(
    call: Call, kits: Kits, tmp_path: pathlib.Path, quick: None, bare_packs: None
) -> None:
    other = kits.starter(("author: Your name", "author: Somebody else"), name="other")
    code, _, err = call("build", kits.starter(), other, "-o", tmp_path / "out", "--paper", "a4")
    assert (code, f"was packed as {NAME}.zip as well" in err) == (2, True)
    with zipfile.ZipFile(tmp_path / "out" / f"{NAME}.zip") as opened:
        assert b"Somebody else" not in opened.read(f"{NAME}/READ-ME-FIRST.txt")


def test_paper_machine_and_units_narrow_what_is_printed(
    call: Call, kits: Kits, tmp_path: pathlib.Path, pack: pathlib.Path, quick: None
) -> None:
    arguments = ("--paper", "a4", "--machine", "medium_router", "--units", "mm")
    assert call("build", kits.starter(), "-o", tmp_path, *arguments)[0] == 0
    with zipfile.ZipFile(tmp_path / f"{NAME}.zip") as opened:
        options = json.loads(opened.read(f"{NAME}/manifest.json"))["options"]
        names = opened.namelist()
    assert options == {
        "machines": ["medium_router"],
        "units": "mm",
        "papers": ["a4"],
        "languages": ["en"],
        "theme": "plain",
    }
    assert ([name for name in names if "letter" in name], len(names) < len(_names(pack))) == ([], True)


def test_output_that_is_not_a_terminal_has_no_escape_codes(
    call: Call, kits: Kits, tmp_path: pathlib.Path, quick: None, bare_packs: None
) -> None:
    code, out, err = call("build", kits.starter(), "-o", tmp_path, "--paper", "letter")
    assert (code, "\x1b" in out + err, err) == (0, False, "")


def test_what_a_kit_says_cannot_steer_the_terminal(call: Call, kits: Kits) -> None:
    """A material name with an escape sequence and a right-to-left override is printed without either."""
    kit = kits.starter(("material: black_cherry", r'material: "x\e[2Jy\u202Ez"'))
    code, out, err = call("check", kit)
    assert (code, [sign for sign in ("\x1b", "\u202e") if sign in out + err]) == (2, [])


def test_languages_are_built_side_by_side(call: Call, kits: Kits, tmp_path: pathlib.Path, quick: None) -> None:
    """English files keep their names when another language stands beside them."""
    arguments = ("--paper", "a4", "--language", "de", "--language", "en", "--language", "de")
    assert call("build", kits.starter(), "-o", tmp_path, *arguments)[0] == 0
    with zipfile.ZipFile(tmp_path / f"{NAME}.zip") as opened:
        names = {name.partition("/")[2] for name in opened.namelist()}
        options = json.loads(opened.read(f"{NAME}/manifest.json"))["options"]
    assert names >= {"booklet-a4.pdf", "booklet-de-a4.pdf", "settings-de-a4.pdf", "LIES-MICH-ZUERST.txt"}
    assert options["languages"] == ["de", "en"]


def test_an_unknown_language_is_refused_with_those_there_are(call: Call, kits: Kits, tmp_path: pathlib.Path) -> None:
    code, _, err = call("build", kits.starter(), "-o", tmp_path, "--language", "tlh")
    assert (code, "invalid choice: 'tlh'" in err, "'de'" in err) == (2, True, True)
