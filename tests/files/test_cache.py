"""The cache of files: damage, foreign entries and two writers are misses or whole entries, never wrong ones."""

from __future__ import annotations

import multiprocessing
import os
import sys
from dataclasses import dataclass
from enum import Enum
from functools import partial
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitforge.files.artefacts import Artefacts, kept_bytes, kept_in, kept_with, pieces
from kitforge.files.builder import builder
from kitforge.files.cache import CacheUse, FileCache, key_of, problem_of, users_cache, users_folder

KEY, OTHER = key_of("pdf", b"one"), key_of("pdf", b"two")


@pytest.fixture
def cache(tmp_path: Path) -> FileCache:
    return FileCache(tmp_path)


def _entry(cache: FileCache, key: str = KEY) -> Path:
    (found,) = cache.folder.rglob(key)
    return found


def test_what_is_kept_is_found_and_nothing_else_is(cache: FileCache) -> None:
    assert cache.get(KEY) is None
    cache.put(KEY, b"content")
    assert (cache.get(KEY), cache.get(OTHER)) == (b"content", None)
    assert [path.name for path in cache.folder.rglob("*") if path.is_file()] == [KEY]


@given(st.lists(st.binary(max_size=4), max_size=4), st.lists(st.binary(max_size=4), max_size=4))
def test_two_rows_of_parts_have_one_key_only_when_they_are_equal(one: list[bytes], other: list[bytes]) -> None:
    assert (key_of("pdf", *one) == key_of("pdf", *other)) == (one == other)


@pytest.mark.parametrize("place", [0, 20, -1])
def test_a_flipped_byte_is_a_miss_and_is_made_anew(cache: FileCache, place: int) -> None:
    cache.put(KEY, b"content")
    data = bytearray(_entry(cache).read_bytes())
    data[place] ^= 1
    _entry(cache).write_bytes(data)
    assert cache.get(KEY) is None
    cache.put(KEY, b"content")
    assert cache.get(KEY) == b"content"


@pytest.mark.parametrize("kind", ["another key's", "cut", "empty", "link", "pipe", "folder"])
def test_what_is_no_entry_of_this_key_is_a_miss_and_is_replaced(cache: FileCache, tmp_path: Path, kind: str) -> None:
    for key, body in ((KEY, b"content"), (OTHER, b"other content")):
        cache.put(key, body)
    path, whole = _entry(cache), _entry(cache).read_bytes()
    path.unlink()
    if kind == "another key's":
        path.write_bytes(_entry(cache, OTHER).read_bytes())
    elif kind in ("cut", "empty"):
        path.write_bytes(whole[: 0 if kind == "empty" else 30])
    elif kind == "link":
        (tmp_path / "elsewhere").write_bytes(whole)
        path.symlink_to(tmp_path / "elsewhere")
    elif kind == "pipe":
        os.mkfifo(path)
    else:
        path.mkdir()
    assert cache.get(KEY) is None
    cache.put(KEY, b"content")
    assert cache.get(KEY) == (None if kind == "folder" else b"content")
    assert not (tmp_path / "elsewhere").exists() or (tmp_path / "elsewhere").read_bytes() == whole


def _write_and_read(folder: str, number: int, rounds: int) -> None:
    cache = FileCache(Path(folder))
    for turn in range(rounds):
        key = key_of("pdf", str(turn % 7).encode())
        cache.put(key, str(turn % 7).encode() * 5000)
        found = cache.get(key_of("pdf", str((turn + number) % 7).encode()))
        assert found is None or found == str((turn + number) % 7).encode() * 5000


