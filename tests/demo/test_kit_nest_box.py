"""The nest box against the published guidance that its notes name, and its needs with things forgotten."""

from __future__ import annotations

import pathlib
import re
from dataclasses import replace

import pytest
from kit_samples import sample

from kitforge.geometry.shapes import circle, rectangle
from kitforge.model.errors import UnreadableKitError
from kitforge.model.kit import Kit, Operation, Part
from kitforge.pipeline import load_kit
from kitforge.plugins import load_plugins
from kitforge.stages.planning import plan
from kitforge_needs import kitforge_check

NEST_BOX = pathlib.Path(__file__).parents[2] / "kits" / "nest-box"

# Royal Society for the Protection of Birds, advice on nest boxes: 32 mm for house sparrows and nuthatches, and 125 mm
# or more from the floor to the hole. US Fish and Wildlife Service, For the Birds, nest box dimensions: titmouse, floor
# 4 x 4 in, box 10 to 12 in high, entrance 6 to 10 in up and 1 1/4 in wide. British Trust for Ornithology, Nest boxes:
# your essential guide: 15 cm across inside, hole 12 cm above the floor, walls of 15 mm. US Department of Agriculture,
# National Biology Manual part 519, exhibit FL519.2 (2002): floor recessed by 1/4 in, roof 2 in over the front.
ENTRANCE = (1.25 * 25.4, 32.0)
LEAST_ACROSS = 150.0
LEAST_WALL = 15.0
LEAST_UP = 125.0
TITMOUSE_UP = (6 * 25.4, 10 * 25.4)
LEAST_RECESS = 6.0  # 1/4 in, rounded as the exhibit rounds
LEAST_OVERHANG = 2 * 25.4


@pytest.fixture(scope="module")
def kit() -> Kit:
    return sample("nest-box").kit


def operation(part: Part, name: str) -> Operation:
    return next(own for own in part.operations if own.name == name)


def missed(kit: Kit, part: str, feature: str, **new: object) -> list[str]:
    """Return what the needs tell when one feature of a part is made differently."""
    changed = [
        replace(own, operations=tuple(_changed(o, new) if o.name == feature else o for o in own.operations))
        if own.key == part
        else own
        for own in kit.parts
    ]
    other = replace(kit, parts=tuple(changed), machines=kit.machines[:1])
    return [f.code for f in kitforge_check(other, plan(other, load_plugins())) if f.severity == "error"]


def _changed(operation: Operation, new: dict[str, object]) -> Operation:
    return replace(operation, **new)  # type: ignore[arg-type]


def floor_top(kit: Kit) -> float:
    """Return how high the floor's upper face is over the lower edge of the front: the groove holds the floor there."""
    return groove_of(kit.part("front")) + kit.part("floor").stock.actual


def groove_of(part: Part) -> float:
    """Return where the groove of the floor begins on front or back, mm from the lower edge."""
    return operation(part, "floor-groove").shapes[0].bounds.left


def test_the_entrance_is_as_wide_as_published(kit: Kit) -> None:
    (hole,) = operation(kit.part("front"), "entrance").shapes
    low, high = ENTRANCE
    assert low <= hole.bounds.width <= high
    assert hole.bounds.width == pytest.approx(hole.bounds.height)


def test_the_entrance_is_as_high_over_the_floor_as_published(kit: Kit) -> None:
    (hole,) = operation(kit.part("front"), "entrance").shapes
    low, high = TITMOUSE_UP
    assert hole.bounds.left - floor_top(kit) >= LEAST_UP
    assert low <= hole.bounds.left - floor_top(kit) <= hole.bounds.right - floor_top(kit) <= high


def test_the_room_inside_is_as_large_as_published(kit: Kit) -> None:
    """Between the sides the room is as wide as the front less two edges, between front and back as long as a side."""
    wall = kit.part("side").stock.actual
    assert kit.part("front").outline.bounds.height - 2 * wall >= LEAST_ACROSS
    assert kit.part("side").outline.bounds.height >= LEAST_ACROSS
    assert wall >= LEAST_WALL


def test_the_floor_fills_the_room_and_sits_in_both_grooves(kit: Kit) -> None:
    floor = kit.part("floor").outline.bounds
    side = kit.part("side").outline.bounds.height
    groove = operation(kit.part("front"), "floor-groove")
    assert side < floor.width < side + 2 * groove.depth
    assert floor.width * floor.height >= (LEAST_ACROSS - 1) * LEAST_ACROSS
    assert groove.shapes[0].bounds.left >= LEAST_RECESS


