"""Engagement and shape: limits, hand figures and inverses."""

from __future__ import annotations

from math import acos, degrees, pi, radians, sin, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitforge.cutting import chips, shape
from kitforge.cutting.bending import stepped_compliance, stepped_stress, tip_deflection
from kitforge.cutting.force import axial_lift
from kitforge.cutting.job import edge_ratio, effective_diameter, force_model, slot_section
from kitforge.cutting.records import CutterGeometry, CutterKind
from kitforge.workshop.cutting_data import cutting_data

SHARES = st.floats(0.01, 1.0)


def test_inside_corner_engages_more_than_a_straight_wall() -> None:
    """R 3.175, stock 0.3, path radius 1.5875: by hand acos((19.916 - 2.520 - 10.081) / 10.081) = 43.5 deg."""
    corner = chips.inner_arc_angle(3.175, 1.5875, 0.3)
    assert degrees(corner) == pytest.approx(43.5, abs=0.1)
    assert degrees(corner) > degrees(chips.engagement_angle(0.3 / 6.35)) == pytest.approx(25.1, abs=0.1)


def test_wide_arc_is_as_good_as_a_straight_wall() -> None:
    """With the radius of the path the angle tends to acos(1 - 2x)."""
    assert chips.inner_arc_angle(3.0, 1e6, 0.3) == pytest.approx(chips.engagement_angle(0.05), rel=1e-3)


@given(SHARES)
def test_mean_chip_is_the_mean_of_the_sine_over_the_arc(share: float) -> None:
    """Independent check by adding up fz sin(phi) over the engaged arc in 2000 steps."""
    angle, steps = chips.engagement_angle(share), 2000
    total = sum(sin((i + 0.5) / steps * angle) for i in range(steps)) / steps
    assert chips.mean_chip(1.0, share) == pytest.approx(total, rel=1e-4)
    assert chips.maximum_chip(1.0, share) == pytest.approx(1.0 if angle > pi / 2 else sin(angle))


@given(st.floats(0.01, 0.5))
def test_thinning_restores_the_thickest_chip(share: float) -> None:
    """fz times the factor makes the chip that a half engaged cutter makes."""
    assert chips.maximum_chip(chips.thinning_factor(share), share) == pytest.approx(1.0)
    assert chips.engaged_width(10, chips.engagement_angle(share)) == pytest.approx(10 * share)


@given(st.floats(0.1, 10), st.floats(0.001, 0.9), st.floats(0, 60))
def test_stepover_and_cusp_are_inverses(radius: float, part: float, slope: float) -> None:
    """The stepover for a cusp leaves that cusp, flat and on a slope."""
    height = part * radius
    assert shape.cusp(radius, shape.stepover_for_cusp(radius, height, slope), slope) == pytest.approx(height)


def test_passes_that_do_not_meet_have_no_cusp() -> None:
    """A stepover wider than the ball leaves a wall, not a cusp."""
    with pytest.raises(ValueError, match="do not meet"):
        shape.cusp(3, 6.1)


@given(st.floats(0.1, 12))
def test_flat_of_a_bowl_cutter_leaves_nothing_until_it_no_longer_overlaps(stepover: float) -> None:
    """D 19.05, r 6.35: zero up to the flat of 6.35 mm, then rising."""
    left = shape.bowl_cusp(19.05, 6.35, stepover)
    assert (left == 0) == (stepover <= 6.35)
    assert shape.bowl_stepover(19.05, 6.35, 0.0538) == pytest.approx(8.0, abs=0.01)


@given(st.floats(10, 150), st.floats(0, 1), st.floats(0.1, 8))
def test_v_depth_and_width_are_inverses(angle: float, tip: float, depth: float) -> None:
    """A groove as deep as its width asks for is that wide again."""
    assert shape.v_depth(shape.v_width(depth, angle, tip), angle, tip) == pytest.approx(depth)


@pytest.mark.parametrize(("pitch", "hole", "angle"), [(1.5, 10, 6.81)])
def test_helix_angle(pitch: float, hole: float, angle: float) -> None:
    """Hole 10, cutter 6, pitch 1.5 mm: 6.81 deg (worked out), and back to the pitch."""
    found = shape.helix_angle(pitch, hole, 6)
    assert found == pytest.approx(angle, abs=0.01)
    assert shape.helix_pitch(found, hole - 6) == pytest.approx(pitch)


