"""Seats, joints, rows and wood that stays: each need met and not met, with figures from closed forms."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from builders import HERE, cutter, drilled, freed, groove, kit, operation, outside, part, planned, pocket, setup, stock
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import Point, box
from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry

from kitforge.geometry.boxfit import RectangleTrials, fits, middles, widest
from kitforge.geometry.region import offset
from kitforge.geometry.shapes import circle, polyline, rectangle
from kitforge.model.findings import Finding
from kitforge.model.kit import CutterKind, Face, Operation, OperationKind, Part, Side
from kitforge.model.needs import CountNeed, JointNeed, KeepNeed, LineNeed, Need, SeatNeed, SpacingNeed, Spread
from kitforge.model.path import Path
from kitforge.surface.seats import clearance_of, floors_of
from kitforge_needs import kitforge_check
from kitforge_needs.retention import Hole, _nearest


def prove(*parts: Part, need: Need) -> list[Finding]:
    setups = [setup(face, stock=key) for key in {one.stock.key for one in parts} for face in Face]
    own = kit(*parts, needs=(need,), setups=setups)
    return list(kitforge_check(own, planned(own)))


def code(*operations: Operation, need: Need) -> str:
    (finding,) = prove(freed(*operations), need=need)
    assert (finding.severity == "note") == (finding.code == "need-met")
    return finding.code


def seat(feature: str = "pocket-1", **more: object) -> SeatNeed:
    plain = SeatNeed("board", feature, (60.0, 60.0), True, 12.0, 0.5, 0.0, None, HERE, "the light")
    return replace(plain, **more)  # type: ignore[arg-type]


ROUND = circle((100, 75), 61)


def test_a_round_thing_fits_with_its_clearance_or_not() -> None:
    """Closed form: clearance = (D - d) / 2."""
    assert code(pocket(ROUND, depth=12), need=seat()) == "need-met"
    (finding,) = prove(freed(pocket(ROUND, depth=12)), need=seat(clearance=0.6))
    assert finding.code == "need-holds"
    assert str(finding.message) == (
        "'Pocket' does not hold the light (60 mm round, 12 mm high, with 0.6 mm around it) near (100, 75) mm: at most "
        "61 mm round goes in at its floor."
    )
    assert str(finding.advice) == "Make the feature 0.2 mm wider."


@pytest.mark.parametrize(
    ("depth", "proud", "sunk", "expected"),
    [
        (12, 0, None, "need-met"),
        (11, 0, None, "need-holds"),
        (11, 1, None, "need-met"),
        (15, 0, None, "need-met"),
        (15, 0, 2.9, "need-holds"),
        (15, 0, 3, "need-met"),
    ],
)
def test_how_far_it_stands_out_or_lies_below(depth: float, proud: float, sunk: float | None, expected: str) -> None:
    assert code(pocket(ROUND, depth=depth), need=seat(proud=proud, sunk=sunk)) == expected


def test_on_the_floor_of_a_bowl_there_is_less_room_than_at_the_face() -> None:
    """A bowl cutter of corner radius r leaves its floor r narrower on each side, but for what is 0.05 mm above it."""
    bowl = cutter(12, CutterKind.BOWL, corner_radius=4.0)
    dish = operation(OperationKind.DISH, [circle((100, 75), 61)], depth=6, tool=bowl)
    own = kit(freed(dish))
    (floor,) = floors_of(own.parts[0], planned(own), "dish-1")
    blunt = 4 - math.sqrt(4**2 - (4 - 0.05) ** 2)
    assert clearance_of(floor, seat(feature="dish-1", size=(40, 40))) == pytest.approx(10.5 - blunt, abs=0.01)


def test_a_thing_in_a_pocket_of_the_other_face() -> None:
    assert code(pocket(ROUND, depth=12, face=Face.BOTTOM), need=seat()) == "need-met"
    assert code(pocket(ROUND, depth=10, face=Face.BOTTOM), need=seat()) == "need-holds"


@given(st.floats(0.5, 6), st.floats(0.2, 4), st.floats(0.2, 4), st.floats(0, 180))
@settings(max_examples=8, deadline=None)
def test_a_rectangle_in_rounded_corners(radius: float, gap_x: float, gap_y: float, angle: float) -> None:
    """Closed form: the corner, gx - c and gy - c from the walls, is on the arc: (r-gx+c)^2 + (r-gy+c)^2 = r^2."""
    assume(min(gap_x, gap_y) < radius)
    shape = rectangle((60, 40), centre=(100, 75), angle=angle)
    own = kit(freed(pocket(shape, depth=12, tool=cutter(2 * radius))))
    (floor,) = floors_of(own.parts[0], planned(own), "pocket-1")
    a, b = radius - gap_x, radius - gap_y
    straight = min(gap_x, gap_y)
    root = (-(a + b) + math.sqrt(max((a + b) ** 2 - 2 * (a * a + b * b - radius**2), 0.0))) / 2
    expected = min(root, straight) if a + straight > 0 and b + straight > 0 else straight
    thing = seat(size=(60 - 2 * gap_x, 40 - 2 * gap_y), round=False)
    assert clearance_of(floor, thing) == pytest.approx(expected, abs=0.01)


@given(st.floats(2, 30), st.floats(2, 30), st.floats(0, 90))
@settings(max_examples=15, deadline=None)
def test_where_the_middle_of_a_rectangle_may_be(along: float, across: float, angle: float) -> None:
    """By definition: at every such place the rectangle lies in the area, and a little beyond its edge it does not."""
    from shapely import Point, box
    from shapely.affinity import rotate, translate

    area = box(0, 0, 60, 50).difference(box(25, 20, 35, 60))
    turned = rotate(area, angle, origin=(0, 0))
    where = middles(turned, along, across, angle)
    assert fits(turned, along, across, angle) is not where.is_empty
    for x, y in [(12.5, 25), (47.5, 25), (30, 10), (30, 30), (12.5, 40)]:
        inside = area.buffer(1e-6).contains(translate(box(-along / 2, -across / 2, along / 2, across / 2), x, y))
        if where.boundary.distance(Point(x, y)) > 1e-3:
            assert where.contains(Point(x, y)) is inside


@given(st.lists(st.tuples(st.floats(0.1, 70), st.floats(0.1, 60)), min_size=2, max_size=6), st.sampled_from([0, 25]))
@settings(max_examples=15, deadline=None)
def test_what_was_tried_before_decides_nothing(sizes: list[tuple[float, float]], angle: float) -> None:
    """Expected: of each size what its own place says, whatever was tried in the same room before; also one that
    touches nothing of what the last one left, and none in no area."""
    from shapely import MultiPolygon, box
    from shapely.affinity import rotate

    area = rotate(box(0, 0, 60, 50).difference(box(25, 20, 35, 60)), angle, origin=(0, 0))
    room = RectangleTrials(area, angle)
    expected = [middles(area, *size, angle).area > 0 for size in sizes]
    assert expected == [room.fits(*size) for size in sizes]
    assert [RectangleTrials(area, angle).fits(24.9, 29.9), room.fits(0.1, 0.1)] == [True, True]
    assert not RectangleTrials(MultiPolygon()).fits(1, 1)


def joint(**more: object) -> JointNeed:
    plain = JointNeed("board", "pocket-1", None, "leg", 40.0, None, (0.1, 0.4), HERE, "the leg")
    return replace(plain, **more)  # type: ignore[arg-type]


def leg(thick: float = 12.0) -> Part:
    return part(outside(rectangle((50, 60))), outline=rectangle((50, 60)), key="leg", stock=stock(thick, key="thin"))


def mortise(play: float, relief: str | None = "dog-bone", angle: float = 0.0, tool: float = 6.0) -> Operation:
    slot = rectangle((40 + play, 12 + play), centre=(100, 75), angle=angle)
    return pocket(slot, depth=18.0, through=True, relief=relief, tool=cutter(tool))


@pytest.mark.parametrize(
    ("play", "expected"), [(0.2, "need-met"), (0.1, "need-met"), (0.4, "need-met"), (0.08, "tight"), (0.42, "loose")]
)
def test_a_mortise_with_relief_has_the_play_it_is_drawn_with(play: float, expected: str) -> None:
    own = prove(freed(mortise(play, angle=30)), leg(), need=joint())
    if expected == "need-met":
        (finding,) = own
        assert f"a play of {play:g} mm in width and {play:g} mm in length" in str(finding.message)
    else:
        assert [finding.code for finding in own] == ["need-mates", "need-mates"]
        assert all(f"is too {expected} for 'Leg' for the leg" in str(finding.message) for finding in own)


def test_without_relief_the_corners_are_in_the_way() -> None:
    """A square corner stands (sqrt 2 - 1) r from the arc, so a tenon of nearly the slot's size stays out."""
    own = prove(freed(mortise(0.2, relief=None)), leg(), need=joint())
    assert {finding.code for finding in own} == {"need-mates"}
    assert all("corner_relief: dog-bone" in str(finding.advice) for finding in own)
    (finding,) = prove(freed(mortise(0.2, relief=None)), leg(), need=joint(width=30.0, clearance=(0.1, 12.0)))
    assert finding.code == "need-met"


