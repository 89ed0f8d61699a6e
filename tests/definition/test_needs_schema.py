"""The needs of kit.yaml: every kind is read and resolved; names and values that cannot be are told with their place."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitforge.definition.reader import read_definition
from kitforge.model.errors import UnreadableKitError
from kitforge.model.findings import Finding
from kitforge.model.kit import Kit
from kitforge.model.needs import (
    CountNeed,
    End,
    JointNeed,
    KeepNeed,
    LineNeed,
    PassageNeed,
    SeatNeed,
    SpacingNeed,
    Spread,
)
from kitforge.plugins import load_plugins
from kitforge.stages.read import read
from kitforge.stages.resolve import resolve

KIT = """\
kitforge: 1
kit: {title: Lamp base, slug: lamp-base, version: 1.0.0, author: Invented, licence: CC-BY-4.0, summary: A base.}
parameters: {cable: 5 mm, light: 60 mm}
stock:
  board: {material: black_walnut, thickness: {nominal: 20 mm, actual: 19.4 mm}, width: 200 mm, length: 300 mm}
cutters:
  mill: {kind: up-cut, diameter: 6 mm, cutting_length: 22 mm, shank: 6 mm, overall_length: 50 mm}
parts:
  base:
    stock: board
    outline: {rectangle: {size: [150, 150]}}
    operations:
      - {do: pocket, name: recess, cutter: mill, depth: 12 mm, shapes: [{circle: {centre: [75, 75], diameter: 62}}]}
      - {do: pocket, name: pegs, cutter: mill, depth: 8 mm, shapes: [{circle: {centre: [20, 20], diameter: 12}}]}
      - {do: profile, name: outline, cutter: mill}
  leg:
    stock: board
    outline: {rectangle: {size: [40, 90]}}
    operations: [{do: profile, name: outline, cutter: mill}]
