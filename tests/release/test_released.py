"""A released version never changes silently: its inputs, its zip, its date and its changelog."""

from __future__ import annotations

import datetime
import json
import random
from pathlib import Path

import pytest
from calling import Call
from plain_pictures import plain_pictures  # noqa: F401 - a fixture

from kitforge.model.errors import KitforgeError
from kitforge.release.released import RELEASES, Released, order_of, read_releases, with_release
from kitforge.testing import SmallKit

DATED = (
    "version: 0.1.0",
    "version: 1.0.0\n  released: 2026-11-29\n  changes: [{ version: 1.0.0, text: [First one.] }]",
)


def _entry(version: str = "1.0.0") -> Released:
    return Released(
        version, datetime.date(2026, 11, 29), "0" * 64, "a.zip", "1" * 64, {"kitforge": "0.1.0", "a b": "ü"}
    )


def test_a_release_is_read_as_it_was_written(tmp_path: Path) -> None:
    text = with_release(with_release("", _entry()), _entry("1.1.0"))
    (tmp_path / RELEASES).write_text(text)
    assert read_releases(tmp_path) == [_entry(), _entry("1.1.0")]
    assert text.startswith(with_release("", _entry())), "added at the end, nothing before it moves"


def test_versions_are_in_the_order_of_semantic_versioning() -> None:
    """The example of Semantic Versioning 2.0.0, section 11."""
    given = ["1.0.0-alpha", "1.0.0-alpha.1", "1.0.0-alpha.beta", "1.0.0-beta", "1.0.0-beta.2", "1.0.0-beta.11",
             "1.0.0-rc.1", "1.0.0", "1.2.0", "1.10.0", "2.0.0"]  # fmt: skip
    assert sorted(random.Random(1).sample(given, len(given)), key=order_of) == given


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (("released: 2026-11-29\n  ", ""), "no day of its release"),
        (("{ version: 1.0.0, text", "{ version: 0.9.0, text"), "no entry for version 1.0.0"),
        (("{ version: 1.0.0, text", "{ version: 1.0.0, date: 2026-11-28, text"), "dates 1.0.0 at 2026-11-28"),
    ],
)
def test_version_date_and_changelog_must_agree(call: Call, kit: SmallKit, change: tuple[str, str], said: str) -> None:
    kit.change(*DATED).change(*change)
    code, _, err = call("release", kit.folder, "-o", kit.folder.parent / "out")
    assert (code, said in err, (kit.folder / RELEASES).exists()) == (2, True, False), err


def test_a_release_needs_a_lock_and_no_lower_version(call: Call, kit: SmallKit) -> None:
    kit.change(*DATED)
    code, _, err = call("release", kit.folder, "-o", kit.folder.parent / "out")
    assert (code, "has no kit.lock" in err) == (2, True)
    (kit.folder / RELEASES).write_text(with_release("", _entry("1.0.1")))
    code, _, err = call("release", kit.folder, "-o", kit.folder.parent / "out")
    assert (code, "lower than 1.0.1" in err) == (2, True)


def test_a_version_is_released_once_and_is_then_kept(
    call: Call, kit: SmallKit, tmp_path: Path, quick: None, bare_packs: None
) -> None:
    out = tmp_path / "out"
    kit.change(*DATED)
    assert call("lock", kit.folder)[0] == 0
    code, said, _ = call("release", kit.folder, "-o", out)
    assert (code, "noted in releases.toml" in said) == (0, True), said
    zipped = out / "name-signs-1.0.0.zip"
    whole, noted = zipped.read_bytes(), (kit.folder / RELEASES).read_text()
    statement = json.loads((out / "name-signs-1.0.0.provenance.json").read_text())
    (release,) = read_releases(kit.folder)
    assert statement["subject"] == [{"name": zipped.name, "digest": {"sha256": release.sha256}}]
    assert "file:kit.yaml" in [one["uri"] for one in statement["predicate"]["buildDefinition"]["resolvedDependencies"]]

    code, said, _ = call("release", kit.folder, "-o", out)
    assert (code, "the same bytes" in said, (kit.folder / RELEASES).read_text()) == (0, True, noted)
    code, _, err = call("build", kit.folder, "-o", out, "--paper", "a4", "--no-cache")
    assert (code, "is the released zip" in err, zipped.read_bytes() == whole) == (2, True, True), "other options"

    kit.change("text: [First one.]", "text: [The first one.]")
    code, said, _ = call("check", kit.folder)
    assert (code, "error [released-changed]" in said) == (1, True)
    code, said, _ = call("release", kit.folder, "-o", out)
    assert (code, zipped.read_bytes() == whole, (kit.folder / RELEASES).read_text()) == (1, True, noted)


@pytest.mark.parametrize(
    "text",
    [
        "release = 3\n", "[[release]]\n", "[[release]\n", "[[release]]\nversion = 1.0\n",
        with_release("", _entry()).replace("0" * 64, "x"), with_release("", _entry()).replace("2026-11-29", "'today'"),
        with_release(with_release("", _entry()), _entry()), "other = 1\n",
        with_release("", _entry()).replace('"0.1.0"', "3"),
    ],
)  # fmt: skip
def test_an_edited_record_is_an_error(call: Call, kit: SmallKit, text: str) -> None:
    (kit.folder / RELEASES).write_text(text)
    with pytest.raises(KitforgeError):
        read_releases(kit.folder)
    code, out, _ = call("check", kit.folder)
    assert (code, "error [releases-unreadable]" in out) == (1, True)
