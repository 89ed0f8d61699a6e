"""`together` in kit.yaml: words for directions become vectors, every copy has one place, mistakes are told plainly."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from kitforge.definition.json_schema import json_schema
from kitforge.model.errors import UnreadableKitError
from kitforge.model.findings import Finding
from kitforge.model.kit import AssemblyPose, Kit
from kitforge.plugins import load_plugins
from kitforge.stages.read import read
from kitforge.stages.resolve import resolve

KIT = """\
kitforge: 1
kit: {title: Book end, slug: book-end, version: 1.0.0, author: Invented, licence: CC-BY-4.0, summary: Two boards.}
parameters: {thick: 19.4 mm}
stock:
  board: {material: black_walnut, thickness: {nominal: 20 mm, actual: thick}, width: 200 mm, length: 600 mm}
cutters:
  mill: {kind: up-cut, diameter: 6 mm, cutting_length: 22 mm, shank: 6 mm, overall_length: 50 mm}
parts:
  foot:
    stock: board
    outline: {rectangle: {size: [150, 100]}}
    operations: [{do: profile, name: outline, cutter: mill}]
  wall:
    stock: board
    count: 2
    outline: {rectangle: {size: [120, 100]}}
    operations: [{do: profile, name: outline, cutter: mill}]
assembly:
  - {text: Try it., parts: [foot, wall], dry: true}
  - {text: Screw the first wall on., parts: [foot, wall]}
  - {text: And the second., parts: [wall]}
