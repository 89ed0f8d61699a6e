"""Parts put together: what collides is found and by how much, what hangs in the air too; sound joints are none."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from builders import HERE
from hypothesis import given
from hypothesis import strategies as st
from kit_samples import checked_demo
from shapely import MultiPolygon, box, contains_xy

from kitforge.model.findings import Finding, Severity
from kitforge.model.kit import AssemblyPose, Kit
from kitforge.model.plan import Plan
from kitforge.plugins import load_plugins
from kitforge.stages.planning import plan
from kitforge.stages.read import read
from kitforge.stages.resolve import resolve
from kitforge.surface.layers import WoodLayer
from kitforge_assembly import kitforge_check
from kitforge_assembly.bodies import Body, _within, grown, shared
from kitforge_assembly.check import HELD_WITHIN, TOLERANCE

WITH_PLACES = ("bedside-lamp", "herb-planter", "nest-box", "plant-stand", "puzzle-tray")

SHELF = """\
kitforge: 1
kit: {title: Shelf, slug: shelf, version: 1.0.0, author: Invented, licence: CC-BY-4.0, summary: A side and a shelf.}
parameters: {thick: 18 mm, groove: 6 mm, wide: 18.2 mm, rise: 100 mm}
stock:
  board: {material: birch_plywood, thickness: thick, width: 300 mm, length: 900 mm}
cutters:
  mill: {kind: up-cut, diameter: 6 mm, cutting_length: 22 mm, shank: 6 mm, overall_length: 50 mm}
machines: [medium_router]
parts:
  side:
    stock: board
    outline: {rectangle: {size: [200, 250]}}
    operations:
      - do: pocket
        name: dado
        cutter: mill
        depth: groove
        shapes: [{rectangle: {at: [-5, rise], size: [210, wide]}}]
      - {do: profile, name: outline, cutter: mill}
  shelf:
    stock: board
    outline: {rectangle: {size: [300, 200]}}
    operations: [{do: profile, name: outline, cutter: mill}]
together:
  - {part: side, at: [0, 0, 0], face: right}
  - {part: shelf, at: [-6 mm, 0, = rise + thick + 0.1 mm]}
