"""Two states of a kit: three kinds of change, each told where a buyer would look for it; hostile packs are refused."""

from __future__ import annotations

import copy
import json
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from calling import Call

from kitforge.release.compare import Weight, changes_entry, compare, errata_notice, next_version
from kitforge.release.state import KitState, faults_of, read_manifest, state_of
from kitforge.testing import SmallKit

FACTS: dict[str, Any] = {
    "parts": {
        "leg": {"title": "Leg", "count": 4, "size": [300.0, 80.0, 12.0], "shape": "a"},
        "top": {"title": "Top", "count": 1, "size": [300.0, 300.0, 12.0], "shape": "b"},
    },
    "stock": {"board": "birch 1200 × 600 × 12"},
    "cutters": {"up6": "up-cut, Ø 6.35"},
    "joints": {"top/slots/leg": {"part": "top", "takes": "leg", "clearance": [0.1, 0.3], "slots": [[12.2, 12.0]]}},
    "steps": ["top/slots", "top/outline", "leg/outline"],
    "settings": {"light_router": {"top/slots": {"feed": [500.0, 770.0, 970.0], "passes": [3.0]}}},
}
Edit = Callable[[dict[str, Any]], None]


def _state(edit: Edit | None = None, version: str = "1.2.3", **files: str) -> KitState:
    facts = copy.deepcopy(FACTS)
    if edit:
        edit(facts)
    return KitState("a.zip", "Stand", version, facts, {"kit: kit.yaml": "0", **files})


def _compared(edit: Edit) -> tuple[list[str], list[int], Weight]:
    found = compare(_state(), _state(edit))
    return (
        [topic.answer.partition(":")[0] for topic in found.topics],
        [len(one.lines) for one in found.topics],
        found.weight,
    )


def _set(path: str, value: object) -> Edit:
    def edit(facts: dict[str, Any]) -> None:
        *way, last = path.split("|")
        for step in way:
            facts = facts[step]
        facts[last] = value

    return edit


def _both(*edits: Edit) -> Edit:
    def all_of(facts: dict[str, Any]) -> None:
        for edit in edits:
            edit(facts)

    return all_of


SLOTS = "joints|top/slots/leg|slots"


@pytest.mark.parametrize(
    ("edit", "answers", "weight"),
    [
        (_set("steps", FACTS["steps"]), ["yes", "no", "no", "no", "no"], Weight.WORDS),
        (_both(_set("parts|top|shape", "c"), _set("parts|leg|shape", "d"), _set(SLOTS, [[12.3, 12.0]])),
         ["yes", "no", "no", "no", "no"], Weight.NEW_NUMBERS),
        (_both(_set("parts|top|shape", "c"), _set(SLOTS, [[11.9, 11.7]])), ["no", "no", "no", "no", "no"],
         Weight.NO_LONGER_FITS),
        (_both(_set("parts|top|shape", "c"), _set("joints", {})), ["unknown", "no", "no", "no", "no"],
         Weight.NO_LONGER_FITS),
        (_set("stock|board", "oak 1200 × 600 × 12"), ["yes", "yes", "no", "no", "no"], Weight.NEW_NUMBERS),
        (_set("settings|light_router|top/slots|feed", [500.0, 780.0, 970.0]), ["yes", "no", "no", "no", "no"],
         Weight.WORDS),
        (_set("settings|light_router|top/slots|feed", [500.0, 820.0, 970.0]), ["yes", "no", "yes", "no", "no"],
         Weight.NEW_NUMBERS),
        (_set("settings|light_router|top/slots|feed", [500.0, 971.0, 990.0]), ["yes", "no", "yes", "no", "no"],
         Weight.NEW_NUMBERS),
        (_set("steps", ["top/outline", "top/slots", "leg/outline"]), ["yes", "no", "no", "yes", "no"],
         Weight.NEW_NUMBERS),
    ],
)  # fmt: skip
def test_each_change_stands_under_its_question(edit: Edit, answers: list[str], weight: Weight) -> None:
    """A joint is good while every old slot takes every new piece and the other way round, with play above 0."""
    found = _compared(edit)
    assert (found[0], found[2]) == (answers, weight)


def test_words_alone_are_told_last_and_raise_the_last_figure() -> None:
    found = compare(_state(), KitState("b.zip", "Stand", "1.2.3", copy.deepcopy(FACTS), {"kit: kit.yaml": "1"}))
    assert ([topic.answer for topic in found.topics][-1], found.changed) == ("yes", True)
    assert next_version("1.2.3", found.weight) == "1.2.4"
    assert "Words only" in changes_entry(found, "2026-11-29")
    assert "Nothing that you cut, buy or set has changed" in errata_notice(found)