together:
"""
FOOT = "{part: foot, at: [0, 0, thick]}"
WALL = "{part: wall, at: [0, 0, thick], face: left}"
RIGHT = "{part: wall, at: [= 150 mm, 0, thick], face: right, step: 3}"
FIRST = KIT.count("\n") + 1


def resolved(folder: Path, *entries: str, text: str = KIT) -> Kit:
    (folder / "kit.yaml").write_text(text + "".join(f"  - {entry}\n" for entry in entries), encoding="utf-8")
    return resolve(read(folder), load_plugins())


def problem(folder: Path, *entries: str) -> Finding:
    """The one problem of a list of places."""
    with pytest.raises(UnreadableKitError) as caught:
        resolved(folder, *entries)
    (finding,) = caught.value.problems
    return finding


def wall(folder: Path, more: str) -> AssemblyPose:
    """The first wall, as it is resolved with these keys."""
    return resolved(folder, FOOT, f"{{part: wall, {more}}}", RIGHT).together[1]


def rounded(vector: tuple[float, ...]) -> tuple[float, ...]:
    return tuple(round(value, 9) + 0.0 for value in vector)


def test_every_copy_stands_where_it_is_written(tmp_path: Path) -> None:
    """Places may be expressions; each remembers its line, and the step that puts it in: a trial does not."""
    kit = resolved(tmp_path, FOOT, WALL, RIGHT)
    assert [(one.part, one.step) for one in kit.together] == [("foot", 1), ("wall", 1), ("wall", 2)]
    assert [one.source.line for one in kit.together] == [FIRST, FIRST + 1, FIRST + 2]
    assert [one.at for one in kit.together] == [(0.0, 0.0, 19.4), (0.0, 0.0, 19.4), (150.0, 0.0, 19.4)]


@pytest.mark.parametrize(
    ("words", "along_x", "along_y"),
    [
        ("face: up", (1, 0, 0), (0, 1, 0)),
        ("face: down", (1, 0, 0), (0, -1, 0)),
        ("face: front", (1, 0, 0), (0, 0, 1)),
        ("face: back", (-1, 0, 0), (0, 0, 1)),
        ("face: left", (0, -1, 0), (0, 0, 1)),
        ("face: right", (0, 1, 0), (0, 0, 1)),
        ("face: left, x: up", (0, 0, 1), (0, 1, 0)),
        ("face: up, turn: {z: 90}", (0, 1, 0), (-1, 0, 0)),
        ("face: up, turn: {x: 90}", (1, 0, 0), (0, 0, 1)),
        ("face: up, turn: {y: 90}", (0, 0, -1), (0, 1, 0)),
        ("face: up, turn: {x: 90, z: 90}", (0, 1, 0), (0, 0, 1)),
    ],
)
def test_directions(tmp_path: Path, words: str, along_x: tuple[int, ...], along_y: tuple[int, ...]) -> None:
    """Without `x` one reads the drawing upright when one looks at the face; turns go about x, then y, then z."""
    found = wall(tmp_path, f"at: [0, 0, 0], {words}")
    assert (along_x, along_y) == (rounded(found.along_x), rounded(found.along_y))


def test_a_turn_of_any_angle_keeps_right_angles(tmp_path: Path) -> None:
    """A roof of 12 degrees falls by the tangent of 12 degrees."""
    found = wall(tmp_path, "at: [0, 0, 0], face: up, x: back, turn: {x: -12}")
    assert math.tan(math.radians(-12)) == pytest.approx(found.along_x[2] / found.along_x[1])
    assert sum(a * b for a, b in zip(found.along_x, found.along_y, strict=True)) == pytest.approx(0)


def test_the_middle_may_be_given_instead_of_the_zero_point(tmp_path: Path) -> None:
    """The middle of a standing wall of 120 x 100 mm is 60 mm along its x and 50 mm along its y from its zero point."""
    found = wall(tmp_path, "centre: [10, 20, 30], face: front")
    assert rounded(found.at) == (10 - 60, 20.0, 30 - 50)


def test_a_pull_is_a_direction_or_a_length(tmp_path: Path) -> None:
    found = wall(tmp_path, "at: [0, 0, 0], pull: up")
    assert (found.pull, found.pull_by) == ((0, 0, 1), None)
    found = wall(tmp_path, "at: [0, 0, 0], pull: [30 mm, 0, 40 mm]")
    assert (rounded(found.pull or ()), found.pull_by) == ((0.6, 0, 0.8), 50)


@pytest.mark.parametrize(
    ("entry", "code", "said"),
    [
        ("{part: wal, at: [0, 0, 0]}", "unknown-name", "Did you mean 'wall'?"),
        ("{part: wall, at: [0, 0, 0], face: outside}", "wrong-value", "right"),
        ("{part: wall, at: [0, 0, 0], face: left, x: right}", "wrong-value", "a face that looks left has no x"),
        ("{part: wall, at: [0, 0, 0], centre: [0, 0, 0]}", "wrong-value", "either `at`"),
        ("{part: wall}", "wrong-value", "either `at`"),
        ("{part: wall, at: [0, 0]}", "wrong-value", "3"),
        ("{part: wall, at: [0, 0, 30 m]}", "bad-number", "is not between"),
        ("{part: wall, at: [0, 0, = thik]}", "bad-expression", "thik"),
        ("{part: wall, at: [0, 0, 0], turn: {x: 500}}", "bad-number", "is not between -360 and 360"),
        ("{part: wall, at: [0, 0, 0], turn: {w: 90}}", "unknown-key", "w"),
        ("{part: wall, at: [0, 0, 0], pull: [0, 0, 0]}", "bad-number", "a pull of no length"),
        ("{part: wall, at: [0, 0, 0], step: 4}", "wrong-value", "there is no assembly step 4; the last one is 3"),
    ],
)
def test_mistakes_name_their_line(tmp_path: Path, entry: str, code: str, said: str) -> None:
    with pytest.raises(UnreadableKitError) as caught:
        resolved(tmp_path, FOOT, entry, RIGHT)
    finding = next(one for one in caught.value.problems if one.code == code)
    assert finding.source.line == FIRST + 1
    assert said in f"{finding.message!s} {finding.advice!s}"


def test_more_places_than_copies_are_told_at_the_first_too_many(tmp_path: Path) -> None:
    found = problem(tmp_path, FOOT, WALL, RIGHT, WALL)
    assert (found.code, found.source.line) == ("together-count", FIRST + 3)
    assert "3 places for 2 copies of 'wall'" in str(found.message)


def test_fewer_places_than_copies_are_told(tmp_path: Path) -> None:
    found = problem(tmp_path, FOOT, WALL)
    assert (found.code, found.source.line) == ("together-count", FIRST + 1)
    assert "1 place for 2 copies of 'wall'" in str(found.message)


def test_a_part_that_stands_nowhere_is_a_warning(tmp_path: Path) -> None:
    """It may be a jig, which is no part of the finished piece."""
    (found,) = resolved(tmp_path, WALL, RIGHT).problems
    assert (found.code, found.part, found.source.line) == ("together-missing", "foot", 9)


def test_more_than_two_hundred_places_are_refused(tmp_path: Path) -> None:
    assert "200" in str(problem(tmp_path, *[WALL] * 201).message)


def test_without_places_there_is_nothing_to_say(tmp_path: Path) -> None:
    kit = resolved(tmp_path, text=KIT.replace("together:\n", ""))
    assert (kit.together, kit.problems) == ((), ())


def test_editors_know_the_key() -> None:
    """The JSON Schema describes places, so that an editor completes them."""
    schema = json_schema()
    assert schema["properties"]["together"]["maxItems"] == 200
    assert {"part", "at", "centre", "face", "x", "turn", "pull", "step"} == set(
        schema["$defs"]["StandingEntry"]["properties"]
    )
