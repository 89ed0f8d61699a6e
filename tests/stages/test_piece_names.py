"""A finding about a piece of several says which, whoever found it: the line in kit.yaml is the same for all of them."""

from __future__ import annotations

from pathlib import Path

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
