"""All texts of a kit are exchanged, and no hazard, sign, warning or finding becomes another one: facts are fields."""

from __future__ import annotations

import shutil
from collections import Counter
from pathlib import Path

import pytest
import yaml
from demo_kits import KITS, said
from small_pictures import small

from kitforge.model.pack import BuildOptions
from kitforge.pipeline import CheckedKit, check_kit
from kitforge.plugins import load_plugins
from kitforge_booklet.build import booklet
from kitforge_booklet.records import Booklet

TEXTS = {
    "title",
    "summary",
    "item",
    "note",
    "text",
    "caution",
    "surfaces",
    "steps",
    "notes",
    "prepare",
    "for",
    "author",
}
DECOY = "LED lamp with battery, glass magnet, candle, wall plug, food, marble, vacuum"
NONSENSE = "Qvarz bdlim"


def exchanged(node: object, text: str, key: str = "", place: tuple[str, ...] = ()) -> object:
    """Return a part of a kit.yaml with every text an author wrote exchanged; keys, names and numbers stay."""
    if isinstance(node, dict):
        return {name: exchanged(value, text, name, (*place, str(name))) for name, value in node.items()}
    if isinstance(node, list):
        return [exchanged(value, text, key, place) for value in node]
    if "shapes" in place:
        return node  # letters to be cut are geometry
    of_hardware = key == "use" and place[:1] == ("hardware",)
    if key == "item" and place[:1] != ("hardware",):
        return node  # the key of a tool, not a text
    if isinstance(node, str) and (key in TEXTS or of_hardware or (key == "name" and place[:1] == ("cutters",))):
        return f"{text}." if place[0] == "notes" else text
    return node


def dangers(checked: CheckedKit, made: Booklet) -> dict[str, object]:
    """What is told of dangers, without a word of the kit's own."""
    return {
        "safety": Counter((message.title, message.word) for message in made.messages),
        "in use": Counter((message.title, message.word) for message in made.in_use),
        "steps": [[(message.title, message.word) for message in step.messages] for step in made.steps],
        "signs": [[sign.words for sign in step.signs] for step in made.steps],
        "deferring": len(made.deferring),
        "findings": Counter((finding.code, finding.severity) for finding in checked.findings),
        "hazards": [thing.hazards for thing in checked.kit.hardware],
    }


@pytest.mark.parametrize("text", [pytest.param(NONSENSE, marks=pytest.mark.soak), DECOY])
@pytest.mark.parametrize("name", ["bedside-lamp", pytest.param("wall-clock", marks=pytest.mark.soak)])
def test_no_text_of_a_kit_decides_anything(tmp_path: Path, name: str, text: str) -> None:
    folder = tmp_path / name
    shutil.copytree(KITS / name, folder)
    written = yaml.safe_load((folder / "kit.yaml").read_text(encoding="utf-8"))
    changed = exchanged(written, text)
    assert changed != written
    (folder / "kit.yaml").write_text(yaml.safe_dump(changed, allow_unicode=True, sort_keys=False), encoding="utf-8")
    with small():
        checked = check_kit(folder, load_plugins())
        made = booklet(checked.kit, checked.plan, BuildOptions())
    before = said(name)
    assert dangers(checked, made) == dangers(before.checked, before.booklet)