@given(st.floats(5, 30), st.floats(5, 60), st.floats(2, 12), st.floats(3, 12))
def test_stepped_cutter_bends_between_its_two_plain_ones(
    fluted: float, length: float, diameter: float, shank: float
) -> None:
    """A cutter of two diameters bends no less than one all of the thicker and no more than one all of the thinner."""
    thin, thick = sorted((0.8 * diameter, shank))
    bends = stepped_compliance(fluted, length, diameter, shank, 6e5)
    assert tip_deflection(1, length, thick, 6e5, 1.0) * (1 - 1e-9) <= bends
    assert bends <= tip_deflection(1, length, thin, 6e5, 1.0) * (1 + 1e-9)
    assert stepped_stress(fluted, length, diameter, shank) > 0


def test_two_part_cutter_by_hand() -> None:
    """D 3.175 on a 6.35 shank, 12 + 13 mm, 10 N: 0.0057 mm (worked out from beam theory)."""
    assert 10 * stepped_compliance(12, 25, 3.175, 6.35, 6e5) == pytest.approx(0.0057, abs=5e-5)


@given(st.floats(0.05, 12))
def test_slot_sections_agree_with_adding_up_the_width(depth: float) -> None:
    """Cross-section of a pass: independent check by adding up the profile's width in 4000 layers."""
    cutters = (
        CutterGeometry(CutterKind.BALL_NOSE, 6, 20, 6, 50, 2),
        CutterGeometry(CutterKind.BOWL, 19.05, 16, 6.35, 55, 2, corner_radius=6.35),
        CutterGeometry(CutterKind.V_BIT, 30, 13, 6.35, 45, 2, angle=60, tip=0.2),
    )
    steps = 4000
    for cutter in cutters:
        heights = [(i + 0.5) * depth / steps for i in range(steps)]
        total = sum(effective_diameter(cutter, height) for height in heights) * depth / steps
        assert slot_section(cutter, depth) == pytest.approx(total, rel=2e-3)


def test_ball_is_as_wide_as_its_circle() -> None:
    """D 6 at 0.5 mm: 3.317 mm (catalogue p. 252); from half the diameter on the whole of it."""
    assert shape.effective_diameter_ball(6, 0.5) == pytest.approx(3.317, abs=1e-3)
    assert shape.effective_diameter_ball(6, 4) == 6


def test_slant_of_the_edge_thins_the_chip() -> None:
    """A 60 deg V stands at 60 deg to the floor: sin 60; a ball at its equator has pi / 2 of edge per radius."""
    assert edge_ratio(CutterGeometry(CutterKind.V_BIT, 12, 10, 6, 45, 2, angle=60), 2) == pytest.approx(sqrt(3) / 2)
    assert edge_ratio(CutterGeometry(CutterKind.BALL_NOSE, 6, 20, 6, 50, 2), 3) == pytest.approx(2 / pi)
    assert chips.corner_edge_angle(3, 0.5) == pytest.approx(degrees(acos(2.5 / 3)))


@pytest.mark.parametrize(("ratio", "factor"), [(0.5, 1.0), (1, 1.0), (1.5, 0.875), (2, 0.75), (3, 0.5), (4, 0.5)])
def test_deep_passes_take_thinner_chips(ratio: float, factor: float) -> None:
    """Spiral chart of a cutter maker: 1 D full, 2 D 75 %, 3 D 50 %; straight between."""
    rows = [(row.ap_over_d, row.factor.value) for row in cutting_data().depth_derating]
    assert chips.depth_derating(ratio, rows) == pytest.approx(factor)


@given(st.floats(0.001, 1.0), st.floats(300, 1000))
def test_chip_for_a_line_force_is_the_inverse_of_the_force(chip: float, density: float) -> None:
    """Inside and outside the range of the model: kc h of the chip found is the force asked for."""
    model = force_model(cutting_data().cutting_force)
    line = model.specific_force(chip, density) * chip
    assert model.chip_for_line_force(line, density) == pytest.approx(chip, rel=1e-6)


def test_up_cut_spirals_lift() -> None:
    """0.58 of the tangential force at 30 deg (worked out)."""
    assert axial_lift(1.0, 30) == pytest.approx(0.577, abs=1e-3)
    assert axial_lift(1.0, -30) == pytest.approx(-sin(radians(30)) / sqrt(0.75))
