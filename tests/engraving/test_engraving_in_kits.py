"""Engraved text from kit.yaml to the cut surface, the drawings and the pictures."""

from __future__ import annotations

import io
import math
import re
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import ezdxf
import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely import affinity, contains_xy
from signs import ENGRAVE, checked, operation, refused, resolved, serious, text

import kitforge_dxf
import kitforge_svg
from kitforge.geometry.extent import Form
from kitforge.model.kit import Kit, OperationKind
from kitforge.model.steps import Step
from kitforge.pictures.drawn.features import features_of
from kitforge.pictures.drawn.part import step_picture
from kitforge.pipeline import CheckedKit
from kitforge.planning.areas import area_of, engraved_at, filled
from kitforge.planning.layers import part_drawings
from kitforge.planning.steps import steps_of
from kitforge.print.svg import VERMILLION
from kitforge.surface.heightmap import Surface, finished
from kitforge.surface.volumes import cut_at

TANGENT = math.tan(math.radians(30))


@pytest.fixture(scope="module")
def sign(tmp_path_factory: pytest.TempPathFactory) -> CheckedKit:
    """A sign with the word HI on it."""
    return checked(tmp_path_factory.mktemp("sign"), operation(text("HI")))


def engraving(kit: Kit) -> Step:
    """The step that engraves."""
    return next(step for step in steps_of(kit) if step.operation.does is OperationKind.ENGRAVE)


def depth_at(surface: Surface, x: float, y: float) -> float:
    """How deep the surface is cut at a place, mm."""
    grid = surface.grid
    return float(surface.top[int((y - grid.y0) / grid.cell), int((x - grid.x0) / grid.cell)])


def test_a_sign_has_nothing_to_complain_of(sign: CheckedKit) -> None:
    assert serious(sign) == []


def test_the_middle_of_a_bar_is_as_deep_as_its_width_asks(sign: CheckedKit) -> None:
    """A bar of width w is w / 2 / tan(A/2) deep in its middle (geometry of the cone)."""
    part = sign.kit.parts[0]
    bar = max(part.operations[0].shapes, key=lambda path: path.bounds.left).bounds
    width, (x, y) = bar.right - bar.left, bar.centre
    surface = finished(
        part, [s for s in sign.plan.steps_of("sign") if s.operation.does is OperationKind.ENGRAVE], cell=0.05
    )
    assert pytest.approx(width / 2 / TANGENT, abs=0.05) == depth_at(surface, x, y)
    assert pytest.approx(width / 4 / TANGENT, abs=0.1) == depth_at(surface, x + width / 4, y)
    assert depth_at(surface, x + width / 2 + 0.1, y) == 0.0


def test_the_step_is_as_deep_as_its_deepest_point(sign: CheckedKit) -> None:
    step = sign.plan.step("sign/letters")
    assert step.travel is not None
    deepest = max(float(chain[:, 2].max()) for chain in step.travel.chains)
    assert deepest == step.depth == step.operation.depth
    assert deepest < 12.5 / TANGENT


def test_what_is_cut_is_what_the_outlines_enclose(sign: CheckedKit) -> None:
    step = sign.plan.step("sign/letters")
    assert step.cut is not None
    assert pytest.approx(filled(step.operation.shapes).area, rel=1e-3) == step.cut.area
    assert step.swept == step.cut


def test_every_class_has_settings_of_a_v_groove(sign: CheckedKit) -> None:
    found = sign.plan.machines[0].settings["sign/letters"]
    assert found.stepover is None
    assert 0 < found.seconds[0] < found.seconds[1] < 600


def test_the_depth_is_the_greatest_one(tmp_path: Path) -> None:
    """A bar too wide for the depth is cut along both sides, with a ridge between, and that is told."""
    found = checked(tmp_path, operation("{rectangle: {size: [100, 10], at: [60, 40]}}", does=f"{ENGRAVE}, depth: 2 mm"))
    part, reach = found.kit.parts[0], 2 * TANGENT
    surface = finished(part, [found.plan.step("sign/letters")], cell=0.05)
    assert found.plan.step("sign/letters").depth == 2.0
    assert pytest.approx(2.0, abs=0.05) == depth_at(surface, 110, 40 + reach)
    assert depth_at(surface, 110, 45) == 0.0
    assert serious(found) == ["stroke-too-wide"]
    cut = found.plan.step("sign/letters").cut
    assert cut is not None
    assert cut.area == pytest.approx(100 * 10 - (100 - 4 * reach) * (10 - 4 * reach), rel=1e-3)


