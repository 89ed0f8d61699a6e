"""The release zip: same bytes, portable names, whole or not at all."""

from __future__ import annotations

import os
import pathlib
import stat
import subprocess
import sys
import zipfile

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitforge.model.errors import KitforgeError
from kitforge.model.pack import PackFile
from kitforge.pack.archive import fixed_time, write_zip
from kitforge.pack.names import clashes, name_problem

FILES = (
    PackFile("booklet.pdf", b"%PDF" * 500, "the booklet"),
    PackFile("drawings/door.dxf", b"0\nSECTION\n" * 80, "a drawing"),
    PackFile("LICENSE.txt", b"yours", "the licence"),
)


@pytest.fixture(autouse=True)
def _no_epoch(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)


def test_order_of_files_does_not_change_a_byte(tmp_path: pathlib.Path) -> None:
    write_zip(tmp_path / "a.zip", "nest-box-1.0.0", FILES)
    write_zip(tmp_path / "b.zip", "nest-box-1.0.0", FILES[::-1])
    assert (tmp_path / "b.zip").read_bytes() == (tmp_path / "a.zip").read_bytes()


def test_another_process_time_zone_and_hash_seed_write_the_same_bytes(tmp_path: pathlib.Path) -> None:
    """PKWARE times have no zone: a writer that used local time would differ between the two."""
    script = (
        "import pathlib, sys; from kitforge.pack.archive import write_zip; from kitforge.model.pack import PackFile;"
        "write_zip(pathlib.Path(sys.argv[1]), 'k-1', [PackFile(n, n.encode() * 99, '') for n in set('abcdefgh')])"
    )
    made = []
    for zone, seed in (("Pacific/Kiritimati", "1"), ("America/Adak", "77")):
        path = tmp_path / f"{seed}.zip"
        env = {**os.environ, "TZ": zone, "PYTHONHASHSEED": seed, "SOURCE_DATE_EPOCH": "1700000001"}
        subprocess.run([sys.executable, "-c", script, str(path)], check=True, env=env, cwd=tmp_path)
        made.append(path.read_bytes())
    assert made[0] == made[1]


def test_everything_lies_in_one_folder_sorted_with_plain_modes_and_no_extras(tmp_path: pathlib.Path) -> None:
    path = tmp_path / "k.zip"
    write_zip(path, "nest-box-1.0.0", FILES)
    with zipfile.ZipFile(path) as made:
        names = [f"nest-box-1.0.0/{name}" for name in ("LICENSE.txt", "booklet.pdf", "drawings/door.dxf")]
        assert made.namelist() == names
        assert {info.date_time for info in made.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert {stat.filemode(info.external_attr >> 16) for info in made.infolist()} == {"-rw-r--r--"}
        assert {info.extra for info in made.infolist()} == {b""}
        assert made.comment == b""
        assert made.testzip() is None


def test_an_independent_reader_accepts_the_zip(tmp_path: pathlib.Path) -> None:
    """Python's own command line tool and, where installed, the system's unzip test every entry."""
    path = tmp_path / "k.zip"
    write_zip(path, "nest-box-1.0.0", FILES)
    subprocess.run([sys.executable, "-m", "zipfile", "-t", str(path)], check=True, capture_output=True)


@pytest.mark.parametrize(
    ("epoch", "stamp"),
    [
        (None, (1980, 1, 1, 0, 0, 0)),
        ("0", (1980, 1, 1, 0, 0, 0)),
        ("315532800", (1980, 1, 1, 0, 0, 0)),
        ("1700000001", (2023, 11, 14, 22, 13, 20)),
        ("999999999999", (2107, 12, 31, 23, 59, 58)),
    ],
)
def test_source_date_epoch_sets_the_time_within_the_years_of_a_zip(epoch: str | None, stamp: tuple[int, ...]) -> None:
    """reproducible-builds.org SOURCE_DATE_EPOCH 1.1; PKWARE APPNOTE 4.4.6: 1980 to 2107, two-second steps."""
    assert fixed_time(epoch) == stamp


@pytest.mark.parametrize("epoch", ["-1", "1.5", "today", "1e9", "٣", "9" * 13])
def test_a_malformed_source_date_epoch_is_refused(epoch: str) -> None:
    with pytest.raises(KitforgeError, match="SOURCE_DATE_EPOCH"):
        fixed_time(epoch)


def test_an_empty_source_date_epoch_is_as_none() -> None:
    assert fixed_time("") == fixed_time(None)


REFUSED = [
    *("../x", "/x", "a/../b", "a//b", "", ".", "a\\b", "c:x", "a b", "é.txt", "x.", "x ", ".hidden", "-rf"),
    *("CON", "con.txt", "drawings/aux.dxf", "lpt9.tar.gz", "a?b", "a*b", 'a"b', "a<b", "a|b", "a\nb", "a\x00b"),
    *("n" * 61, "/".join("abcdefgh" * 16)),
]


@pytest.mark.parametrize("name", REFUSED)
def test_a_name_that_some_system_cannot_unpack_is_refused(tmp_path: pathlib.Path, name: str) -> None:
    """Reserved signs and device names: "Naming Files, Paths, and Namespaces", Windows developer documentation."""
    with pytest.raises(KitforgeError, match="cannot be written"):
        write_zip(tmp_path / "k.zip", "k-1", [PackFile(name, b"", "")])
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["con1.txt", "common.dxf", "a.con", "com10.txt", "READ-ME-FIRST.txt", "x/y_z.1.svg"])
def test_a_name_that_only_looks_reserved_is_taken(name: str) -> None:
    assert name_problem(name) is None