def test_the_thickness_measured_counts() -> None:
    (finding,) = prove(freed(mortise(0.2)), leg(11.6), need=joint(width=None))
    assert finding.code == "need-mates"
    assert "its width takes 12.2 mm, the part measures 11.6 mm, which is 0.6 mm of play" in str(finding.message)
    assert str(finding.advice) == "Make the slot 0.2 mm smaller."


def notched(width: float) -> Path:
    left, right = 50 - width / 2, 50 + width / 2
    return polyline(
        [(0, 0), (100, 0), (100, 80), (right, 80), (right, 40), (left, 40), (left, 80), (0, 80)],
        closed=True,
    )


def half_lap(width: float, relief: str | None = "dog-bone") -> Part:
    outline = notched(width)
    return part(outside(outline, relief=relief), outline=outline)


@pytest.mark.parametrize(("width", "expected"), [(12.2, "need-met"), (12.05, "need-mates"), (12.6, "need-mates")])
@pytest.mark.parametrize("at", [(50.0, 75.0), (51.0, 60.0), (49.0, 50.0)])
def test_a_notch_in_the_outline(width: float, expected: str, at: tuple[float, float]) -> None:
    """The play is that between the walls, wherever in the slot the point is."""
    (finding,) = prove(half_lap(width), leg(), need=joint(feature="outside", at=at, depth=40.0, width=None))
    assert finding.code == expected
    assert f"{width - 12:g} mm" in str(finding.message)


