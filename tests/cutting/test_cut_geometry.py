"""Engagement and shape: limits, hand figures and inverses, each by the row of the worksheet that is used for it."""

from __future__ import annotations

from collections.abc import Callable
from math import acos, cos, degrees, pi, sin, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from sheet_rows import row

from kitforge.cutting.worksheet.functions import chart
from kitforge.cutting.worksheet.tables import tables_of
from kitforge.workshop.cutting_data import cutting_data

SHARES = st.floats(0.01, 1.0)
FORCE = cutting_data().cutting_force


def angle(x: float) -> float:
    """Return the engaged angle of a share of the diameter, radians."""
    return row("meet.teeth", z=1e6, xw=x) * 2 * pi / 1e6


def corner(radius: float, path_radius: float, stock: float) -> float:
    """Return the engaged angle of a cutter on an inside arc, radians."""
    turn = row("meet.turn", r_in=path_radius / radius, a=stock, De=2 * radius)
    return acos(min(max(turn, -1.0), 1.0))


def test_inside_corner_engages_more_than_a_straight_wall() -> None:
    """R 3.175, stock 0.3, path radius 1.5875: by hand acos((19.916 - 2.520 - 10.081) / 10.081) = 43.5 deg."""
    assert degrees(corner(3.175, 1.5875, 0.3)) == pytest.approx(43.5, abs=0.1)
    assert degrees(corner(3.175, 1.5875, 0.3)) > degrees(angle(0.3 / 6.35)) == pytest.approx(25.1, abs=0.1)


def test_wide_arc_is_as_good_as_a_straight_wall() -> None:
    """With the radius of the path the angle tends to acos(1 - 2x)."""
    assert corner(3.0, 1e5, 0.3) == pytest.approx(angle(0.05), rel=1e-3)


@given(SHARES)
def test_mean_chip_is_the_mean_of_the_sine_over_the_arc(share: float) -> None:
    """Independent check by adding up fz sin(phi) over the engaged arc in 2000 steps."""
    whole, steps = acos(1 - 2 * share), 2000
    total = sum(sin((i + 0.5) / steps * whole) for i in range(steps)) / steps
    assert row("meet.km", xw=share) == pytest.approx(total, rel=1e-4)
    if share < 0.5:
        assert row("meet.kx", xw=share) == pytest.approx(sin(whole))


@given(st.floats(0.01, 0.5))
def test_thinning_restores_the_thickest_chip(share: float) -> None:
    """fz times the factor makes the chip that a half engaged cutter makes."""
    kx = row("meet.kx_x", x=share)
    assert row("thinning", at__kx_x=kx) * kx == pytest.approx(1.0)


@given(st.floats(0.1, 10), st.floats(0.001, 0.9), st.floats(0, 60))
def test_stepover_and_cusp_are_inverses(radius: float, part: float, slope: float) -> None:
    """The stepover for a cusp leaves that cusp, flat and on a slope."""
    height = part * radius
    step = row("s <= wanted cusp#1", hc_top=height, R=radius, slope=slope)
    assert row("hc", R=radius, half_s=row("half_s#1", s=step, slope=slope)) == pytest.approx(height)


@given(st.floats(0.1, 12))
def test_flat_of_a_bowl_cutter_leaves_nothing_until_it_no_longer_overlaps(stepover: float) -> None:
    """D 19.05, r 6.35: zero up to the flat of 6.35 mm, then rising."""
    flat = row("b", D=19.05, R=6.35)
    left = row("hc", R=6.35, half_s=row("half_s#0", s=stepover, b=flat))
    assert (left == 0) == (stepover <= flat)
    assert row("s <= wanted cusp#0", hc_top=0.0538, R=6.35, b=flat) == pytest.approx(8.0, abs=0.01)


@given(st.floats(10, 150), st.floats(0, 1), st.floats(0.1, 8))
def test_a_groove_is_as_wide_as_its_triangle(angle: float, tip: float, depth: float) -> None:
    """By the law of sines: the two flanks of a V of that angle and the flat of its tip."""
    flank = depth / cos(angle / 360 * pi)
    assert row("meet.De", D=1e6, w=tip, ap=depth, A=angle, hair=1e-6) == pytest.approx(
        tip + 2 * flank * sin(angle / 360 * pi)
    )


def compliance(fluted: float, length: float, diameter: float, shank: float, core: float = 0.8) -> float:
    return row("c", E=6e5, l1=row("l1", APMX=fluted, L=length), d1=core * diameter, L=length, DMM=shank)


@given(st.floats(5, 30), st.floats(5, 60), st.floats(2, 12), st.floats(3, 12))
def test_stepped_cutter_bends_between_its_two_plain_ones(
    fluted: float, length: float, diameter: float, shank: float
) -> None:
    """A cutter of two diameters bends no less than one all of the thicker and no more than one all of the thinner."""
    thin, thick = sorted((0.8 * diameter, shank))
    bends = compliance(fluted, length, diameter, shank)
    assert compliance(length, length, thick, thick, 1.0) * (1 - 1e-9) <= bends
    assert bends <= compliance(length, length, thin, thin, 1.0) * (1 + 1e-9)


def test_two_part_cutter_by_hand() -> None:
    """D 3.175 on a 6.35 shank, 12 + 13 mm, 10 N: 0.0057 mm (worked out from beam theory)."""
    assert 10 * compliance(12, 25, 3.175, 6.35) == pytest.approx(0.0057, abs=5e-5)