def test_the_screws_of_front_back_and_side_meet_the_floor(kit: Kit) -> None:
    """Their axes lie within 0.5 mm of the middle of the floor's edge, counted from the lower edges of the walls."""
    middle = floor_top(kit) - kit.part("floor").stock.actual / 2
    below = groove_of(kit.part("back")) - groove_of(kit.part("front"))
    for key, start in (("front", 0.0), ("side", 0.0), ("back", below)):
        for x, _y in operation(kit.part(key), "floor-screws").points:
            assert x - start == pytest.approx(middle, abs=0.5)


def test_the_hinge_holes_of_front_and_back_lie_in_one_line(kit: Kit) -> None:
    """Seen from inside the front has the door on its far edge and the back on its near one: they face each other."""
    front, back = kit.part("front"), kit.part("back")
    below = (
        operation(back, "floor-groove").shapes[0].bounds.left - operation(front, "floor-groove").shapes[0].bounds.left
    )
    hinge = max(operation(front, "door-screws").points)
    ((x, y),) = operation(back, "hinge").points
    assert x - below == pytest.approx(hinge[0])
    assert y == pytest.approx(front.outline.bounds.height - hinge[1])


def test_the_door_swings_under_the_roof(kit: Kit) -> None:
    """Its upper outer edge turns about the hinge; it rises by less than the gap between door and fixed side."""
    side, door = kit.part("side").outline.bounds, kit.part("door").outline.bounds
    hinge = max(operation(kit.part("front"), "door-screws").points)[0]
    half, over = kit.part("door").stock.actual / 2, door.right - hinge
    assert (over**2 + half**2) ** 0.5 - over < side.right - door.right


def test_the_roof_stands_out_over_the_front_as_far_as_published(kit: Kit) -> None:
    """Along the slope the roof covers the sides and the thickness of the front; the rest stands out."""
    left, bottom, right, top = kit.part("side").outline.bounds
    low = min(x for x, y in kit.part("side").outline.flatten() if y < bottom + 1 and x > left + 1)
    slope = ((right - low) ** 2 + (top - bottom) ** 2) ** 0.5 / (top - bottom)
    covered = (top - bottom + kit.part("front").stock.actual) * slope
    assert (kit.part("roof").outline.bounds.width - covered) / slope >= LEAST_OVERHANG


@pytest.mark.parametrize(
    ("part", "feature", "new", "code"),
    [
        ("floor", "drainage", {"through": False, "depth": 17.0}, "need-passage"),
        pytest.param("side", "ventilation", {"through": False, "depth": 17.0}, "need-passage", marks=pytest.mark.soak),
        pytest.param("door", "ventilation", {"through": False, "depth": 17.0}, "need-passage", marks=pytest.mark.soak),
        ("front", "entrance", {"shapes": (circle((195.0, 94.0), 25.0),)}, "need-passage"),
        ("floor", "drainage", {"shapes": (circle((80.0, 75.0), 8.0),)}, "need-count"),
        (
            "front",
            "floor-groove",
            {"shapes": (rectangle((19.1, 150.0), at=(6.0, 19.0), corner_radius=3.5),)},
            "need-mates",
        ),
        ("back", "side-screws", {"points": ((105.0, 178.5), (205.0, 178.5), (295.0, 178.5))}, "need-spacing"),
        ("back", "hanging-holes", {"shapes": (circle((22.0, 94.0), 8.5), circle((388.0, 97.0), 8.5))}, "need-aligned"),
        ("front", "entrance", {"shapes": (circle((245.0, 94.0), 32.0),)}, "need-keeps"),
    ],
)
def test_a_need_fails_without_its_feature(kit: Kit, part: str, feature: str, new: dict[str, object], code: str) -> None:
    assert code in missed(kit, part, feature, **new)


@pytest.mark.parametrize("feature", ["drainage", "entrance", "roof-screws"])
def test_a_feature_left_out_of_the_kit_is_told_at_its_need(tmp_path: pathlib.Path, feature: str) -> None:
    text = (NEST_BOX / "kit.yaml").read_text(encoding="utf-8")
    (tmp_path / "kit.yaml").write_text(re.sub(rf"      - name: {feature}\n(?: {{7}}.*\n)+", "", text), encoding="utf-8")
    with pytest.raises(UnreadableKitError) as told:
        load_kit(tmp_path, load_plugins())
    assert {"unknown-name"} == {problem.code for problem in told.value.problems}
    assert all(feature in str(problem.message) for problem in told.value.problems)


def test_nothing_that_harms_the_birds_is_advised(kit: Kit) -> None:
    """No perch among the parts, bare wood inside, rustless screws, a door, and the sources in the notes."""
    assert not any("perch" in part.title.lower() for part in kit.parts)
    assert any("Never treat the inside" in step.line.text for step in kit.finishing.steps)
    assert any("stainless" in thing.item for thing in kit.hardware)
    notes = " ".join(kit.notes)
    for source in ("Royal Society for the Protection of Birds", "British Trust for Ornithology", "FL519.2", "FPL-0153"):
        assert source in notes