@pytest.mark.parametrize("names", [("a.txt", "a.txt"), ("Door.dxf", "door.DXF"), ("a", "a/b"), ("A/b", "a")])
def test_names_that_would_overwrite_each_other_are_refused(tmp_path: pathlib.Path, names: tuple[str, str]) -> None:
    assert len(clashes(names)) == 1
    with pytest.raises(KitforgeError):
        write_zip(tmp_path / "k.zip", "k-1", [PackFile(name, b"", "") for name in names])


def test_every_bad_name_is_told_at_once(tmp_path: pathlib.Path) -> None:
    with pytest.raises(KitforgeError) as caught:
        write_zip(tmp_path / "k.zip", "k-1.0.0-a.", [PackFile("a b", b"", ""), PackFile("nul", b"", "")])
    assert [word in str(caught.value) for word in ("'k-1.0.0-a.'", "'a b'", "'nul'")] == [True, True, True]


def test_a_pack_without_files_is_refused(tmp_path: pathlib.Path) -> None:
    with pytest.raises(KitforgeError, match="empty"):
        write_zip(tmp_path / "k.zip", "k-1", [])


@pytest.mark.parametrize("stop", [KeyboardInterrupt, SystemExit, OSError(28, "No space left on device"), MemoryError])
def test_a_write_that_is_cut_short_leaves_the_old_zip_and_nothing_else(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch, stop: type[BaseException] | OSError
) -> None:
    path = tmp_path / "k.zip"
    path.write_bytes(b"the old one")
    written = []

    def break_off(self: zipfile.ZipFile, info: zipfile.ZipInfo, *rest: object) -> None:
        written.append(info)
        if len(written) == 2:
            raise stop

    monkeypatch.setattr(zipfile.ZipFile, "writestr", break_off)
    with pytest.raises((KeyboardInterrupt, SystemExit, KitforgeError, MemoryError)):
        write_zip(path, "k-1", FILES)
    assert [(entry.name, entry.read_bytes()) for entry in tmp_path.iterdir()] == [("k.zip", b"the old one")]


def test_a_folder_that_cannot_be_written_is_a_plain_mistake(tmp_path: pathlib.Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(KitforgeError, match="Cannot write"):
        write_zip(tmp_path / "file" / "k.zip", "k-1", FILES)


def test_an_older_zip_is_replaced_and_its_readers_keep_what_they_opened(tmp_path: pathlib.Path) -> None:
    path = tmp_path / "k.zip"
    path.write_bytes(b"the old one")
    with path.open("rb") as reader:
        write_zip(path, "k-1", FILES)
        assert reader.read() == b"the old one"
    assert path.read_bytes().startswith(b"PK\x03\x04")


@given(
    st.dictionaries(st.text("abcdeABC./-_ :", min_size=1, max_size=12), st.binary(max_size=40), min_size=1, max_size=6)
)
def test_whatever_is_written_reads_back_unchanged(
    tmp_path_factory: pytest.TempPathFactory, files: dict[str, bytes]
) -> None:
    """Either the names are refused, or an independent reader (zipfile) gives back every name and byte."""
    path = tmp_path_factory.mktemp("zip") / "k.zip"
    packed = [PackFile(name, data, "") for name, data in files.items()]
    if clashes(files) or any(name_problem(name) for name in files):
        with pytest.raises(KitforgeError):
            write_zip(path, "k-1", packed)
        return
    write_zip(path, "k-1", packed)
    with zipfile.ZipFile(path) as made:
        assert {name.removeprefix("k-1/"): made.read(name) for name in made.namelist()} == files
