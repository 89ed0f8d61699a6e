"""A finding about a piece of several says which, whoever found it: the line in kit.yaml is the same for all of them."""

from __future__ import annotations

from pathlib import Path

from kitforge.definition import kinds
from kitforge.model.findings import Source
from kitforge.model.messages import listed, msg
from kitforge.pipeline import load_kit
from kitforge.plugins import load_plugins
from kitforge.stages.piece_names import naming_pieces
from kitforge.testing import SmallKit


def test_a_finding_of_one_piece_names_it(tmp_path: Path) -> None:
    """The recess of one of two pieces is narrower than its cutter; the other one is well."""
    kit = SmallKit(tmp_path)
    kit.change(
        "    count: 2\n",
        "    each: {small: {title: small, set: {long: 90 mm, border: 29 mm}}, large: {title: large}}\n",
    )
    kit.change("corner_radius: 6 mm", "corner_radius: 0.9 mm")
    found = [one for one in kit.findings() if one.operation == "recess" and one.severity == "error"]
    assert found
    assert {one.part for one in found} == {"sign-small"}
    assert all(str(one.message).startswith("Sign (small): ") for one in found), [str(one.message) for one in found]


def test_whether_a_piece_is_named_its_values_say_and_no_sentence(tmp_path: Path) -> None:
    """The key of the piece is a word of the first sentence; the second one names the piece within a list."""
    kit = SmallKit(tmp_path)
    kit.change("    count: 2\n", "    each: {small: {set: {long: 90 mm}}, large: {}}\n")
    said = msg("A sign-small board is thin."), msg("{names} are thin.", names=listed([msg("{a}", a="sign-small")]))
    at = Source("kit.yaml")
    found = [kinds.WRONG_VALUE.new(one, msg(""), source=at, part="sign-small") for one in said]
    named = [str(one.message) for one in naming_pieces(found, load_kit(kit.folder, load_plugins()))]
    assert named == ["Sign (Small): A sign-small board is thin.", "sign-small are thin."]
