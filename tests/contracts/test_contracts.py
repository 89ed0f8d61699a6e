"""The rules of the house hold, but for violations that are known; their list, known.md, may only become shorter.

`python tests/contracts/test_contracts.py` prints the violations of today and the figures of the structure; with
`--write` it writes known.md anew, which is right only where it becomes shorter.
"""

from __future__ import annotations

import sys
from functools import cache
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from imports import arrows, circles, floors, modules, room_of, rooms
from violations import RULES, known, twin_classes

KNOWN = Path(__file__).with_name("known.md")


@cache
def broken(rule: str) -> frozenset[str]:
    """Return the violations of today."""
    return frozenset(RULES[rule]())


@pytest.mark.parametrize("rule", RULES)
def test_no_rule_is_broken_in_a_new_way(rule: str) -> None:
    new = broken(rule) - known(KNOWN)[rule]
    assert sorted(new) == [], f"{RULES[rule].__doc__} Mend this; the list of known violations may only become shorter."


@pytest.mark.parametrize("rule", RULES)
def test_what_is_mended_leaves_the_list(rule: str) -> None:
    gone = known(KNOWN)[rule] - broken(rule)
    assert sorted(gone) == [], "Good: these are mended. Take their lines out of tests/contracts/known.md."


def test_the_table_of_rooms_is_understood() -> None:
    """What the third column allows is worked out from the words of DEVELOPERS.md itself."""
    by_first = {room.names[0]: room for room in rooms()}
    ground, kernel = by_first["kitforge.model"], by_first["kitforge.geometry"]
    assert ground.may == frozenset()
    assert kernel.may == {ground.title}
    assert by_first["kitforge.lettering"].may == {ground.title, kernel.title}
    assert by_first["kitforge.cli"].may == {room.title for room in rooms()[:-1]}
    assert room_of("kitforge.geometry.region") is kernel
    assert room_of("kitforge.model.messages") is ground


def test_imports_are_read_from_the_source() -> None:
    from imports import imports

    assert "kitforge.stages.checking" in imports()["kitforge.pipeline"]
    assert all(one in modules() for wanted in imports().values() for one in wanted)


def _figures() -> str:
    twins = len(list(twin_classes()))
    return f"{floors()} floors, {len(arrows())} arrows, {len(circles())} circles of modules, {twins} twin class names"


def _listed() -> str:
    head = "# Known violations of the rules of the house\n\nThis list may only become shorter.\n"
    sections = (f"\n## {name}\n\n" + "".join(f"- {one}\n" for one in sorted(rule())) for name, rule in RULES.items())
    return head + "".join(sections)


if __name__ == "__main__":
    text = _listed()
    if "--write" in sys.argv:
        KNOWN.write_text(text, encoding="utf-8")
    print(text)
    print(f"\n{_figures()}")