def test_a_notch_without_relief_stops_the_edge_above_its_floor() -> None:
    """The corners of the notch keep the cutter's radius, so the edge does not go all the way down."""
    need = joint(feature="outside", at=(50.0, 60.0), width=None)
    (deep,) = prove(half_lap(12.2, relief=None), leg(), need=replace(need, depth=40.0))
    assert deep.code == "need-mates"
    assert "corner_relief: dog-bone" in str(deep.advice)


def test_a_point_in_the_wood_is_no_slot() -> None:
    (finding,) = prove(half_lap(12.2), leg(), need=joint(feature="outside", at=(20.0, 20.0), width=None))
    assert "cuts no slot at (20, 20) mm" in str(finding.message)
    (finding,) = prove(half_lap(12.2), leg(), need=joint(feature="outside", width=None))
    assert finding.code == "need-mates"


def test_a_slot_that_is_an_arm_of_a_cut() -> None:
    """A cross that a profile cuts inside: each arm is a slot of its own."""
    arm, w = 60.0, 6.1
    corners = [(arm, -w), (arm, w), (w, w), (w, arm), (-w, arm), (-w, w), (-arm, w), (-arm, -w)]
    cross = polyline([*corners, (-w, -w), (-w, -arm), (w, -arm), (w, -w)], closed=True)
    cut = operation(OperationKind.PROFILE, [cross], 18.0, through=True, side=Side.INSIDE, relief="dog-bone")
    outline = rectangle((160, 160), centre=(0, 0))
    need = joint(feature="profile-1", at=(40.0, 1.0), depth=30.0, width=None)
    (finding,) = prove(freed(cut, outline=outline), leg(), need=need)
    assert (finding.code, "play of 0.2 mm in width" in str(finding.message)) == ("need-met", True)


