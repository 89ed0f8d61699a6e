"""Files on disk: written whole or not at all, under names that nobody else uses; strangers' files read with bounds."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from kitforge.files.reading import UnfitFileError, read_bounded
from kitforge.files.writing import OLD, sweep, temporary, write_whole, written_whole


def test_a_failed_write_leaves_the_old_file_and_nothing_else(tmp_path: Path) -> None:
    path = tmp_path / "a"
    write_whole(path, b"old")
    with pytest.raises(RuntimeError), written_whole(path) as stream:
        stream.write(b"half")
        raise RuntimeError
    assert [(one.name, one.read_bytes()) for one in tmp_path.iterdir()] == [("a", b"old")]


def test_equal_process_numbers_share_no_temporary_name(tmp_path: Path) -> None:
    names = {temporary(tmp_path / "a").name for _ in range(1000)}
    assert (len(names), [name for name in names if not name.startswith(".a.")]) == (1000, [])


def test_only_old_temporary_files_of_ours_are_swept(tmp_path: Path) -> None:
    old, young, foreign = temporary(tmp_path / "a"), temporary(tmp_path / "a"), tmp_path / ".a.0123.part"
    for path in (old, young, foreign):
        path.write_bytes(b"x")
    link = temporary(tmp_path / "b")
    link.symlink_to(foreign)
    for path in (old, foreign):
        os.utime(path, (1e9, 1e9))
    assert sweep(tmp_path) == 1
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted([young.name, foreign.name, link.name])


def test_the_last_write_that_is_missing_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A power cut before the name changes: the old file is whole, what is beside it is swept a day later."""
    path = tmp_path / "a"
    write_whole(path, b"old")
    monkeypatch.setattr(Path, "replace", lambda *_given: (_ for _ in ()).throw(KeyboardInterrupt))
    monkeypatch.setattr(Path, "unlink", lambda *_given, **_more: None)
    with pytest.raises(KeyboardInterrupt):
        write_whole(path, b"new")
    monkeypatch.undo()
    assert path.read_bytes() == b"old"
    assert sweep(tmp_path, path.stat().st_mtime + OLD + 60) == 1


@pytest.mark.parametrize("kind", ["link", "pipe", "folder", "large"])
def test_what_is_no_ordinary_file_is_not_read(tmp_path: Path, kind: str) -> None:
    path = tmp_path / "x"
    if kind == "link":
        path.symlink_to("/etc/passwd")
    elif kind == "pipe":
        os.mkfifo(path)
    elif kind == "folder":
        path.mkdir()
    else:
        path.write_bytes(b"x" * 2000)
    with pytest.raises((UnfitFileError, IsADirectoryError)):
        read_bounded(path, 1024)


def test_a_file_at_its_bound_is_read(tmp_path: Path) -> None:
    (tmp_path / "x").write_bytes(b"x" * 1024)
    assert len(read_bounded(tmp_path / "x", 1024)) == 1024
