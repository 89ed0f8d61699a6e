"""The wall clock: two faces in the right order, numerals where they belong, and needs that miss what is forgotten."""

from __future__ import annotations

import math
import pathlib
import re
from dataclasses import replace

import pytest
from kit_samples import sample

from kitforge.model.errors import UnreadableKitError
from kitforge.model.kit import Face, Kit, Operation, OperationKind, Part
from kitforge.model.path import Bounds
from kitforge.model.plan import Plan
from kitforge.pipeline import load_kit
from kitforge.planning.layers import pack_drawings
from kitforge.plugins import load_plugins
from kitforge.stages.planning import plan
from kitforge_needs import kitforge_check

CLOCK = pathlib.Path(__file__).parents[2] / "kits" / "wall-clock"


@pytest.fixture(scope="module")
def kit() -> Kit:
    return sample("wall-clock").kit


@pytest.fixture(scope="module")
def planned() -> Plan:
    return sample("wall-clock").plan


def operation(part: Part, name: str) -> Operation:
    return next(own for own in part.operations if own.name == name)


def missed(kit: Kit, name: str, **new: object) -> list[str]:
    """Return what the needs tell when one feature is made differently; no need is about what is engraved."""
    face = kit.part("face")
    kept = [o for o in face.operations if o.does is not OperationKind.ENGRAVE]
    own = tuple(replace(o, **new) if o.name == name else o for o in kept)  # type: ignore[arg-type]
    other = replace(kit, parts=(replace(face, operations=own),), machines=kit.machines[:1])
    return [f.code for f in kitforge_check(other, plan(other, load_plugins())) if f.severity == "error"]


def test_the_back_is_cut_before_the_face_that_frees_the_clock(planned: Plan) -> None:
    assert [setup.face for setup in planned.setups] == [Face.BOTTOM, Face.TOP]
    assert [step.face for step in planned.steps] == sorted((step.face for step in planned.steps), key=Face.TOP.__eq__)
    assert [step.operation.name for step in planned.steps if planned.frees(step)] == [planned.steps[-1].operation.name]


def test_the_shallow_recess_of_the_hanger_comes_before_the_deep_slot_in_it(planned: Plan) -> None:
    names = [step.operation.name for step in planned.steps]
    assert names.index("hanger-plate") < names.index("hanger-slot")


def test_the_drawing_of_the_back_is_turned_about_the_middle_of_the_blank(kit: Kit, planned: Plan) -> None:
    """Only the words on the back differ left from right: their drawing is the mirror image of where they lie."""
    face, (place,) = kit.part("face"), planned.sheets[0].placements
    words = operation(face, "battery-words")
    drawn = next(d for d in pack_drawings(planned, kit.parts) if d.name == "sheet-blank-1-bottom")
    length = face.stock.length
    lying = {_rounded(path.bounds) for path in drawn.layers[words.name.upper()]}
    meant = {
        _rounded(Bounds(length - b.right - place.x, b.bottom + place.y, length - b.left - place.x, b.top + place.y))
        for b in (path.bounds for path in words.shapes)
    }
    assert meant == lying


def _rounded(box: Bounds) -> tuple[float, ...]:
    return tuple(round(value, 6) for value in box)


def test_the_words_on_the_back_read_right_from_behind(kit: Kit) -> None:
    """'AA 1.5 V' seen from the top face runs from right to left: the wide letters A stand on the right."""
    words = sorted((path.bounds for path in operation(kit.part("face"), "battery-words").shapes), key=lambda b: b.right)
    letter_v, letter_a = words[0], words[-1]
    assert letter_a.left > 0 > letter_v.right


def test_each_numeral_stands_at_its_hour(kit: Kit) -> None:
    """Twelve groups of outlines, one at each of the twelve directions, 86 mm from the middle (1 mm for the shapes)."""
    boxes = [path.bounds for path in operation(kit.part("face"), "numerals").shapes]
    hours: dict[int, list[Bounds]] = {}
    for box in boxes:
        x, y = box.centre
        hours.setdefault(round(math.degrees(math.atan2(x, y)) / 30) % 12 or 12, []).append(box)
    assert list(range(1, 13)) == sorted(hours)
    for hour, own in hours.items():
        middle = (min(b.bottom for b in own) + max(b.top for b in own)) / 2
        assert middle == pytest.approx(86 * math.cos(math.radians(30 * hour)), abs=1.0)


def test_sixty_marks_stand_six_degrees_apart(kit: Kit) -> None:
    """Minutes and hours together fill the circle evenly: 360 degrees / 60."""
    face = kit.part("face")
    marks = [*operation(face, "minutes").shapes, *operation(face, "hours").shapes]
    angles = sorted(math.degrees(math.atan2(p.bounds.centre[1], p.bounds.centre[0])) % 360 for p in marks)
    assert [6.0 * number for number in range(60)] == pytest.approx([round(a, 6) % 360 for a in sorted(angles)], abs=0.3)


def test_the_wood_in_front_of_the_movement_suits_its_shaft(kit: Kit) -> None:
    face = kit.part("face")
    left = face.stock.actual - operation(face, "movement-recess").depth
    assert 6.0 <= left <= 7.0


@pytest.mark.parametrize("feature", ["movement-recess", "hanger-slot", "hours"])
def test_a_feature_left_out_of_the_kit_is_told_at_its_need(tmp_path: pathlib.Path, feature: str) -> None:
    text = (CLOCK / "kit.yaml").read_text(encoding="utf-8")
    (tmp_path / "kit.yaml").write_text(re.sub(rf"      - name: {feature}\n(?: {{7}}.*\n)+", "", text), encoding="utf-8")
    with pytest.raises(UnreadableKitError) as told:
        load_kit(tmp_path, load_plugins())
    assert {"unknown-name"} == {problem.code for problem in told.value.problems}
    assert all(feature in str(problem.message) for problem in told.value.problems)


@pytest.mark.parametrize(
    ("feature", "new", "code"),
    [
        pytest.param("shaft-hole", {"through": False, "depth": 4.0}, "need-passage", marks=pytest.mark.soak),
        pytest.param("movement-recess", {"depth": 18.5}, "need-keeps", marks=pytest.mark.soak),
        ("movement-recess", {"depth": 15.0}, "need-holds"),
        ("hanger-slot", {"depth": 3.0}, "need-holds"),
        ("hanger-screws", {"points": ((3.0, 74.5), (3.0, 109.5))}, "need-aligned"),
        pytest.param("hanger-screws", {"points": ((0.0, 74.5), (0.0, 107.5))}, "need-spacing", marks=pytest.mark.soak),
        pytest.param("hours", {"shapes": ()}, "need-count", marks=pytest.mark.soak),
    ],
)
def test_a_need_fails_without_its_feature(kit: Kit, feature: str, new: dict[str, object], code: str) -> None:
    assert code in missed(kit, feature, **new)