def test_drawings_have_the_outlines_on_a_layer_of_their_own(sign: CheckedKit) -> None:
    file = next(f for f in kitforge_dxf.kitforge_render(sign.kit, sign.plan) if f.name == "drawings/sign.dxf")
    document = ezdxf.read(io.StringIO(file.data.decode(), newline=None))
    lines: Any = document.modelspace().query('LWPOLYLINE[layer=="LETTERS"]')
    assert [True] * len(sign.kit.parts[0].operations[0].shapes) == [line.closed for line in lines]
    svg = next(f for f in kitforge_svg.kitforge_render(sign.kit, sign.plan) if f.name == "drawings/sign.svg")
    groups = [one.get("id") or "" for one in ElementTree.fromstring(svg.data).iter() if one.tag.endswith("}g")]
    assert any(group.startswith("letters") for group in groups)


def test_the_picture_of_the_step_shows_the_letters(sign: CheckedKit) -> None:
    """The letters H and I as one filled path of two loops in the colour of what is cut."""
    picture = step_picture(sign.plan.step("sign/letters"), [], 100, 60)
    filled_paths = re.findall(rf'd="([^"]+)"[^>]*fill="{VERMILLION}"', picture.svg)
    assert [path.count("M") for path in filled_paths] == [2]


def test_mirrored_text_reads_right_in_the_drawing_of_the_back(tmp_path: Path) -> None:
    """The back is drawn as the machine sees it: mirrored text at x = 160 of 240 mm is plain text at x = 80."""
    back = f"{ENGRAVE}, face: bottom"
    found = checked(tmp_path, operation(text("Rab 7", at="[160, 40]", mirror="true"), does=back))
    drawing = next(one for one in part_drawings(found.plan, found.kit.parts[0]) if one.name == "sign-bottom")
    drawn = [path for layer, paths in drawing.layers.items() if layer == "LETTERS" for path in paths]
    plain = resolved(tmp_path, operation(text("Rab 7", at="[80, 40]"))).parts[0].operations[0].shapes
    assert filled(drawn).symmetric_difference(filled(plain)).area < 0.05
    surface = finished(found.kit.parts[0], [found.plan.step("sign/letters")], cell=0.2)
    assert surface.bottom is not None
    assert surface.top.max() == 0.0 < surface.bottom.max()


def test_a_word_is_one_feature_of_the_drawing(sign: CheckedKit) -> None:
    feature = features_of(sign.kit.parts[0])[0]
    shapes = sign.kit.parts[0].operations[0].shapes
    (size,) = feature.sizes
    assert (feature.count, size.form) == (1, Form.FREE)
    assert max(path.bounds.right for path in shapes) - min(path.bounds.left for path in shapes) == size.along


def test_below_the_face_the_flanks_stand_off_the_outline(sign: CheckedKit) -> None:
    """At the depth d the cut is narrower by d tan(A/2) on every side."""
    step = sign.plan.step("sign/letters")
    bar = max(step.operation.shapes, key=lambda path: path.bounds.left).bounds
    for depth in (0.5, 1.0, 1.5):
        below = cut_at(step, depth)
        right = max(polygon.bounds[2] for polygon in below.geoms)
        assert pytest.approx(bar.right - depth * TANGENT, abs=1e-6) == right


