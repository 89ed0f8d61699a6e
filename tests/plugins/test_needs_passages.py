"""Passages: open, closed, too narrow, too low; figures against closed forms and another library's voxels."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

import numpy as np
import pytest
from builders import HERE, cutter, drilled, freed, groove, hole, kit, operation, planned, plate, pocket
from hypothesis import given, settings
from hypothesis import strategies as st

from kitforge.geometry.search import largest
from kitforge.geometry.shapes import circle, polyline, rectangle
from kitforge.geometry.transform import translated
from kitforge.model.findings import Finding
from kitforge.model.kit import CutterKind, Face, Operation, OperationKind
from kitforge.model.needs import End, PassageNeed
from kitforge.model.path import Path
from kitforge.surface.volumes import hollow_of
from kitforge_needs import kitforge_check
from kitforge_needs.free_space import SpaceMap
from kitforge_needs.openings import opening_for

ROUND = circle((100, 80), 60)
NORTH = polyline([(100, 80), (100, 154)])


def need(
    width: float = 6.0, height: float = 5.0, end: str | End = End.OUTSIDE, start: str = "pocket-1", **more: object
) -> PassageNeed:
    plain = PassageNeed("board", start, end, width, height, round=False, source=HERE, use="the cable")
    return replace(plain, **more)  # type: ignore[arg-type]


def found(operations: Iterable[Operation], *needs: PassageNeed, outline: Path | None = None) -> list[Finding]:
    own = kit(freed(*operations, outline=outline), needs=needs)
    return list(kitforge_check(own, planned(own)))


def codes_of(operations: Iterable[Operation], *needs: PassageNeed) -> list[str]:
    return [finding.code for finding in found(operations, *needs)]


def widest(operations: Iterable[Operation], height: float, start: str = "pocket-1") -> float:
    """The widest body of a height that comes from a feature to the outside."""
    part = freed(*operations)
    own = kit(part)
    maze = SpaceMap(hollow_of(part, planned(own), (height,)), start, End.OUTSIDE)
    ((_, volumes),) = maze.starts()
    return largest(lambda width: maze.travel(volumes, width, height).arrives, 100.0)


def test_a_closed_pocket_is_found_with_what_would_open_it() -> None:
    """The shortest groove goes straight to the nearest edge, half a millimetre longer at each end."""
    (finding,) = found([pocket(ROUND, depth=12)], need(width=6, height=8))
    assert (finding.code, finding.severity, finding.part, finding.source) == ("need-passage", "error", "board", HERE)
    assert str(finding.message) == (
        "No passage for the cable from 'Pocket' to the edge of the part: it is closed on all sides."
    )
    assert str(finding.advice) == (
        "A groove 6 mm wide and 8 mm deep in the top face from (100, 106.5) mm to (100, 153.5) mm, cut with 6 mm "
        "up-cut cutter, would open it."
    )
    assert finding.at == pytest.approx((100, 130), abs=0.1)


def test_a_groove_over_the_edge_opens_it_and_the_figures_are_told() -> None:
    (finding,) = found([pocket(ROUND, depth=12), groove(NORTH, depth=8)], need(height=8))
    assert (finding.code, finding.severity) == ("need-met", "note")
    assert "6 mm goes through where it is narrowest, near (100, " in str(finding.message)


def test_a_groove_that_ends_at_the_edge_is_open_only_if_its_round_end_is_beyond() -> None:
    """A cutter that stops with its middle on the edge has cut the full width up to it; 3 mm before, it has not."""
    pocketed = pocket(ROUND, depth=12)
    at_edge, before = (groove(polyline([(100, 80), (100, y)]), depth=6) for y in (150.0, 147.0))
    assert codes_of([pocketed, at_edge], need()) == ["need-met"]
    assert codes_of([pocketed, before], need()) == ["need-passage"]


@pytest.mark.parametrize(
    ("width", "height", "said"),
    [
        (7, 5, "is too narrow: near (100, "),
        (6, 7, "is too low: what is 6 mm wide goes through up to a height of 6 mm, and 7 mm is asked for"),
        (7, 7, "is both too narrow and too low"),
        (6, 19, "is to be 19 mm high, and the part is 18 mm thick"),
        (70, 5, "'Pocket' itself is 60 mm wide and 12 mm deep"),
    ],
)
def test_what_is_wrong_with_a_way_is_said(width: float, height: float, said: str) -> None:
    operations = [pocket(ROUND, depth=12)] if width == 70 else [pocket(ROUND, depth=12), groove(NORTH, depth=6)]
    (finding,) = found(operations, need(width, height))
    assert finding.code == "need-passage"
    assert said in str(finding.message)


def test_the_other_face_is_another_way() -> None:
    """A pocket from below is not opened by a shallow groove from above; a groove deep enough meets it."""
    below = pocket(ROUND, depth=10, face=Face.BOTTOM)
    assert codes_of([below, groove(NORTH, depth=6)], need()) == ["need-passage"]
    assert codes_of([below, groove(NORTH, depth=6, face=Face.BOTTOM)], need()) == ["need-met"]
    deep = groove(NORTH, depth=13)  # meets the pocket over 5 mm of height: 18 - 10 = 8 down to 13
    assert codes_of([below, deep], need(height=5)) == ["need-met"]
    assert codes_of([below, deep], need(height=5.1)) == ["need-met"]  # it can rise in the groove and sink in the pocket
    assert codes_of([below, groove(NORTH, depth=7.9)], need(height=5)) == ["need-passage"]


def test_up_and_down_the_width_is_a_diameter() -> None:
    """From a pocket below through a drilled hole to the top face, and no wider than the hole."""
    operations = [pocket(ROUND, depth=10, face=Face.BOTTOM), drilled((100, 80), depth=18.0, through=True)]
    ends = (End.TOP, End.BOTTOM, "drill-2")
    assert codes_of(operations, *(need(6, 6, end) for end in ends)) == ["need-met"] * 3
    narrow = ["need-passage", "need-met", "need-passage"]
    assert codes_of(operations, *(need(6.1, 5, end) for end in ends)) == narrow


def test_a_dish_over_a_hole_drains_and_one_beside_it_does_not() -> None:
    dish = pocket(circle((60, 75), 50), depth=4)
    assert codes_of([dish, hole(60, 75, 8)], need(8, 8, End.BOTTOM)) == ["need-met"]
    (finding,) = found([dish, hole(140, 75, 8)], need(8, 8, End.BOTTOM))
    assert finding.code == "need-passage"
    assert str(finding.advice).startswith("A hole 8 mm wide and 18 mm deep in the top face at (60, 75) mm"), str(
        finding.advice
    )


def test_from_every_area_of_a_feature_there_must_be_a_way() -> None:
    two = pocket(circle((50, 80), 30), circle((150, 80), 30), depth=12)
    left = groove(polyline([(50, 80), (50, 154)]), depth=6)
    (finding,) = found([two, left], need())
    assert finding.code == "need-passage"
    assert finding.at is not None
    assert finding.at[0] == pytest.approx(182.5, abs=0.2)  # on the way to the nearest edge, on the right


def test_from_feature_to_feature() -> None:
    one, other = pocket(circle((50, 75), 30), depth=12), pocket(circle((150, 75), 30), depth=8)
    (closed,) = found([one, other], need(end="pocket-2"))
    assert str(closed.message).endswith("there is wood all the way between them.")
    assert "5 mm deep in the top face" in str(closed.advice)
    joined = groove(polyline([(50, 75), (150, 75)]), depth=5)
    assert codes_of([one, other, joined], need(end="pocket-2")) == ["need-met"]


def test_facing_the_whole_board_opens_nothing() -> None:
    """The skim makes the part thinner; its air is not a passage."""
    skim = operation(OperationKind.FACE, [rectangle((200, 150))], depth=2, tool=cutter(20))
    assert codes_of([skim, pocket(ROUND, depth=12)], need(2, 1, start="pocket-2")) == ["need-passage"]


def test_an_operation_that_cuts_nothing_of_its_own_is_no_place_to_begin() -> None:
    (finding,) = found([pocket(ROUND)], need(start="outside"))
    assert "takes no wood out of 'Board'" in str(finding.message)


@given(st.floats(2.0, 10.0), st.floats(1.0, 11.0), st.floats(0.02, 3.0))
@settings(max_examples=8, deadline=None)
def test_a_wider_groove_opens_a_narrower_one_never(wide: float, deep: float, spare: float) -> None:
    """Closed form: a groove of a flat cutter is as wide as the cutter and as high as it is deep."""
    tool = cutter(wide + spare)
    operations = [pocket(ROUND, depth=12), groove(NORTH, depth=deep, tool=tool)]
    assert codes_of(operations, need(wide, deep)) == ["need-met"]
    narrow = [pocket(ROUND, depth=12), groove(NORTH, depth=deep, tool=cutter(wide - min(spare, wide / 2)))]
    assert codes_of(narrow, need(wide, deep)) == ["need-passage"]
    assert codes_of(operations, need(wide, deep + min(spare, 0.9))) == ["need-passage"]


@given(st.floats(-500, 500), st.floats(-500, 500))
@settings(max_examples=4, deadline=None)
def test_moving_the_whole_part_changes_nothing(dx: float, dy: float) -> None:
    def widths(x: float, y: float) -> tuple[list[str], list[str]]:
        ways = [pocket(translated(ROUND, x, y), depth=12), groove(translated(NORTH, x, y), depth=6)]
        told = found(ways, need(), need(6.5), outline=translated(plate(), x, y))
        return [finding.code for finding in told], [str(finding.message).partition("near")[0] for finding in told]

    assert widths(dx, dy) == widths(0, 0)


@pytest.mark.parametrize("height", [0.5, 2.0, 4.0])
def test_a_v_groove_is_as_wide_as_its_flanks_at_that_depth(height: float) -> None:
    """Closed form: w = t + 2 (d - h) tan(A / 2), with the tip t, the depth d and the included angle A."""
    tool = cutter(25.4, CutterKind.V_BIT, angle=90.0, tip=0.4)
    ways = [pocket(ROUND, depth=12), groove(NORTH, depth=6, tool=tool)]
    assert widest(ways, height) == pytest.approx(0.4 + 2 * (6 - height), abs=0.02)


@pytest.mark.parametrize("height", [1.0, 3.0, 5.0])
def test_a_groove_of_a_ball_nose_is_as_wide_as_its_circle_at_that_depth(height: float) -> None:
    """Closed form: the chord 2 sqrt(R^2 - (R - s)^2) at s = d - h above the lowest point, 2 R from s = R on."""
    tool = cutter(8, CutterKind.BALL_NOSE, corner_radius=4.0)
    above = 6 - height
    chord = 8.0 if above >= 4 else 2 * math.sqrt(16 - (4 - above) ** 2)
    assert widest([pocket(ROUND, depth=12), groove(NORTH, depth=6, tool=tool)], height) == pytest.approx(
        chord, abs=0.02
    )


@given(
    st.floats(35, 165), st.floats(35, 115), st.floats(20, 60), st.floats(3, 17), st.sampled_from(Face), st.floats(2, 8)
)
@settings(max_examples=12, deadline=None)
def test_what_is_proposed_opens_the_passage(x: float, y: float, size: float, deep: float, face: Face, w: float) -> None:
    """The proposal is cut as an operation of its own, and the need is met."""
    closed = pocket(circle((x, y), size), depth=deep, face=face)
    asked = need(w, min(deep, 5.0))
    own = kit(freed(closed))
    hollow = hollow_of(own.parts[0], planned(own))
    ((_, start),) = SpaceMap(hollow, "pocket-1", End.OUTSIDE).starts()
    opening = opening_for(own, asked, hollow, start)
    assert opening is not None
    cut = groove(
        polyline([opening.start, opening.end]), depth=opening.depth, face=opening.face, tool=cutter(opening.width)
    )
    assert codes_of([closed, cut], asked) == ["need-met"]
    assert opening.depth == pytest.approx(asked.height)


def voxels_say(ways: list[tuple[float, float, float, Face]], width: float, height: int) -> bool:
    """Whether a cylinder gets from a square pocket to the edge: scipy's erosion and labels on cells of 1 mm."""
    from scipy import ndimage

    free = np.zeros((120, 100, 18), dtype=bool)
    free[45:75, 35:65, 0:12] = True
    free[:10], free[110:], free[:, :10], free[:, 90:] = True, True, True, True
    for x, wide, deep, face in ways:
        levels = slice(0, round(deep)) if face is Face.TOP else slice(18 - round(deep), 18)
        free[round(x - wide / 2) : round(x + wide / 2), 50:, levels] = True
    reach = np.arange(-int(width), int(width) + 1)
    disc = reach[:, None] ** 2 + reach[None, :] ** 2 <= (width / 2) ** 2
    body = np.repeat(disc[:, :, None], height, axis=2)
    middles = ndimage.binary_erosion(free, body, origin=(0, 0, 0), border_value=0)
    labels, _ = ndimage.label(middles)
    inside, outside = set(np.unique(labels[45:75, 35:65, : 12 + height // 2])), set(np.unique(labels[:, 94:]))
    return bool((inside & outside) - {0})


@given(
    st.lists(
        st.tuples(
            st.sampled_from([50, 60, 70]), st.sampled_from([6, 12]), st.sampled_from([3, 7, 13]), st.sampled_from(Face)
        ),
        max_size=2,
    ),
    st.sampled_from([3, 8.9]),
    st.sampled_from([1, 5]),
)  # fmt: skip
@settings(max_examples=10, deadline=None)
def test_voxels_of_another_library_agree(
    ways: list[tuple[float, float, float, Face]], width: float, height: int
) -> None:
    """scipy.ndimage (binary erosion with the body, connected labels) on whole millimetres, sizes well apart."""
    square = pocket(rectangle((30, 30), at=(35, 25)), depth=12, tool=cutter(1))
    cuts = [
        pocket(rectangle((w, 60), at=(x - 10 - w / 2, 40)), depth=d, face=face, tool=cutter(1))
        for x, w, d, face in ways
    ]
    own = kit(freed(square, *cuts, outline=rectangle((100, 80))), needs=(need(width, height),))
    told = [finding.code for finding in kitforge_check(own, planned(own))]
    assert (told == ["need-met"]) == voxels_say(ways, width, height)
