"""The YAML reader: plain words stay text, every problem has a line and column, nothing is expanded."""

from __future__ import annotations

import pytest

from kitforge.definition.yaml_reader import read_yaml


def problems(text: str | bytes) -> list[tuple[str, int, int]]:
    """Code, line and column of every problem."""
    data = text.encode() if isinstance(text, str) else text
    return [(f.code, f.source.line, f.source.column) for f in read_yaml(data, "kit.yaml")[2]]


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("true", True),
        ("false", False),
        ("null", None),
        ("~", None),
        ("", None),
        ("12", 12),
        ("-3", -3),
        ("1.5", 1.5),
        (".5", 0.5),
        ("1e3", 1000.0),
        ("on", "on"),
        ("no", "no"),
        ("yes", "yes"),
        ("y", "y"),
        ("010", "010"),
        ("0x10", "0x10"),
        ("1_000", "1_000"),
        ("12:30", "12:30"),
        ("2024-01-02", "2024-01-02"),
        ("1.0.0", "1.0.0"),
        (".inf", ".inf"),
        (".nan", ".nan"),
        ("=", "="),
        ("'12'", "12"),
        ("= a * 2", "= a * 2"),
        ("1/4 in", "1/4 in"),
    ],
)
def test_plain_values(written: str, expected: object) -> None:
    """The core schema of YAML 1.2 without octal and special numbers; the YAML 1.1 surprises stay text."""
    tree, _, found = read_yaml(f"key: {written}\n".encode(), "kit.yaml")
    assert (tree, found) == ({"key": expected}, [])
    assert isinstance(tree, dict)
    assert type(tree["key"]) is type(expected)


def test_positions_of_keys_values_and_list_entries() -> None:
    _, where, _ = read_yaml(b"a:\n  b: [1, {c: 2}]\n  d:\n    - x\n    - y\n", "kit.yaml")
    assert str(where.key("a", "b")) == "kit.yaml:2:3"
    assert str(where.of("a", "b", 1, "c")) == "kit.yaml:2:14"
    assert str(where.of("a", "d", 1)) == "kit.yaml:5:7"
    assert str(where.of("a", "d", 1, "not", "written")) == "kit.yaml:5:7"
    assert str(where.of("z")) == "kit.yaml:1:1"


def test_a_duplicate_key_names_both_lines() -> None:
    _, _, (found,) = read_yaml(b"a: 1\nb: 2\na: {c: 1}\n", "kit.yaml")
    assert (found.code, str(found.source)) == ("yaml-duplicate-key", "kit.yaml:3:1")
    assert "in line 1 and in line 3" in str(found.message)


def test_anchors_aliases_merge_keys_and_tags_are_all_reported_at_once() -> None:
    text = "a: &x {b: 1}\nc: *x\nd:\n  <<: *x\n  e: !!str 5\nf: !python/object:os.system {}\n"
    assert problems(text) == [
        ("yaml-alias", 1, 4),
        ("yaml-alias", 2, 4),
        ("yaml-alias", 4, 3),
        ("yaml-alias", 4, 7),
        ("yaml-tag", 5, 6),
        ("yaml-tag", 6, 4),
    ]


@pytest.mark.timeout(20)
def test_an_alias_bomb_is_refused_in_no_time() -> None:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 12)]
    assert {code for code, _, _ in problems("\n".join(lines))} == {"yaml-alias"}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("- a\n- b\n", ("yaml-root", 1, 1)),
        ("just words\n", ("yaml-root", 1, 1)),
        ("", ("yaml-root", 1, 1)),
        ("# only a comment\n", ("yaml-root", 1, 1)),
        ("a: 1\n---\nb: 2\n", ("yaml-documents", 2, 1)),
        ("a: [1, 2\nb: 3\n", ("yaml-syntax", 2, 2)),
        ("a: 'x\n", ("yaml-syntax", 2, 1)),
        ("a: b: c\n", ("yaml-syntax", 1, 5)),
        ("a:\n\tb: 1\n", ("yaml-syntax", 2, 1)),
        ("a: 1\n  b: 2\n", ("yaml-syntax", 2, 4)),
        ("a: @x\n", ("yaml-syntax", 1, 4)),
        ("a: 1e999\n", ("bad-number", 1, 4)),
        ("? [x, y]\n: 1\nb: 2\n", ("yaml-key", 1, 3)),
        ("a: " + "[" * 60 + "]" * 60, ("yaml-too-deep", 1, 53)),
    ],
)
def test_broken_yaml(text: str, expected: tuple[str, int, int]) -> None:
    assert problems(text) == [expected]


def test_control_characters_and_other_encodings() -> None:
    assert problems(b"a: \x01\n") == [("yaml-syntax", 0, 0)]
    assert problems("a: 1\nb: gr\u00fcn\n".encode("latin-1")) == [("yaml-encoding", 2, 6)]
    assert problems("a: 1\n".encode("utf-16"))[0][0] == "yaml-encoding"
    assert problems(b"\xef\xbb\xbfa: 1\n") == []


def test_size_is_bounded() -> None:
    assert problems(b"a: 1\n" + b"# \n" * 400_000) == [("file-too-large", 0, 0)]


@pytest.mark.timeout(20)
@pytest.mark.parametrize("text", ["[" * 900, "[" * 500_000, "a: " * 300_000, "- " * 300_000, "{a: " * 200_000])
def test_deep_nesting_is_stopped_before_it_costs_anything(text: str) -> None:
    assert problems(text)[0][0] in ("yaml-too-deep", "yaml-syntax")