@settings(max_examples=6, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(dx=st.integers(-40, 90), dy=st.integers(-30, 40))
def test_moving_the_text_moves_everything(dx: int, dy: int, tmp_path: Path) -> None:
    here = engraving(resolved(tmp_path, operation(text("Oak 7"))))
    there = engraving(resolved(tmp_path, operation(text("Oak 7", at=f"[{60 + dx}, {40 + dy}]"))))
    assert here.cut is not None and there.cut is not None
    assert here.travel is not None and there.travel is not None
    assert affinity.translate(here.cut, dx, dy).symmetric_difference(there.cut).area == pytest.approx(0, abs=1e-3)
    assert pytest.approx(here.depth, abs=2e-3) == there.depth
    assert pytest.approx(here.travel.length, rel=0.03) == there.travel.length
    moved = np.concatenate([chain[:, :2] for chain in here.travel.chains]).mean(axis=0) + np.array((dx, dy))
    assert np.allclose(moved, np.concatenate([chain[:, :2] for chain in there.travel.chains]).mean(axis=0), atol=1.5)


@pytest.mark.parametrize("does", ["do: pocket, depth: 2 mm", "do: groove, depth: 1 mm", "do: profile, depth: 2 mm"])
def test_text_can_be_cut_in_other_ways(does: str, tmp_path: Path) -> None:
    found = checked(
        tmp_path, operation(text("I", height="60 mm", font="Black"), does=f"{does}, name: letter, cutter: mill")
    )
    assert len(found.kit.parts[0].operations[0].shapes) == 1
    assert found.plan.step("sign/letter").path_length > 0


def test_open_and_crossing_shapes_are_told_and_stop_nothing(tmp_path: Path) -> None:
    line = "{polyline: {points: [[20, 20], [60, 20], [60, 40]]}}"
    bow = "{polyline: {closed: true, points: [[120, 20], [160, 60], [160, 20], [120, 60]]}}"
    assert [c for c in serious(checked(tmp_path, operation(line))) if c.startswith("area")] == ["area-open"]
    assert "shape-crossing" in serious(checked(tmp_path, operation(bow)))


def test_an_engraving_needs_a_v_bit(tmp_path: Path) -> None:
    found = refused(tmp_path, operation(text(), does="do: engrave, name: letters, cutter: mill"))
    assert [one.code for one in found] == ["cutter-unfit"]
    assert "V-bit" in str(found[0].message)


def test_an_engraving_has_no_roughing_pass(tmp_path: Path) -> None:
    found = refused(tmp_path, operation(text(), does=f"{ENGRAVE}, roughing: {{leave_walls: 1 mm}}"))
    assert [str(one.message).split(": ")[1].split(";")[0] for one in found] == ["an engraving has no roughing pass"]


def test_thin_strokes_are_told_with_their_place_and_good_ones_are_not(tmp_path: Path) -> None:
    """A hairline weight 6 mm high under a tip of 0.5 mm; the same bit clears bold letters."""
    thin = checked(tmp_path, operation(text("Oak", height="6 mm", font="ExtraLight")), "0.5 mm")
    codes = [one for one in thin.findings if one.code == "stroke-too-thin"]
    assert len(codes) == 1
    assert codes[0].at is not None
    assert contains_xy(filled(thin.kit.parts[0].operations[0].shapes).buffer(0.3), *codes[0].at)
    bold = checked(tmp_path, operation(text("Oak", font="Bold")), "0.5 mm")
    assert serious(bold) == []


def test_letters_of_which_nothing_can_be_cut_are_an_error(tmp_path: Path) -> None:
    found = checked(tmp_path, operation(text("I", height="3 mm", font="ExtraLight")), "1 mm")
    assert [one.severity.value for one in found.findings if one.code == "stroke-too-thin"] == ["error"]


def test_the_flat_tip_stays_out_of_what_is_too_narrow(tmp_path: Path) -> None:
    """With a tip of t the deepest point of a stroke of width w is (w - t) / (2 tan(A/2)) deep."""
    kit = resolved(tmp_path, operation("{rectangle: {size: [60, 4], at: [60, 40]}}"), "0.6 mm")
    step = engraving(kit)
    assert pytest.approx((4 - 0.6) / 2 / TANGENT, rel=2e-3) == step.depth
    assert step.cut == area_of(step.operation, step.cutter, 1.0, 0.0, floor=True).cut
    assert engraved_at(step.operation, step.cutter).area < 240