"""


def checked(folder: Path, *changes: tuple[str, str]) -> list[Finding]:
    """What the check finds in the shelf with some of its text changed."""
    text = SHELF
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    (folder / "kit.yaml").write_text(text, encoding="utf-8")
    kit = resolve(read(folder), load_plugins())
    return list(kitforge_check(kit, plan(kit, load_plugins())))


def demo(name: str) -> tuple[Kit, Plan]:
    checked = checked_demo(name)
    return checked.kit, checked.plan


@pytest.mark.parametrize("name", WITH_PLACES)
def test_the_demo_kits_go_together(name: str) -> None:
    kit, planned = demo(name)
    assert sum(part.count for part in kit.parts) == len(kit.together)
    assert list(kitforge_check(kit, planned)) == []


def test_a_shelf_sits_in_its_dado(tmp_path: Path) -> None:
    """The dado makes the room that the shelf takes."""
    assert checked(tmp_path) == []


@pytest.mark.parametrize(
    ("change", "by"),
    [
        (("groove: 6 mm", "groove: 5 mm"), "1 mm"),
        (("groove: 6 mm", "groove: 2.5 mm"), "3.5 mm"),
        (("at: [-6 mm", "at: [-8 mm"), "2 mm"),
    ],
)
def test_a_shallow_dado_is_found_with_how_much(tmp_path: Path, change: tuple[str, str], by: str) -> None:
    (found,) = checked(tmp_path, change)
    assert (found.code, found.severity, found.part) == ("parts-collide", Severity.ERROR, "shelf")
    assert f"'Side' and 'Shelf' run into each other by about {by} (" in str(found.message)
    assert found.source.line == SHELF.count("\n")


def test_a_dado_at_the_wrong_height_is_found(tmp_path: Path) -> None:
    (found,) = checked(tmp_path, ("rise + thick + 0.1 mm", "rise + thick + 3 mm"))
    assert found.code == "parts-collide"
    assert "at [-" in str(found.message)


def test_a_narrow_dado_is_found(tmp_path: Path) -> None:
    """1 mm too narrow, half on each side of the shelf."""
    narrow = ("wide: 18.2 mm", "wide: 17 mm"), ("rise + thick + 0.1 mm", "rise + thick - 0.5 mm")
    assert [found.code for found in checked(tmp_path, *narrow)] == ["parts-collide"]


def test_what_sanding_takes_is_no_collision(tmp_path: Path) -> None:
    assert checked(tmp_path, ("groove: 6 mm", "groove: 5.8 mm")) == []


def test_a_part_in_the_air_is_found(tmp_path: Path) -> None:
    (found,) = checked(tmp_path, ("at: [-6 mm", "at: [3 mm"))
    assert (found.code, found.severity) == ("part-stands-alone", Severity.WARNING)
    assert "2 mm" in str(found.message)


def test_what_a_bought_thing_holds_does_not_hang_in_the_air(tmp_path: Path) -> None:
    """A rod that runs from the side to the shelf holds it; one beside them does not."""
    thing = '{{turned: [[2, 0], [2, 30]], at: [[{x}, 50, 100]], face: right, colour: "#aabbcc"}}'
    rod = f"pictures: {{{{beside: [{thing}]}}}}\ntogether:"
    apart = ("at: [-6 mm", "at: [3 mm")
    assert checked(tmp_path, apart, ("together:", rod.format(x=-10))) == []
    (found,) = checked(tmp_path, apart, ("together:", rod.format(x=-90)))
    assert found.code == "part-stands-alone"


def test_a_kit_without_places_is_not_looked_at(tmp_path: Path) -> None:
    assert checked(tmp_path, (SHELF[SHELF.index("together:") :], "")) == []


def test_wrong_measures_of_a_demo_kit_are_found() -> None:
    """The nest box with its roof 3 mm too low, and the stand with a foot turned wrong."""
    kit, planned = demo("nest-box")
    roof = kit.together[-1]
    lower = replace(roof, at=(roof.at[0], roof.at[1], roof.at[2] - 3))
    found = list(kitforge_check(replace(kit, together=(*kit.together[:-1], lower)), planned))
    assert {"parts-collide"} == {one.code for one in found}
    assert all("'Roof'" in str(one.message) for one in found)
    assert {"side", "roof"} & {one.part for one in found if one.part}
    kit, planned = demo("plant-stand")
    foot = kit.together[2]
    turned = replace(foot, along_x=(1.0, 0.0, 0.0))
    found = list(kitforge_check(replace(kit, together=(*kit.together[:2], turned, *kit.together[3:])), planned))
    assert any("'Foot' (line" in str(one.message) for one in found)


def test_every_pair_is_tried_or_the_check_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("kitforge_assembly.check.MOST_TRIES", 3)
    assert [found.code for found in kitforge_check(*demo("plant-stand"))] == ["together-unproved"]


def block(low: tuple[float, ...], size: tuple[float, ...]) -> Body:
    """A box in space with its edges along the axes."""
    area = MultiPolygon([box(0, 0, size[0], size[1])])
    at = (low[0], low[1], low[2] + size[2])
    return Body(AssemblyPose("a", at, (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), HERE), (WoodLayer(area, 0.0, size[2]),))


LENGTHS = st.floats(1.0, 40.0).map(lambda value: round(value, 2))
PLACES = st.floats(-40.0, 40.0).map(lambda value: round(value, 2))
TRIPLES = st.tuples(LENGTHS, LENGTHS, LENGTHS)


@given(TRIPLES, TRIPLES, st.tuples(PLACES, PLACES, PLACES))
def test_boxes_collide_just_when_their_edges_overlap_by_more_than_the_tolerance(
    one: tuple[float, ...], other: tuple[float, ...], at: tuple[float, ...]
) -> None:
    """Boxes along the axes share room when they overlap along x, y and z: known without trying points."""
    overlap = min(min(a, p + b) - max(0.0, p) for a, b, p in zip(one, other, at, strict=True))
    if abs(overlap - TOLERANCE) < 1e-6:
        return
    bodies = [grown(block((0, 0, 0), one), -TOLERANCE / 2), grown(block(at, other), -TOLERANCE / 2)]
    assert (overlap > TOLERANCE) == (shared(*bodies) is not None)
    wide = [grown(block((0, 0, 0), one), HELD_WITHIN / 2), grown(block(at, other), HELD_WITHIN / 2)]
    if overlap > -HELD_WITHIN + 1e-6 and overlap > 0:
        assert shared(*wide) is not None
    if overlap < -HELD_WITHIN - 1e-6:
        assert shared(*wide) is None


@pytest.mark.parametrize("order", [(0, 1, 2), (1, 2, 0), (2, 0, 1)])
@pytest.mark.parametrize("lean", [0.0, 0.2])
def test_points_above_one_another_are_in_an_area_as_each_alone(order: tuple[int, ...], lean: float) -> None:
    """Bodies square to each other and leaning: every point tried by itself gives the same."""
    c, s = np.cos(lean), np.sin(lean)
    turn = (np.eye(3)[list(order)] @ np.array([[c, s, 0], [-s, c, 0], [0, 0, 1]]))[:, :2]
    sides = tuple(np.linspace(0, size, 9) for size in (8.0, 5.0, 3.0))
    tried = tuple(one.ravel() for one in np.indices((9, 9, 9)))
    area, start = box(1.1, 0.7, 4.3, 2.9), np.array([0.3, 0.4])
    points = np.column_stack([side[index] for side, index in zip(sides, tried, strict=True)])
    alone = contains_xy(area, start + points @ turn)
    assert 0 < alone.sum() < len(points)
    assert (_within(area, sides, tried, start, turn) == alone).all()
