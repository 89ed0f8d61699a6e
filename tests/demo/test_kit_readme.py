"""kits/README.md tells the truth: every kit has its part, with what the kit holds."""

from __future__ import annotations

import pathlib
import re

import pytest
from kit_samples import sample

from kitforge.model.facts import Hazard
from kitforge.model.kit import Kit
from kitforge.model.needs import (
    CountNeed,
    JointNeed,
    KeepNeed,
    LineNeed,
    ModuleNeed,
    Need,
    PassageNeed,
    SeatNeed,
    SpacingNeed,
)

KITS = pathlib.Path(__file__).parents[2] / "kits"
TEXT = (KITS / "README.md").read_text(encoding="utf-8")
NAMES = sorted(path.parent.name for path in KITS.glob("*/kit.yaml"))
WORDS: dict[type[Need], str] = {
    PassageNeed: "passage",
    SeatNeed: "holds",
    JointNeed: "mates",
    SpacingNeed: "spacing",
    CountNeed: "count",
    LineNeed: "aligned",
    KeepNeed: "keeps",
    ModuleNeed: "module",
}


def row(name: str, what: str) -> str:
    section = TEXT.split(f"\n## {name}\n")[1].split("\n## ")[0]
    found = re.search(rf"^\| {what} \| (.*) \|$", section, re.MULTILINE)
    assert found is not None, f"no row '{what}' for {name}"
    return found[1]


def pieces(kit: Kit) -> str:
    parts, count = len(kit.parts), sum(part.count for part in kit.parts)
    words = "1 part" if parts == 1 else f"{parts} parts"
    return words if parts == count else f"{words} ({count} pieces)"


def test_every_kit_has_its_part_and_nothing_else_has() -> None:
    assert re.findall(r"^## (.*)$", TEXT, re.MULTILINE) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_the_table_of_a_kit_is_true(name: str) -> None:
    kit, plan = sample(name).kit, sample(name).plan
    assert f"{pieces(kit)}, {len(plan.steps)} steps" == row(name, "parts, steps")
    cuts = {operation.does.value for part in kit.parts for operation in part.operations}
    assert ", ".join(sorted(cuts)) == row(name, "cuts")
    assert {WORDS[type(need)] for need in kit.needs} == set(row(name, "needs").split(", "))
    kinds = {cutter.kind.value.lower() for cutter in kit.cutters.values()}
    assert kinds == set(row(name, "cutters").lower().split(", "))
    assert ", ".join(use.value for use in kit.info.uses) == row(name, "use")
    stated = {hazard for thing in kit.hardware for hazard in thing.hazards or ()} - {Hazard.NONE}
    told = ", ".join(hazard.value for hazard in Hazard if hazard in stated)
    assert (told or "none") == row(name, "hazards stated")


def test_it_says_that_the_kits_are_invented() -> None:
    assert "invented demo data" in TEXT