HOLES = drilled((20, 40), (52, 40), (84, 40), (116, 40))


def test_holes_are_counted() -> None:
    """Points, areas without their islands, and lines count."""
    assert code(HOLES, need=CountNeed("board", "drill-1", 4, HERE)) == "need-met"
    assert code(HOLES, need=CountNeed("board", "drill-1", 5, HERE)) == "need-count"
    island = pocket(circle((60, 70), 40), circle((60, 70), 20), circle((150, 70), 20))
    assert code(island, need=CountNeed("board", "pocket-1", 2, HERE)) == "need-met"
    lines = groove(polyline([(20, 20), (20, 90)]), polyline([(40, 20), (40, 90)]))
    assert code(lines, need=CountNeed("board", "groove-1", 2, HERE)) == "need-met"


def spacing(distance: float, spread: Spread = Spread.ROW, features: tuple[str, ...] = ("drill-1",)) -> SpacingNeed:
    return SpacingNeed("board", features, distance, spread, 0.1, HERE, "the shelf pins")


def test_holes_on_a_pitch() -> None:
    assert code(HOLES, need=spacing(32)) == "need-met"
    (finding,) = prove(freed(drilled((20, 40), (52, 40), (84.3, 40), (116, 40))), need=spacing(32))
    assert finding.code == "need-spacing"
    assert finding.at == pytest.approx((68.15, 40))
    assert "(52, 40) mm and (84.3, 40) mm are 32.3 mm apart" in str(finding.message)
    assert "(2 of 3 distances are off)" in str(finding.message)
    assert code(drilled((20, 40)), need=spacing(32)) == "need-spacing"


def test_a_pair_of_holes_over_two_operations_and_slantwise() -> None:
    """3-4-5: 57.6 and 76.8 make 96 mm between the screws of a handle."""
    pair = (drilled((20, 20)), drilled((77.6, 96.8)))
    assert code(*pair, need=spacing(96, features=("drill-1", "drill-2"))) == "need-met"
    assert code(*pair, need=spacing(96.2, features=("drill-1", "drill-2"))) == "need-spacing"


TWO_HANDLES = ((20, 20), (116, 20), (20, 52), (77.6, 128.8))
"""Two pairs 96 mm apart, one of them aslant (57.6 and 76.8: 3-4-5), nearer to each other than their holes are."""


def test_pairs_wherever_they_lie() -> None:
    assert code(drilled(*TWO_HANDLES), need=spacing(96, Spread.PAIRS)) == "need-met"
    assert code(drilled(*TWO_HANDLES), need=spacing(96)) == "need-spacing"
    assert code(*map(drilled, TWO_HANDLES), need=spacing(96, Spread.PAIRS, ("drill-1", "drill-2"))) == "need-met"


def test_a_hole_without_a_partner_is_named() -> None:
    """One of two screws of a handle drilled 1 mm off, and the third of an odd number."""
    off = prove(freed(drilled((20, 20), (116, 20), (20, 60), (117, 60))), need=spacing(96, Spread.PAIRS))
    assert [finding.code for finding in off] == ["need-spacing"]
    assert "(20, 60) mm has no partner 96 mm away" in str(off[0].message)
    assert "97 mm away" in str(off[0].message)
    assert "2 have none" in str(off[0].advice)
    assert code(drilled((20, 20), (116, 20), (20, 90)), need=spacing(96, Spread.PAIRS)) == "need-spacing"


