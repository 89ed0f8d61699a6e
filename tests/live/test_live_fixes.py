"""What mends a finding, as a change of kit.yaml: afterwards the finding is gone, and nothing else was touched."""

from __future__ import annotations

import html
import random
import re
import shutil
import subprocess
from collections.abc import Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
import yaml
from calling import Call
from kit_samples import checked_demo, plugins

from kitforge.definition.edit import with_value
from kitforge.live.board import PieceBoard
from kitforge.live.work import Follower
from kitforge.model.errors import UnreadableKitError
from kitforge.model.family import AS_WRITTEN
from kitforge.model.kit import Kit
from kitforge.pipeline import check_kit
from kitforge.stages.choosing import choose
from kitforge.stages.mending import difference, mended
from kitforge.stages.read import read
from kitforge.stages.resolve import resolve
from kitforge.testing import SmallKit

KITS = Path(__file__).parents[2] / "kits"
TEXTS = {path.parent.name: path.read_text(encoding="utf-8") for path in sorted(KITS.glob("*/kit.yaml"))}
Place = tuple[str | int, ...]


def places(value: object, at: Place = ()) -> Iterator[Place]:
    """Yield the place of every value in what YAML holds."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield (*at, key)
            yield from places(inner, (*at, key))
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            yield from places(inner, (*at, number))


def put(data: Any, place: Place, value: object) -> None:
    for step in place[:-1]:
        data = data.setdefault(step, {}) if isinstance(data, dict) else data[step]
    data[place[-1]] = value


def loaded(text: str) -> Any:
    """Return what PyYAML reads, by libyaml where it has that, which is ten times as quick."""
    return yaml.load(text, getattr(yaml, "CSafeLoader", yaml.SafeLoader))


@pytest.mark.parametrize("name", TEXTS)
def test_a_value_changes_and_nothing_else(name: str) -> None:
    """Any value of any demo kit, new keys beside any, entries in entries that are not there yet; read by PyYAML."""
    text, draw = TEXTS[name], random.Random(name)
    written = loaded(text)
    known = [place for place in places(written) if isinstance(place[-1], str)]
    for place in draw.sample(known, 5):
        for target in (place, (*place[:-1], "added"), (*place[:-1], "added", "below")):
            changed, expected = with_value(text, target, "{width: 9 mm}"), deepcopy(written)
            put(expected, target, {"width": "9 mm"})
            assert loaded(changed) == expected, target
            before, after = text.split("\n"), changed.split("\n")
            if target != place:
                assert len(set(before) - set(after)) <= 1, target  # one line is longer, or none


def gap(folder: Path) -> SmallKit:
    """A sign that is drawn in an SVG: an outline with a gap of 0.15 mm, and no unit that is stated."""
    kit = SmallKit(folder)
    entry = next(line for line in kit.file.read_text(encoding="utf-8").split("\n") if "outline: {" in line)
    kit.change(entry, "    drawing: sign.svg # from the shop\n    outline: { layer: EDGE }")
    kit.change("count: 2", "count: 1")
    (kit.folder / "sign.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="150mm" height="60mm" viewBox="-75 -30 150 60">'
        '<g id="EDGE"><path d="M-74 -29h148v58h-148v-57.85" fill="none" stroke="#000"/></g></svg>'
    )
    return kit


def kit_of(folder: Path) -> Kit:
    return resolve(choose(read(folder), AS_WRITTEN), plugins())


def no_unit(folder: Path) -> SmallKit:
    kit = gap(folder)
    drawing = kit.folder / "sign.svg"
    text = drawing.read_text().replace('width="150mm" height="60mm" ', "").replace("v-57.85", "z")
    drawing.write_text(text)
    return kit


CASES = {"drawing-gap": gap, "drawing-unit-guess": no_unit}


@pytest.mark.parametrize("code", CASES)
def test_after_the_change_the_finding_is_gone(code: str, call: Call, tmp_path: Path) -> None:
    """Printed as a difference that git takes, without writing; written, the check finds it no longer."""
    kit = CASES[code](tmp_path / "kit")
    before, codes = kit.file.read_text(encoding="utf-8"), set(kit.codes())
    assert code in codes
    status, shown, wrong = call("fix", str(kit.folder), code, "--diff")
    assert (status, wrong) == (0, "")
    assert kit.file.read_text(encoding="utf-8") == before
    subprocess.run(["git", "apply", "-p1", "-"], input=shown, text=True, cwd=kit.folder, check=True)
    applied = kit.file.read_text(encoding="utf-8")
    kit.file.write_text(before, encoding="utf-8")
    assert call("fix", str(kit.folder), code, "--write")[:2] == (0, shown)
    assert kit.file.read_text(encoding="utf-8") == applied
    after = set(kit.codes())
    assert code not in after
    worse = {one.code for one in kit.findings() if one.severity.value == "error"}
    assert worse <= codes
    assert [line for line in before.split("\n") if "#" in line and "tabs" not in line] == [
        line for line in applied.split("\n") if "#" in line and "tabs" not in line
    ]


STAND = "    ladder: {of: ply, from: 11.6 mm, to: 12.6 mm, step: 0.2 mm}"
RUNGS = {
    "no whole number of steps": (STAND, STAND.replace("to: 12.6", "to: 12.7")),
    "a thickness that does not follow": ("actual: ply", "actual: 12 mm"),
}


@pytest.mark.parametrize("case", RUNGS)
def test_a_ladder_is_mended_though_it_keeps_the_kit_from_being_read(case: str, call: Call, tmp_path: Path) -> None:
    """A demo kit whose rungs were spoilt becomes what it was; the live page shows the same change."""
    folder = tmp_path / "plant-stand"
    shutil.copytree(KITS / "plant-stand", folder)
    file, (old, new) = folder / "kit.yaml", RUNGS[case]
    assert TEXTS["plant-stand"].count(old) == 1
    file.write_text(TEXTS["plant-stand"].replace(old, new), encoding="utf-8")
    with pytest.raises(UnreadableKitError) as found:
        kit_of(folder)
    assert [one.code for one in found.value.problems] == ["ladder-unfit"]
    board = PieceBoard()
    Follower(folder, AS_WRITTEN, plugins(), board, print).step()
    status, shown, _wrong = call("fix", str(folder), "ladder-unfit", "--write")
    assert status == 0
    assert shown.rstrip("\n") in html.unescape((board.piece("trouble") or b"").decode("utf-8"))
    assert loaded(file.read_text(encoding="utf-8")) == loaded(TEXTS["plant-stand"])
    kit_of(folder)


TABS = "hold: {tabs: {width: 8 mm, height: 3 mm}}"
SPOILT_TABS = {
    "tab-small": ("hold: {tabs: {width: 3 mm, height: 3 mm}}", "hold: {tabs: {width: 4 mm, height: 3 mm}}"),
    "tab-thick": (
        "hold: {tabs: {count: 4, width: 8 mm, height: 7 mm}}",
        "hold: {tabs: {count: 4, width: 8 mm, height: 3 mm}}",
    ),
}


@pytest.mark.parametrize("code", SPOILT_TABS)
def test_tabs_of_a_demo_kit_are_mended(code: str, call: Call, tmp_path: Path) -> None:
    """The side that is wrong is written anew, the others and the number of tabs stay; the finding is gone."""
    folder = tmp_path / "herb-planter"
    shutil.copytree(KITS / "herb-planter", folder)
    bad, good = SPOILT_TABS[code]
    text = TEXTS["herb-planter"]
    (folder / "kit.yaml").write_text(text.replace(TABS, bad), encoding="utf-8")
    assert call("fix", str(folder), code, "--write")[0] == 0
    assert loaded((folder / "kit.yaml").read_text(encoding="utf-8")) == loaded(text.replace(TABS, good))
    assert code not in {one.code for one in check_kit(folder, plugins(), choice=AS_WRITTEN).findings}


def test_what_knows_no_change_says_so(call: Call, tmp_path: Path) -> None:
    kit = gap(tmp_path / "kit")
    before = kit.file.read_bytes()
    status, _shown, wrong = call("fix", str(kit.folder), "part-too-large", "--write")
    assert (status, "finds no 'part-too-large'" in wrong, "Known for: drawing-gap" in wrong) == (2, True, True)
    status, _shown, wrong = call("fix", str(kit.folder), "settings-weak-input")
    assert (status, "No change of kit.yaml is known" in wrong) == (2, True)
    assert kit.file.read_bytes() == before


def test_the_live_page_offers_the_change(tmp_path: Path) -> None:
    board = PieceBoard()
    Follower(gap(tmp_path / "kit").folder, AS_WRITTEN, plugins(), board, print).step()
    drawn = (board.piece("drawn") or b"").decode("utf-8")
    assert re.search(r"^\+    join: 0\.2 mm$", drawn, re.MULTILINE)
    assert drawn.count("Copy this fix") == 1


@pytest.mark.parametrize("name", ["herb-planter", "morris-board"])
def test_a_change_of_a_demo_kit_is_one_that_can_be_read(name: str) -> None:
    """Every finding of a demo kit that knows a change: the changed text is a kit, and differs where it says."""
    written = read(KITS / name)
    for finding in checked_demo(name).findings:
        text = mended(written, [finding])
        assert (difference(written, text) == "") == (finding.mend is None)
        assert loaded(text)
