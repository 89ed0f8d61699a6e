"""`pictures` in kit.yaml: shapes in mm, directions as vectors, and mistakes told with their line. Invented kit."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from kitforge.model.errors import UnreadableKitError
from kitforge.model.findings import Finding
from kitforge.model.kit import Kit
from kitforge.model.pictures import BallShape, PicturePose, PlateShape, StandInMaterial, TurnedShape
from kitforge.pipeline import load_kit
from kitforge.plugins import load_plugins
from kitforge.testing import SmallKit
from kitforge_listing.check import check_cover


def loaded(folder: Path, pictures: str, use: str = "indoors") -> Kit:
    """The small kit with a `pictures` group at its end."""
    small = SmallKit(folder).change("count: 2", "count: 1")
    text = small.file.read_text(encoding="utf-8")
    text, count = re.subn(r"\n  use: [^\n]*", f"\n  use: {use}", text)
    assert count == 1
    small.file.write_text(f"{text}\npictures:\n{pictures}", encoding="utf-8")
    return load_kit(small.folder, load_plugins())


def beside(*entries: str) -> str:
    return "  beside:\n" + "".join(f"    - {entry}\n" for entry in entries)


def test_shapes_places_and_directions(tmp_path: Path) -> None:
    made = loaded(
        tmp_path,
        "  pose: upright\n"
        + beside(
            '{ball: 16 mm, at: [[1 cm, 0, 8 mm], [0, 0, 0]], colour: "#aabbcc", of: glass, for: marbles, step: 1}',
            '{turned: [[0, 0], [2 cm, 0], [2 cm, 0], [1 cm, 3 cm]], at: [[0, 0, 0]], colour: "#aabbcc", face: front}',
            '{plate: [[0, 0], [0, 9 mm], [9 mm, 0]], thick: 1 mm, turn: {z: 90}, at: [[0, 0, 0]], colour: "#aabbcc"}',
        ),
    ).pictures
    ball, turned, plate = made.beside
    assert made.pose is PicturePose.UPRIGHT
    assert (ball.shape, ball.material, ball.use) == (BallShape(8.0), StandInMaterial.GLASS, "marbles")
    assert (ball.step, turned.step) == (0, None)
    assert ball.places == ((10.0, 0.0, 8.0), (0.0, 0.0, 0.0))
    # Two points on each other are one, and the axis looks to the front: x × y = (0, -1, 0).
    assert turned.shape == TurnedShape(((0.0, 0.0), (20.0, 0.0), (10.0, 30.0)))
    assert (turned.x, turned.y) == ((1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    # Corners given clockwise are turned round; a quarter turn brings x to y.
    assert plate.shape == PlateShape(((9.0, 0.0), (0.0, 9.0), (0.0, 0.0)), 1.0)
    assert plate.x == pytest.approx((0.0, 1.0, 0.0))


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ('{at: [[0, 0, 0]], colour: "#aabbcc"}', "give one shape"),
        ('{ball: 1 mm, plate: [[0, 0], [1, 0], [0, 1]], thick: 1, at: [[0, 0, 0]], colour: "#aabbcc"}', "one shape"),
        ('{plate: [[0, 0], [1, 0], [0, 1]], at: [[0, 0, 0]], colour: "#aabbcc"}', "so and so `thick`"),
        ('{plate: [[0, 0], [1, 0], [2, 0]], thick: 1, at: [[0, 0, 0]], colour: "#aabbcc"}', "enclose nothing"),
        ('{turned: [[0, 0], [0, 9]], at: [[0, 0, 0]], colour: "#aabbcc"}', "a profile of no size"),
        ('{ball: 9 mm, at: [[0, 0, = nowhere]], colour: "#aabbcc"}', "nowhere"),
        ('{ball: 9 mm, at: [[0, 0, 0]], colour: "#aabbcc", step: 9}', "there is no assembly step 9"),
        ('{ball: 9 mm, at: [], colour: "#aabbcc"}', "1"),
        ('{ball: 9 mm, at: [[0, 0, 0]], colour: "red"}', "colour"),
    ],
)
def test_mistakes_name_their_line(tmp_path: Path, entry: str, said: str) -> None:
    with pytest.raises(UnreadableKitError) as caught:
        loaded(tmp_path, beside(entry))
    finding = caught.value.problems[0]
    lines = (tmp_path / "kit.yaml").read_text(encoding="utf-8").splitlines()
    assert lines[finding.source.line - 1].strip().startswith(("- {", "beside"))
    assert said in f"{finding.message!s} {finding.advice!s}"


def test_strangers_cannot_ask_for_endless_pictures(tmp_path: Path) -> None:
    """What is drawn is bounded over all places."""
    places = ", ".join(["[0, 0, 0]"] * 100)
    many = f'{{turned: [[0, 0], [9, 0], [9, 9], [8, 9], [0, 9]], at: [{places}], colour: "#aabbcc"}}'
    with pytest.raises(UnreadableKitError) as caught:
        loaded(tmp_path, beside(many))
    assert "400 bands and edges" in str(caught.value.problems[0].message)


def covers(kit: Kit) -> list[Finding]:
    return list(check_cover(kit))


def test_a_cover_that_would_lie_wrong_is_told(tmp_path: Path) -> None:
    """A piece for the wall is asked for its pose; any answer is one."""
    (found,) = covers(loaded(tmp_path / "a", "  beside: []\n", use="[indoors, wall]"))
    assert found.code == "cover-lying"
    assert covers(loaded(tmp_path / "b", "  pose: upright\n", use="[indoors, wall]")) == []
    assert covers(loaded(tmp_path / "c", "  pose: lying\n", use="[indoors, wall]")) == []
    assert covers(loaded(tmp_path / "d", "  beside: []\n")) == []


def test_a_cover_of_loose_parts_is_told(tmp_path: Path) -> None:
    """Parts that an assembly step puts together are one piece; several copies of one part are a set."""
    one = loaded(tmp_path, "  beside: []\n")
    step = one.assembly[0]
    other = replace(one.parts[0], key="other")
    loose = replace(one, parts=(*one.parts, other), assembly=(replace(step, parts=(*step.parts, "other")),))
    assert [found.code for found in covers(loose)] == ["cover-loose"]
    assert covers(replace(one, parts=(replace(one.parts[0], count=2),))) == []