@pytest.mark.parametrize(
    ("weight", "version"), [(Weight.NO_LONGER_FITS, "2.0.0"), (Weight.NEW_NUMBERS, "1.3.0"), (Weight.WORDS, "1.2.4")]
)
def test_the_next_version_follows_what_it_means_to_buyers(weight: Weight, version: str) -> None:
    assert next_version("1.2.3-rc.1", weight) == version


def test_drafts_are_yaml_and_name_what_changed() -> None:
    import yaml

    found = compare(_state(), _state(_set("stock|board", 'oak "best" 1200')))
    (entry,) = yaml.safe_load(changes_entry(found, "2026-11-29"))["changes"]
    assert (entry["version"], 'oak "best"' in entry["text"][0]) == ("1.3.0", True)
    assert "oak" in errata_notice(found)


def test_a_kit_is_compared_with_its_pack(
    call: Call, kit: SmallKit, quick: None, bare_packs: None, tmp_path: Path
) -> None:
    """A pack against the kit that it was built from, then against the kit with a deeper recess."""
    assert call("build", kit.folder, "-o", tmp_path / "out", "--paper", "a4")[0] == 0
    (pack,) = (tmp_path / "out").iterdir()
    code, out, _ = call("compare", pack, kit.folder)
    assert (code, out.splitlines()[-1]) == (0, "Nothing differs.")
    kit.change("depth: 2 mm", "depth: 2.5 mm")
    code, out, _ = call("compare", pack, kit.folder, "--format", "json")
    topics = json.loads(out)["topics"]
    assert (code, topics[0]["answer"].partition(":")[0], topics[2]["answer"]) == (0, "unknown", "yes")
    assert any("sign/recess: depth 2 became 2.5" in line for line in topics[2]["lines"])


def _zip(path: Path, manifest: bytes, name: str = "a-1/manifest.json") -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(name, manifest)
    return path


GOOD = {"tool": {"name": "kitforge"}, "kit": {"title": "Stand", "version": "1.0.0"}, "facts": FACTS, "inputs": []}


@pytest.mark.parametrize(
    "manifest",
    [
        b"", b"[]", b"{}", b"[" * 100_000, b'{"tool": {"name": "kitforge"}}', b'{"tool": []}', b"\xff",
        json.dumps(GOOD).replace("300.0", "NaN").encode(), json.dumps(GOOD).replace("300.0", "1e999").encode(),
        json.dumps({**GOOD, "kit": {"title": "x", "version": "../../1"}}).encode(),
        json.dumps({**GOOD, "facts": {**FACTS, "parts": {"leg": 3}}}).encode(),
        json.dumps({**GOOD, "facts": {**FACTS, "settings": {"a": {"b": {"c": ["fast"]}}}}}).encode(),
        json.dumps({**GOOD, "facts": {**FACTS, "steps": [1, 2]}}).encode(),
        b" " * (9 << 20),
    ],
    ids=lambda data: data[:30],
)  # fmt: skip
def test_a_hostile_pack_is_one_plain_message(call: Call, tmp_path: Path, manifest: bytes) -> None:
    path = _zip(tmp_path / "a.zip", manifest)
    code, out, err = call("compare", path, path)
    assert (code, out, len(err.splitlines()), "Traceback" in err) == (2, "", 1, False), err


def test_a_sound_pack_of_a_stranger_is_read(tmp_path: Path) -> None:
    assert list(faults_of(FACTS)) == []
    assert state_of(_zip(tmp_path / "a.zip", json.dumps(GOOD).encode())).version == "1.0.0"


@pytest.mark.parametrize("kind", ["none", "text", "two", "deep", "cut"])
def test_a_file_that_is_no_pack_is_refused(tmp_path: Path, kind: str) -> None:
    from kitforge.model.errors import KitforgeError

    path = tmp_path / "a.zip"
    if kind == "text":
        path.write_text("no zip")
    elif kind == "deep":
        _zip(path, json.dumps(GOOD).encode(), "a/b/manifest.json")
    elif kind == "cut":
        data = _zip(path, json.dumps(GOOD).encode()).read_bytes()
        path.write_bytes(data[:100] + bytes(40) + data[140:])
    elif kind == "two":
        with zipfile.ZipFile(path, "w") as archive:
            archive.writestr("a/manifest.json", "{}")
            archive.writestr("b/manifest.json", "{}")
    with pytest.raises(KitforgeError):
        read_manifest(path)