@given(st.floats(0.05, 12), st.sampled_from(((6.0, 3.0), (19.05, 6.35))))
def test_slot_sections_agree_with_adding_up_the_width(depth: float, cutter: tuple[float, float]) -> None:
    """Cross-section of a pass: independent check by integrating the profile's width over the depth numerically."""
    diameter, radius = cutter
    low, flat = min(depth, radius), row("b", D=diameter, R=radius)
    added = _added_up(lambda h: row("meet.De", b=flat, low=min(h, radius), R=radius), depth, radius)
    section = row("meet.S_slot", R=radius, low=low, b=flat, D=diameter, ap=depth)
    assert section == pytest.approx(added, rel=1e-6)


@given(st.floats(0.05, 12))
def test_the_section_of_a_groove_agrees_with_adding_up_its_width(depth: float) -> None:
    wide = _added_up(lambda h: row("meet.De", D=30.0, w=0.2, ap=h, A=60.0, hair=1e-6), depth, depth)
    assert row("meet.S_slot", w=0.2, ap=depth, A=60.0) == pytest.approx(wide, rel=1e-6)


def _added_up(width: Callable[[float], float], depth: float, bend: float) -> float:
    """Return the area of a profile up to a depth; its width changes its law at the height `bend`."""
    parts = ((0.0, min(bend, depth)), (min(bend, depth), depth))
    return float(sum(quad(width, low, high)[0] for low, high in parts if high > low))


def test_ball_is_as_wide_as_its_circle() -> None:
    """D 6 at 0.5 mm: 3.317 mm (cutting data calculation, catalogue p. 252); from half the diameter on all of it."""
    assert row("meet.De", b=0.0, low=row("meet.low", ap=0.5, R=3.0), R=3.0) == pytest.approx(3.317, abs=1e-3)
    assert row("meet.De", b=0.0, low=row("meet.low", ap=4.0, R=3.0), R=3.0) == 6


def test_slant_of_the_edge_thins_the_chip() -> None:
    """A 60 deg V stands at 60 deg to the floor: sin 60; a ball at its equator has pi / 2 of edge per radius."""
    assert row("meet.e", A=60.0) == pytest.approx(sqrt(3) / 2)
    assert row("meet.e", R=3.0, low=3.0, ap=3.0) == pytest.approx(2 / pi)


@pytest.mark.parametrize(("ratio", "factor"), [(0.5, 1.0), (1, 1.0), (1.5, 0.875), (2, 0.75), (3, 0.5), (4, 0.5)])
def test_deep_passes_take_thinner_chips(ratio: float, factor: float) -> None:
    """Spiral chart of a cutter maker: 1 D full, 2 D 75 %, 3 D 50 %; straight between."""
    assert chart(tables_of(cutting_data()).derating, ratio, 1) == pytest.approx(factor)


@given(st.floats(0.001, 1.0), st.floats(300, 1000))
def test_chip_for_a_force_is_the_inverse_of_the_force(chip: float, density: float) -> None:
    """Inside and outside the range of the model: the side force of the chip found is the force asked for."""
    model = {"h_low": FORCE.h_clamp.low, "h_high": FORCE.h_clamp.high, "m": FORCE.m.value}
    constant = 14.33 * density / 650
    clamped = row("push.h_e", h=chip, p__e=1.0, h_low=model["h_low"], h_high=model["h_high"])
    tooth = row("push.Ft", kc=row("push.kc", Af=constant, h_e=clamped, m=model["m"]), edge=3.0, h=chip)
    side = row("push.Fs", ks=1.1, Ft=tooth, p__t=1.0)
    v = row("by_force.v", F=side, p__e=1.0, ks=1.1, p__t=1.0, ap=3.0, Af=constant)
    first = row("by_force.h_0", v=v, m=model["m"])
    case = 0 if first < model["h_low"] else 1 if first > model["h_high"] else 2
    assert row(f"by_force.h#{case}", v=v, h_0=first, **model) == pytest.approx(chip, rel=1e-6)


def test_up_cut_spirals_lift() -> None:
    """0.577 of the tangential force at 30 deg (worked out); a down-cut spiral does not lift."""
    assert row("push.Fa", Ft=1.0, helix=30.0, p__t=1.0) == pytest.approx(0.577, abs=1e-3)
    assert row("push.Fa", Ft=1.0, helix=-30.0, p__t=1.0) == 0


@pytest.mark.parametrize(
    ("flutes", "share", "teeth"), [(2, 1.0, 1), (3, 1.0, 2), (4, 1.0, 2), (6, 1.0, 3), (2, 0.1, 1), (4, 0.4, 1)]
)
def test_every_tooth_in_the_wood_counts_whole(flutes: int, share: float, teeth: int) -> None:
    """By drawing the teeth round the circle: as many as ever stand between entry and exit, at least one."""
    whole = degrees(acos(1 - 2 * share))
    most = max(
        sum((turn + tooth * 360 / flutes) % 360 < whole - 1e-9 for tooth in range(flutes)) for turn in range(360)
    )
    mean = row("meet.teeth", z=flutes, xw=share)
    assert row("meet.t", teeth=mean, hair_t=1e-6) == max(1, most) == teeth
    assert row("push.Fa", Ft=1.0, helix=30.0, p__t=teeth) == pytest.approx(0.577 * teeth, abs=2e-3 * teeth)