needs:
"""
FIRST_NEED = KIT.count("\n") + 1


def resolved(need: str, tmp_path: Path) -> Kit:
    (tmp_path / "kit.yaml").write_text(f"{KIT}  - {{{need}}}\n", encoding="utf-8")
    plugins = load_plugins()
    return resolve(read(tmp_path), plugins)


def problem(need: str, tmp_path: Path) -> Finding:
    """The one problem with a need."""
    with pytest.raises(UnreadableKitError) as caught:
        resolved(need, tmp_path)
    (finding,) = caught.value.problems
    assert finding.source.line == FIRST_NEED
    return finding


def one(need: str, tmp_path: Path) -> object:
    (found,) = resolved(need, tmp_path).needs
    assert found.source.line == FIRST_NEED
    return found


def test_a_passage(tmp_path: Path) -> None:
    found = one("passage: {part: base, from: recess, width: = cable + 1 mm, height: cable, for: the cable}", tmp_path)
    assert isinstance(found, PassageNeed)
    expected = ("recess", End.OUTSIDE, 6.0, 5.0, False, "the cable")
    assert (found.start, found.end, found.width, found.height, found.round, found.use) == expected


def test_a_round_passage_to_a_face_or_another_feature(tmp_path: Path) -> None:
    found = one("passage: {part: base, from: recess, to: bottom, diameter: 1/4 in}", tmp_path)
    assert isinstance(found, PassageNeed)
    assert (found.end, found.width, found.height, found.round) == (End.BOTTOM, 6.35, 6.35, True)
    found = one("passage: {part: base, from: recess, to: pegs, width: 4 mm}", tmp_path)
    assert isinstance(found, PassageNeed)
    assert (found.end, found.height) == ("pegs", 4.0)


def test_a_seat(tmp_path: Path) -> None:
    found = one("holds: {part: base, in: recess, diameter: light, height: 12 mm, clearance: 0.5 mm}", tmp_path)
    assert isinstance(found, SeatNeed)
    assert (found.feature, found.size, found.round, found.height) == ("recess", (60.0, 60.0), True, 12.0)
    assert (found.clearance, found.proud, found.sunk, found.use) == (0.5, 0.0, None, None)
    found = one("holds: {part: base, in: recess, size: [40 mm, 20 mm], sunk: 0}", tmp_path)
    assert isinstance(found, SeatNeed)
    assert (found.size, found.round, found.sunk) == ((40.0, 20.0), False, 0.0)


def test_a_joint(tmp_path: Path) -> None:
    text = "mates: {slot: {part: base, feature: recess}, takes: {part: leg, width: 40 mm}, clearance: [0.1 mm, 0.4 mm]}"
    found = one(text, tmp_path)
    assert isinstance(found, JointNeed)
    assert (found.part, found.feature, found.at, found.takes) == ("base", "recess", None, "leg")
    assert (found.width, found.depth, found.clearance) == (40.0, None, (0.1, 0.4))
    at = "mates: {slot: {part: base, feature: outline, at: [5, 5]}, takes: {part: leg}, clearance: [0, 1], depth: 9 mm}"
    found = one(at, tmp_path)
    assert isinstance(found, JointNeed)
    assert (found.at, found.depth) == ((5.0, 5.0), 9.0)


def test_rows_and_wood_that_stays(tmp_path: Path) -> None:
    assert isinstance(one("count: {part: base, feature: pegs, count: = 2 - 1}", tmp_path), CountNeed)
    found = one("spacing: {part: base, features: [pegs, recess], pitch: 32 mm}", tmp_path)
    assert isinstance(found, SpacingNeed)
    assert (found.distance, found.spread, found.tolerance) == (32.0, Spread.ROW, 0.1)
    least = one("spacing: {part: base, features: [pegs], least: 20 mm}", tmp_path)
    assert isinstance(least, SpacingNeed)
    assert least.spread is Spread.LEAST
    pairs = one("spacing: {part: base, features: [pegs], pairs: 96 mm}", tmp_path)
    assert isinstance(pairs, SpacingNeed)
    assert (pairs.spread, pairs.distance) == (Spread.PAIRS, 96.0)
    assert isinstance(one("aligned: {part: base, features: [pegs], along: x}", tmp_path), LineNeed)
    kept = one("keeps: {part: base, floor: 4 mm, edge: 8 mm}", tmp_path)
    assert isinstance(kept, KeepNeed)
    assert (kept.floor, kept.wall, kept.edge, kept.features) == (4.0, None, 8.0, ())


@pytest.mark.parametrize(("named", "meant"), [("all", ["base", "leg"]), ("[leg, base]", ["leg", "base"])])
def test_wood_that_stays_is_asked_of_several_parts_at_once(named: str, meant: list[str], tmp_path: Path) -> None:
    found = resolved(f"keeps: {{part: {named}, edge: 8 mm}}", tmp_path).needs
    assert [(need.part, need.edge) for need in found if isinstance(need, KeepNeed)] == [(part, 8.0) for part in meant]


def test_a_part_of_the_name_all_is_that_part(tmp_path: Path) -> None:
    (tmp_path / "kit.yaml").write_text(KIT.replace("  leg:", "  all:") + "  - keeps: {part: all, edge: 8 mm}\n")
    found = resolve(read(tmp_path), load_plugins()).needs
    assert [need.part for need in found if isinstance(need, KeepNeed)] == ["all"]


@pytest.mark.parametrize(
    ("need", "code", "said"),
    [
        ("passage: {part: bass, from: recess, width: 5}", "unknown-name", "Did you mean 'base'?"),
        ("passage: {part: base, from: reces, width: 5}", "unknown-name", "Did you mean 'recess'?"),
        ("passage: {part: base, from: recess, to: outsid, width: 5}", "unknown-name", "Did you mean 'outside'?"),
        ("holds: {part: base, in: peg, diameter: 5}", "unknown-name", "Did you mean 'pegs'?"),
        ("count: {part: base, feature: holes, count: 2}", "unknown-name", "no operation of the part 'base' 'holes'"),
        (
            "module: {part: base, pitch: 40, field: 80, mixes: [{bse: 2}]}",
            "unknown-name",
            "Did you mean 'base'?",
        ),
        (
            "module: {part: base, pitch: [40, 40], field: 80, mixes: [{base: 2}]}",
            "wrong-value",
            "both as [x, y]",
        ),
        (
            "mates: {slot: {part: base, feature: recess}, takes: {part: log}, clearance: [0, 1]}",
            "unknown-name",
            "Did you mean 'leg'?",
        ),
        ("passage: {part: base, from: recess, to: recess, width: 5}", "wrong-value", "begins and ends in 'recess'"),
        ("passage: {part: base, from: recess, width: 0}", "bad-number", "is not above zero"),
        ("passage: {part: base, from: recess, width: = cabel}", "bad-expression", "cabel"),
        (
            "mates: {slot: {part: base, feature: recess}, takes: {part: leg}, clearance: [1, 0]}",
            "bad-number",
            "Write [least, most].",
        ),
        (
            "mates: {slot: {part: base, feature: recess}, takes: {part: leg}, clearance: [0, 1], depth: 5}",
            "wrong-value",
            "only used in a slot `at` a point",
        ),
        ("passage: {part: base, from: recess, width: 5, diameter: 5}", "wrong-value", "either width (and height)"),
        ("passage: {part: base, from: recess}", "wrong-value", "either width (and height) or diameter"),
        ("holds: {part: base, in: recess}", "wrong-value", "either a diameter or a size"),
        ("spacing: {part: base, features: [pegs]}", "wrong-value", "one of pitch, pairs or least"),
        ("keeps: {part: base}", "wrong-value", "floor, wall or edge"),
        ("keeps: {part: [base, legg], floor: 1}", "unknown-name", "Did you mean 'leg'?"),
        ("keeps: {part: all, features: [pegs], floor: 1}", "wrong-value", "features are named of 2 parts at once"),
        (
            "count: {part: base, feature: pegs, count: 1}, keeps: {part: base, floor: 1}",
            "wrong-value",
            "exactly one of",
        ),
        ("passage: {part: base, fro: recess, width: 5, from: pegs}", "unknown-key", "Did you mean 'from'?"),
        ("pasage: {part: base}", "unknown-key", "Did you mean 'passage'?"),
    ],
)
def test_a_mistake_is_told_in_plain_words(need: str, code: str, said: str, tmp_path: Path) -> None:
    if code == "unknown-key":
        findings = read_definition(f"{KIT}  - {{{need}}}\n".encode(), "kit.yaml")[2]
        finding = next(one for one in findings if one.code == code)
    else:
        finding = problem(need, tmp_path)
    assert finding.code == code
    assert said in f"{finding.message!s} {finding.advice!s}"
    assert finding.source.column > 1


def test_a_word_for_an_end_may_be_an_operation_too(tmp_path: Path) -> None:
    """An operation named like an end is meant before the end is: its own words count most."""
    text = KIT.replace("name: pegs", "name: outside")
    (tmp_path / "kit.yaml").write_text(f"{text}  - passage: {{part: base, from: recess, to: outside, width: 5}}\n")
    (found,) = resolve(read(tmp_path), load_plugins()).needs
    assert isinstance(found, PassageNeed)
    assert not isinstance(found.end, End)
