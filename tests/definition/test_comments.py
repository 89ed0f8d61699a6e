"""Where comments begin in kit.yaml, beside what PyYAML makes of the text without them."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from kitforge.definition.comments import comment_starts

KITS = Path(__file__).parents[2] / "kits"
TEXTS = {path.parent.name: path.read_text(encoding="utf-8") for path in sorted(KITS.glob("*/kit.yaml"))}
CASES = {
    "behind a value": ("a: 1 # one\n", {0: 5}),
    "a line of its own": ("# one\na: 1\n  # two\n", {0: 0, 2: 2}),
    "no space before it": ("a: 1#one\n", {}),
    "in quotes": ("a: 'x # y' # z\nb: \"x # y\"\n", {0: 11}),
    "quotes over two lines": ("a: 'x\n  # y' # z\n", {1: 7}),
    "an apostrophe in a comment": ("a: 1 # it's\nb: 2 # that's\n", {0: 5, 1: 5}),
    "a block of text": ("a: |\n  x # y\n  # z\nb: 1 # one\n", {3: 5}),
    "in brackets": ("a: [1, # one\n  2] # two\n", {0: 7, 1: 5}),
}


@pytest.mark.parametrize("case", CASES)
def test_a_comment_begins_where_no_value_is(case: str) -> None:
    text, expected = CASES[case]
    assert comment_starts(text) == expected


@pytest.mark.parametrize("name", TEXTS)
def test_without_its_comments_a_kit_is_the_same_and_with_a_value_less_it_is_not(name: str) -> None:
    lines, starts = TEXTS[name].split("\n"), comment_starts(TEXTS[name])
    bare = [line[: starts.get(number, len(line))] for number, line in enumerate(lines)]
    assert starts
    assert yaml.safe_load("\n".join(bare)) == yaml.safe_load(TEXTS[name])
    assert comment_starts("\n".join(bare)) == {}
    assert [line for line in bare if line.lstrip().startswith("#")] == []


def test_of_a_broken_text_the_lines_before_the_fault_are_known() -> None:
    assert comment_starts("a: 1 # one\nb: [1 # two\nc: }\n")[0] == 5
