"""Which lines of kit.yaml make what: read from the text by the rules of YAML, on the starter kit and all demo kits."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from kit_samples import plugins

from kitforge.live.blocks import TextBlock, blocks_by_line, blocks_of
from kitforge.pipeline import load_kit
from kitforge.stages.read import read
from kitforge.testing import SmallKit

KITS = Path(__file__).parents[2] / "kits"
DEMO = sorted(path.parent.name for path in KITS.glob("*/kit.yaml"))


def blocks(folder: Path) -> tuple[list[str], tuple[TextBlock, ...]]:
    written = read(folder)
    return written.text.split("\n"), blocks_of(load_kit(folder, plugins()), written.where)


def node_lines(text: str) -> dict[tuple[str, ...], tuple[int, int]]:
    """Return first and last line of parts and operations as PyYAML's own nodes have them; without comments."""
    root = yaml.compose(text, Loader=yaml.SafeLoader)
    assert root is not None
    found: dict[tuple[str, ...], tuple[int, int]] = {}
    parts = next(value for key, value in root.value if key.value == "parts")
    for key, part in parts.value:
        found["part", key.value] = (key.start_mark.line + 1, _last(part))
        entries = {name.value: value for name, value in part.value}
        for operation in entries["operations"].value if "operations" in entries else ():
            name = next(value.value for word, value in operation.value if word.value == "name")
            found["operation", key.value, name] = (operation.start_mark.line + 1, _last(operation))
    return found


def _last(node: yaml.Node) -> int:
    """Return the last line that holds something of a node: block nodes end where the next one begins."""
    if isinstance(node, yaml.ScalarNode) or getattr(node, "flow_style", False):
        return node.end_mark.line + (1 if node.end_mark.column else 0)
    inside = [one for pair in node.value for one in (pair if isinstance(pair, tuple) else (pair,))]
    return max(map(_last, inside), default=node.start_mark.line + 1)


@pytest.mark.parametrize("name", DEMO)
def test_blocks_are_those_of_another_reader_of_yaml(name: str) -> None:
    lines, found = blocks(KITS / name)
    theirs = node_lines("\n".join(lines))
    written = {part.key: part.piece_of.part for part in load_kit(KITS / name, plugins()).parts if part.piece_of}
    ours = {(b.kind, written.get(b.keys[0], b.keys[0]), *b.keys[1:]): (b.first, b.last) for b in found}
    same = {thing: ours[thing] for thing in theirs if thing in ours}
    assert same == {thing: theirs[thing] for thing in same}
    assert len(same) >= len(theirs) * 0.9  # an operation without a name of its own is counted by its place


def test_each_line_lies_in_blocks_inside_one_another(tmp_path: Path) -> None:
    kit = SmallKit(tmp_path / "kit")
    lines, found = blocks(kit.folder)
    by_number = {block.number: block for block in found}
    at = next(number for number, line in enumerate(lines) if "name: recess" in line)
    assert [(by_number[n].kind, by_number[n].keys) for n in blocks_by_line(found, len(lines))[at]] == [
        ("part", ("sign",)), ("operation", ("sign", "recess")),
    ]  # fmt: skip
    count = next(number for number, line in enumerate(lines) if line.strip() == "count: 2")
    assert [by_number[n].kind for n in blocks_by_line(found, len(lines))[count]] == ["part"]
    flutes = next(number for number, line in enumerate(lines) if "kind: v-bit" in line)
    assert [by_number[n].keys for n in blocks_by_line(found, len(lines))[flutes]] == [("v60",)]
    assert blocks_by_line(found, len(lines))[0] == ()


def test_an_entry_in_brackets_ends_with_its_bracket_whatever_comments_say(tmp_path: Path) -> None:
    kit = SmallKit(tmp_path / "kit")
    text = kit.file.read_text(encoding="utf-8")
    start, end = text.index("      - name: recess"), text.index("      - name: line")
    keys = [line.strip().removeprefix("- ").partition(" #")[0] for line in text[start:end].splitlines()]
    inside = "".join(f"        {line}, # nor 'here\n" for line in keys)
    kit.file.write_text(
        f"{text[:start]}      - {{ # don't }} close\n{inside}        }}\n{text[end:]}", encoding="utf-8"
    )
    lines, found = blocks(kit.folder)
    recess = next(block for block in found if block.keys == ("sign", "recess"))
    assert (lines[recess.first - 1].strip()[:3], lines[recess.last - 1]) == ("- {", "        }")