def test_processes_that_write_at_once_leave_only_whole_entries(cache: FileCache) -> None:
    context = multiprocessing.get_context("spawn")
    workers = [context.Process(target=_write_and_read, args=(str(cache.folder), n, 150)) for n in range(2)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    assert [worker.exitcode for worker in workers] == [0, 0]
    assert cache.use().entries == 7
    assert [path.name for path in cache.folder.rglob(".*")] == []


def test_the_cache_is_trimmed_to_its_bound_the_oldest_first(cache: FileCache) -> None:
    for number in range(5):
        key = key_of("pdf", str(number).encode())
        cache.put(key, b"x" * 1000)
        os.utime(_entry(cache, key), (1e9 + number, 1e9 + number))
    cache.get(key_of("pdf", b"0"))  # used now, so it is the youngest
    cache.trim(2500)
    assert [number for number in range(5) if cache.get(key_of("pdf", str(number).encode()))] == [0, 4]


def test_clearing_removes_entries_and_nothing_else(cache: FileCache) -> None:
    cache.put(KEY, b"x" * 100)
    (cache.folder / "notes.txt").write_text("my own")
    assert cache.clear().entries == 1
    assert ([path.name for path in cache.folder.iterdir()], cache.use()) == (["notes.txt"], CacheUse(0, 0))


def test_a_folder_that_others_can_write_or_that_is_a_link_is_not_used(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("KITFORGE_NO_CACHE")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    if sys.platform != "linux":
        pytest.skip("XDG Base Directory Specification")
    assert users_cache() is not None
    assert users_folder() == tmp_path / "kitforge"
    assert (tmp_path / "kitforge").stat().st_mode & 0o777 == 0o700
    (tmp_path / "kitforge").chmod(0o777)
    assert "others may write" in problem_of(tmp_path / "kitforge")
    assert users_cache() is None
    (tmp_path / "kitforge").rmdir()
    (tmp_path / "real").mkdir()
    (tmp_path / "kitforge").symlink_to(tmp_path / "real")
    assert users_cache() is None


def test_it_can_be_switched_off(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    monkeypatch.setenv("KITFORGE_NO_CACHE", "1")
    assert users_cache() is None


class _Colour(Enum):
    RED = 1
    BLUE = 2


@dataclass(frozen=True)
class _Record:
    name: str
    size: float
    colour: _Colour = _Colour.RED


def test_what_was_made_is_made_anew_only_from_other_parts(cache: FileCache) -> None:
    made: list[str] = []

    def cover(name: str) -> bytes:
        made.append(name)
        return name.encode()

    def covers() -> list[bytes]:
        return [kept_bytes("cover", partial(cover, name), name) for name in ("one", "two", "one")]

    with kept_in(Artefacts(cache, "builder")):
        assert covers() == covers() == [b"one", b"two", b"one"]
    assert made == ["one", "two"]
    with kept_in(Artefacts(cache, "another builder")):
        covers()
    assert covers() == [b"one", b"two", b"one"]
    assert made == ["one", "two"] * 2 + ["one", "two", "one"]


def test_what_is_said_beside_an_artefact_is_kept_to_the_last_digit(cache: FileCache) -> None:
    made: list[float] = []

    def picture(width: float) -> tuple[bytes, list[float]]:
        made.append(width)
        return b"dots", [width, 1 / 3]

    def pictures() -> list[tuple[bytes, list[float]]]:
        return [kept_with("pair", partial(picture, width), width) for width in (0.1 + 0.2, 84.0)]

    once_made = pictures()
    with kept_in(Artefacts(cache, "builder")):
        assert pictures() == pictures() == once_made == [(b"dots", [0.1 + 0.2, 1 / 3]), (b"dots", [84.0, 1 / 3])]
    assert made == [0.1 + 0.2, 84.0] * 2


def test_what_several_artefacts_are_made_from_is_read_once(cache: FileCache) -> None:
    """Each kind has a key of its own, another one of other parts and of another builder."""

    class Area:
        def __init__(self, data: bytes) -> None:
            self.data, self.read = data, 0

        @property
        def wkb(self) -> bytes:
            self.read += 1
            return self.data

    def keys(area: Area, builder: str = "builder") -> list[str]:
        area.read = 0
        found = Artefacts(cache, builder).keys(("large", "small", "said"), area, "oak")
        assert area.read == 2  # looked for, and taken
        return found

    first, other = Area(b"one"), Area(b"two")
    assert keys(first) == keys(first)
    every = [*keys(first), *keys(other), *keys(first, "another builder")]
    assert len(set(every)) == len(every)
    assert [key.rpartition("-")[0] for key in keys(first)] == ["large", "small", "said"]


def test_every_field_of_a_record_is_in_its_pieces() -> None:
    import numpy as np

    records: list[object] = [
        _Record("a", 1.0), _Record("b", 1.0), _Record("a", 1.5), _Record("a", 1.0, _Colour.BLUE), ("a", 1.0), ["a"],
        "a", b"a", None, True, 1, 1.0, (), ((),), np.zeros(4, np.float32), np.zeros(4, np.float64),
        np.zeros((2, 2), np.float32), np.ones(4, np.float32),
    ]  # fmt: skip
    found = [key_of("x", *pieces(one)) for one in records]
    assert len(set(found)) == len(records)
    with pytest.raises(TypeError, match="cannot be part of a key"):
        list(pieces({1: 2}))


def test_the_builder_is_told_by_its_files_and_the_systems_libraries(monkeypatch: pytest.MonkeyPatch) -> None:
    from kitforge.files import builder as module

    first = builder()
    assert len(first) == 64
    builder.cache_clear()
    assert builder() == first, "the same twice"
    for name, other in (("_libraries", lambda: iter([Path(__file__)])), ("_own_files", lambda: iter([]))):
        with monkeypatch.context() as patch:
            patch.setattr(module, name, other)
            builder.cache_clear()
            assert builder() != first, name
    builder.cache_clear()
    own = {name.partition("/")[0] for name, _path in module._own_files()}
    assert own >= {"kitforge", "kitforge_manifest", "kitforge_plain"}
    assert any(path.name.startswith("libpango-1") for path in module._libraries())


def test_a_plugin_of_others_that_may_change_switches_the_cache_off(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "weights-1.0.dist-info"
    folder.mkdir()
    (folder / "entry_points.txt").write_text("[kitforge]\nweights = weights\n")
    monkeypatch.syspath_prepend(str(tmp_path))
    builder.cache_clear()
    assert builder()
    (folder / "direct_url.json").write_text('{"dir_info": {"editable": true}, "url": "file:///somewhere"}')
    builder.cache_clear()
    try:
        assert builder() == ""
    finally:
        builder.cache_clear()