def test_a_chain_of_holes_is_paired_so_that_none_is_left_over() -> None:
    """Four holes in a row, 32 mm apart: the outer ones have one partner each, so the inner ones must take them."""
    assert code(HOLES, need=spacing(32, Spread.PAIRS)) == "need-met"


def test_nowhere_nearer_than() -> None:
    assert code(HOLES, need=spacing(32, Spread.LEAST)) == "need-met"
    assert code(HOLES, need=spacing(32.2, Spread.LEAST)) == "need-spacing"


@pytest.mark.parametrize(
    ("off", "along", "expected"),
    [(0.0, "x", "need-met"), (0.0, None, "need-met"), (0.0, "y", "need-aligned"), (0.5, "x", "need-aligned")],
)
def test_in_a_line(off: float, along: str | None, expected: str) -> None:
    """Along x, one hole 0.5 mm up lies 0.25 mm beside the middle line."""
    holes = drilled((20, 40), (52, 40 + off), (84, 40))
    assert code(holes, need=LineNeed("board", ("drill-1",), along, 0.2, HERE)) == expected


@given(st.floats(0, 180), st.floats(0.3, 3))
@settings(max_examples=20, deadline=None)
def test_a_line_in_any_direction(angle: float, off: float) -> None:
    """Two points at +-30 and a middle one `off` beside them: the line of least squares lies a third of it away."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    holes = drilled(*((100 + u * c - v * s, 75 + u * s + v * c) for u, v in [(-30, 0), (0, off), (30, 0)]))
    away = off * 2 / 3
    assert code(holes, need=LineNeed("board", ("drill-1",), None, away + 0.01, HERE)) == "need-met"
    assert code(holes, need=LineNeed("board", ("drill-1",), None, away - 0.01, HERE)) == "need-aligned"


def keep(**more: object) -> KeepNeed:
    plain = KeepNeed("board", (), None, None, None, HERE)
    return replace(plain, **more)  # type: ignore[arg-type]


def test_a_floor_is_what_is_left_of_the_thickness() -> None:
    """18 mm less 14 mm is 4 mm; a drill of 6 mm with a point of 118 degrees goes 3 / tan 59 = 1.80 mm deeper."""
    assert code(pocket(ROUND, depth=14), need=keep(floor=4.0)) == "need-met"
    assert code(pocket(ROUND, depth=14), need=keep(floor=4.1)) == "need-keeps"
    assert code(drilled((50, 50), depth=14), need=keep(floor=2.19)) == "need-met"
    assert code(drilled((50, 50), depth=14), need=keep(floor=2.21)) == "need-keeps"
    assert code(drilled((50, 50), depth=18, through=True), need=keep(floor=4.0)) == "need-met"


@given(st.floats(2, 10), st.floats(2, 10), st.floats(0, 80))
@settings(max_examples=15, deadline=None)
def test_what_is_cut_from_both_faces_counts_where_it_lies_over_one_another(up: float, down: float, x: float) -> None:
    """Closed form: T - d1 - d2 where the circles overlap (middles nearer than 2 R), else T less the deeper one."""
    assume(abs(x - 40) > 0.5)
    both = (pocket(circle((60, 75), 40), depth=up), pocket(circle((60 + x, 75), 40), depth=down, face=Face.BOTTOM))
    floor = 18 - (up + down if x < 40 else max(up, down))
    found = prove(freed(*both), need=keep(floor=4.0))
    assert [one.code for one in found] == ["need-met" if floor >= 4 - 0.005 else "need-keeps"]


@pytest.mark.parametrize(("gap", "expected"), [(5.0, "need-met"), (4.9, "need-keeps"), (0.0, "need-met")])
def test_walls_and_edges(gap: float, expected: str) -> None:
    """Shapes that meet are one on purpose; what runs over the edge too."""
    left, right = circle((50, 75), 40), circle((90 + gap, 75), 40)
    assert code(pocket(left), pocket(right), need=keep(wall=5.0)) == expected
    assert code(pocket(circle((20 + gap, 75), 40)), need=keep(edge=5.0)) == expected


def test_cuts_at_different_depths_have_no_wall_between_them() -> None:
    shallow, below = pocket(circle((50, 75), 40), depth=4), pocket(circle((91, 75), 40), depth=4, face=Face.BOTTOM)
    assert code(shallow, below, need=keep(wall=5.0)) == "need-met"


def test_only_the_features_named_count() -> None:
    both = (pocket(circle((60, 75), 40), depth=16), pocket(circle((140, 75), 40), depth=6))
    assert code(*both, need=keep(floor=5.0, features=("pocket-2",))) == "need-met"
    assert code(*both, need=keep(floor=5.0)) == "need-keeps"


def test_the_offset_of_the_geometry_room_is_what_joints_rely_on() -> None:
    """Closing a square notch with a disc of r leaves (4 - pi) r^2 / 2 in its two corners (closed form)."""
    wood = notched(12.2).to_polygon()
    left = offset(offset(wood, 3.0), -3.0).difference(wood).area
    assert left == pytest.approx((4 - math.pi) * 9 / 2, rel=1e-3)


@given(
    st.lists(
        st.tuples(st.floats(0, 300), st.floats(0, 200), st.floats(0.5, 60), st.floats(0.5, 60)), min_size=2, max_size=12
    )
)
def test_the_nearest_area_is_that_of_all_distances(boxes: list[tuple[float, float, float, float]]) -> None:
    """Areas that meet are passed over; of equally near ones it is the first."""
    from shapely import Point, box

    areas = [
        Point(x, y).buffer(wide / 2) if n % 2 else box(x, y, x + wide, y + tall)
        for n, (x, y, wide, tall) in enumerate(boxes)
    ]
    holes = [Hole(pocket(ROUND), area, 0.0, 5.0) for area in areas]
    beside = list(range(1, len(holes)))
    apart = [(areas[0].distance(areas[n]), n) for n in beside if areas[0].distance(areas[n]) > 0.01]
    assert _nearest(holes[0], holes, beside) == min(apart, default=None)


def test_a_seat_is_measured_on_its_own_feature_alone() -> None:
    """What else is cut into the part neither costs time nor changes the floor."""
    alone = kit(freed(pocket(ROUND, depth=8)))
    both = kit(freed(pocket(ROUND, depth=8), drilled((150, 100), depth=4)))
    floors = [floors_of(own.parts[0], planned(own), "pocket-1") for own in (alone, both)]
    assert floors[0][0].equals(floors[1][0])


@settings(max_examples=25, deadline=None)
@given(st.floats(20, 90), st.floats(3, 18), st.floats(0, 180), st.floats(0.5, 3.0), st.floats(0.2, 0.95))
def test_the_widest_rectangle_is_where_fitting_ends(
    long: float, wide: float, angle: float, radius: float, share: float
) -> None:
    """Closed form: a slot with dog-bones is as wide as drawn beside them; a little more no longer fits."""
    slot: BaseGeometry = box(-long / 2, -wide / 2, long / 2, wide / 2)
    eaten = min(radius, wide / 4)
    for x in (-long / 2, long / 2):
        for y in (-wide / 2, wide / 2):
            slot = slot.union(Point(x, y).buffer(eaten))
    turned = rotate(slot, angle, origin=(0, 0))
    tenon = share * long + (0.0 if share * long > 2 * eaten else 2 * eaten)
    found = widest(turned, tenon, angle)
    assert found == pytest.approx(wide, abs=0.01)
    assert fits(turned, tenon, found - 0.004, angle)
    assert not fits(turned, tenon, found + 0.004, angle)


def test_nothing_fits_where_the_area_is_too_short() -> None:
    assert widest(box(0, 0, 20, 5), 21.0) == 0.0
