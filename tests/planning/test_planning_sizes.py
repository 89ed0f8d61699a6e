"""Sizes of what operations make, and which of them can be measured on the piece. Invented data."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from builders import cutter, drilled, groove, operation, outside, part, pocket

from kitforge.geometry.extent import Form
from kitforge.geometry.shapes import rectangle
from kitforge.model.kit import CutterKind, Face, Operation, OperationKind, Part, Side
from kitforge.model.path import Path, Vertex, circle
from kitforge.planning.sizes import has_flat_floor, made_by
from kitforge.planning.walls import walls_of


def sizes(of: Operation) -> list[tuple[float, float]]:
    return [(round(one.along, 3), round(one.across, 3)) for one in made_by(of).extents]


def line(*spots: tuple[float, float]) -> Path:
    return Path(tuple(Vertex(*spot) for spot in spots), closed=False)


def test_a_relief_is_stated_and_not_measured() -> None:
    """A dog-bone goes r (1 - 1 / sqrt 2) beyond each wall; the recess is as wide as it is drawn."""
    square = pocket(rectangle((58, 40), at=(20, 20)), relief="dog-bone", tool=cutter(6.35))
    assert sizes(square) == [(58, 40)]
    assert made_by(square).relief == pytest.approx(6.45)
    assert square.shapes[0].bounds.width == pytest.approx(58 + 2 * 3.225 * (1 - 1 / math.sqrt(2)))


def test_a_straight_groove_is_measured_over_its_ends_and_another_line_from_middle_to_middle() -> None:
    straight = made_by(groove(line((20, 20), (60, 20)), tool=cutter(6)))
    assert (straight.extents[0].form, straight.extents[0].longer, straight.line) == (Form.SLOT, 46, 6)
    bent = made_by(groove(line((20, 20), (60, 20), (60, 50)), tool=cutter(6)))
    assert (bent.middles, bent.extents[0].along, bent.extents[0].across, bent.places[0]) == (True, 40, 30, (20, 20))


def test_a_cut_on_its_line_is_as_wide_as_its_cutter() -> None:
    on = made_by(operation(OperationKind.PROFILE, [line((20, 20), (60, 20))], 6.0, cutter(5), side=Side.ON))
    assert (on.line, on.extents[0].longer, on.extents[0].shorter) == (5, 45, 5)


def test_a_shallow_hollow_has_the_rim_of_its_depth() -> None:
    """A ball of radius r goes in 2 sqrt(d (2 r - d)) wide at the depth d: the chord of a circle."""
    dimple = operation(OperationKind.DISH, (), 2.0, cutter(12, CutterKind.BALL_NOSE), points=((20, 20),))
    assert sizes(dimple) == [(round(2 * math.sqrt(2 * 10), 3),) * 2]
    assert not has_flat_floor(dimple)


def test_a_countersink_has_the_diameter_of_its_cone_at_the_face() -> None:
    sink = drilled((20, 20), depth=3.0, tool=cutter(12, CutterKind.V_BIT, angle=90.0, tip=0.0))
    assert sizes(sink) == [(6, 6)]


def test_facing_goes_beyond_its_shape_by_half_the_cutter() -> None:
    field = operation(OperationKind.FACE, [rectangle((60, 40), at=(40, 40))], 0.8, cutter(6))
    assert sizes(field) == [(66, 46)]


def test_an_island_makes_no_second_recess() -> None:
    ring = made_by(pocket(circle(50, 50, 30), circle(50, 50, 10)))
    assert (ring.count, ring.extents[0].along) == (1, 60)


def test_a_bevel_has_a_width_and_a_lettering_is_one() -> None:
    bevel = made_by(operation(OperationKind.CHAMFER, [rectangle((200, 150))], 1.0, width=1.5))
    assert (bevel.count, bevel.line) == (0, 1.5)
    word = made_by(operation(OperationKind.ENGRAVE, [rectangle((10, 8)), rectangle((10, 8), at=(20, 1))], 1.0))
    assert (word.count, word.extents[0].along, word.extents[0].across) == (1, 30, 9)


@pytest.mark.parametrize(
    ("kind", "corner", "flat"),
    [
        (CutterKind.UP_CUT, 0.0, True),
        (CutterKind.BOWL, 3.0, True),
        (CutterKind.BOWL, 6.0, False),
        (CutterKind.BALL_NOSE, 0.0, False),
        (CutterKind.V_BIT, 0.0, False),
    ],
)
def test_only_a_flat_cutter_leaves_a_flat_floor(kind: CutterKind, corner: float, flat: bool) -> None:
    dish = operation(OperationKind.DISH, [circle(50, 50, 30)], 3.0, cutter(12, kind, corner_radius=corner))
    assert has_flat_floor(dish) is flat
    assert not has_flat_floor(replace(dish, through=True))


def marked(of: Part, number: int = 0) -> list[tuple[bool, bool]]:
    made = walls_of(of).made_by(of.operations[number])
    return [(one.open_along, one.open_across) for one in made.extents]


def test_what_lies_clear_in_the_wood_can_be_measured() -> None:
    of = part(pocket(rectangle((50, 30), at=(20, 20))), drilled((120, 20), (120, 60)))
    assert [marked(of, number) for number in range(2)] == [[(False, False)], [(False, False)] * 2]


def test_a_rabbet_has_no_width_across_the_edge_it_runs_out_over() -> None:
    of = part(pocket(rectangle((20, 60), at=(190, 40))))
    assert marked(of) == [(True, False)]


def test_a_groove_that_ends_in_a_deeper_recess_has_no_length() -> None:
    deep, shallow = (pocket(circle(50, 50, 20), depth=depth) for depth in (6.0, 1.0))
    way = groove(line((50, 50), (120, 50)), depth=3.0)
    assert marked(part(way, deep)) == [(True, False)]
    assert marked(part(way, shallow)) == [(False, False)]  # below the shallow one both its ends stand


def test_a_hole_in_the_floor_of_a_recess_has_its_diameter_below_it() -> None:
    through = operation(OperationKind.POCKET, [circle(50, 50, 10)], 18.0, through=True)
    assert marked(part(through, pocket(circle(50, 50, 20)))) == [(False, False)]


def test_a_recess_from_the_other_face_takes_the_wall_only_where_both_meet() -> None:
    above = pocket(rectangle((40, 40), at=(40, 40)), depth=8.0)
    below = pocket(rectangle((80, 80), at=(20, 20)), face=Face.BOTTOM)
    assert marked(part(above, replace(below, depth=8.0))) == [(False, False)]
    assert marked(part(above, replace(below, depth=18.0, through=True))) == [(True, True)]


def test_a_round_hole_over_the_edge_has_no_diameter() -> None:
    assert marked(part(pocket(circle(205, 75, 20)))) == [(True, True)]
    assert marked(part(pocket(circle(175, 75, 20)), outside(rectangle((200, 150))))) == [(False, False)]
