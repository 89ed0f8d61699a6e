"""A part measures what is left of its outline when all is cut. Invented data."""

from __future__ import annotations

import math

import pytest
from builders import cutter, freed, groove, operation, outside, part, pocket

from kitforge.geometry.extent import Extent, Form
from kitforge.geometry.shapes import rectangle
from kitforge.model.kit import CutterKind, Face, Operation, OperationKind, Part, Side
from kitforge.model.path import Path, Vertex, circle
from kitforge.planning.overall import part_extent
from kitforge.print.figures import Units
from kitforge.print.sizes import part_size

BOARD = 200.0, 150.0


def sizes(of: Part) -> tuple[float, float]:
    extent = part_extent(of)
    return round(extent.along, 2), round(extent.across, 2)


def line(*spots: tuple[float, float]) -> Path:
    return Path(tuple(Vertex(*spot) for spot in spots), closed=False)


def through(does: OperationKind, shape: Path, tool: float = 6.0, **more: object) -> Operation:
    return operation(does, [shape], 18.0, cutter(tool), through=True, allowance=0.5, **more)


def test_a_part_measures_along_its_own_sides() -> None:
    turned = part(outline=rectangle((60, 40), angle=30))
    assert (part_extent(turned).along, part_extent(turned).across) == pytest.approx((60, 40))


def test_a_cut_along_an_edge_takes_off_the_size_what_it_takes_off_the_wood() -> None:
    """A cutter of 6 mm on a line 2.6 mm outside the edge goes 0.4 mm into the part."""
    trim = through(OperationKind.PROFILE, line((-9, -2.6), (209, -2.6)), side=Side.ON)
    of = freed(trim)
    assert sizes(of) == (200, 149.6)
    assert part_extent(of).form is Form.RECTANGLE
    assert part_extent(of).centre == pytest.approx((100, 75.2))
    assert part_size(of, Units("mm", both=False)).main == "200 × 149.6 × 18 mm"


def test_a_strip_that_is_waste_is_no_part_of_the_size() -> None:
    """The line leaves a strip of 1 mm outside it: 200 mm2 are small waste, 800 mm2 are wood that somebody keeps."""
    of = freed(through(OperationKind.PROFILE, line((-9, 4), (209, 4)), side=Side.ON))
    assert sizes(of) == (200, 143)
    kept = freed(through(OperationKind.PROFILE, line((-9, 7), (209, 7)), side=Side.ON))
    assert sizes(kept) == BOARD


def test_a_part_that_is_cut_free_on_its_line_is_smaller_by_the_cutter() -> None:
    on = outside(rectangle(BOARD), cutter(6), side=Side.ON)
    assert sizes(part(on)) == (194, 144)


@pytest.mark.parametrize(
    "cut",
    [
        pocket(rectangle((30, 170), at=(-10, -10))),  # a rabbet leaves the wood below it
        through(OperationKind.POCKET, rectangle((30, 30), at=(-10, -10))),  # a corner is gone, both edges stand
        through(OperationKind.POCKET, rectangle((30, 30), at=(80, 60))),
        through(OperationKind.POCKET, circle(100, -5, 30)),  # a bite out of the middle of an edge
    ],
)
def test_what_leaves_wood_at_every_side_leaves_the_size(cut: Operation) -> None:
    assert sizes(freed(cut)) == BOARD


@pytest.mark.parametrize(("above", "below", "width"), [(10.0, 8.0, 140.0), (10.0, 7.9, 150.0)])
def test_rabbets_from_both_faces_take_an_edge_where_they_meet(above: float, below: float, width: float) -> None:
    top = pocket(rectangle((220, 20), at=(-10, -10)), depth=above)
    bottom = pocket(rectangle((220, 40), at=(-10, -30)), depth=below, face=Face.BOTTOM)
    assert sizes(freed(top, bottom)) == (200, width)


def test_a_turned_part_is_measured_along_the_sides_that_are_left() -> None:
    c, s = math.cos(math.radians(30)), math.sin(math.radians(30))
    ends = [(30 + u * c - v * s, 20 + u * s + v * c) for u, v in ((-40, -22), (40, -22))]
    of = part(through(OperationKind.PROFILE, line(*ends), side=Side.ON), outline=rectangle((60, 40), angle=30))
    assert sizes(of) == (60, 39)
    assert part_extent(of).angle == pytest.approx(30)


def test_a_disc_with_a_flat_is_no_disc() -> None:
    flat = through(OperationKind.POCKET, rectangle((40, 120), at=(45, -60)))
    of = part(flat, outline=circle(0, 0, 50))
    extent: Extent = part_extent(of)
    assert (extent.form, sizes(of)) == (Form.FREE, (95, 100))


def test_a_pointed_cutter_leaves_an_edge_below_what_it_opens_at_the_face() -> None:
    """A point of 90 degrees, 18.5 mm deep, is 1 mm wide at the lower face: 0.5 mm on either side of its line."""
    vee = cutter(60, CutterKind.V_BIT, angle=90.0, tip=0.0)
    along = groove(line((-9, 0), (209, 0)), depth=18.0, tool=vee, through=True, allowance=0.5)
    assert sizes(part(along)) == (200, 149.5)


def test_a_part_of_which_nothing_is_left_keeps_the_size_of_its_outline() -> None:
    all_of_it = through(OperationKind.POCKET, rectangle((240, 190), at=(-20, -20)))
    assert sizes(part(all_of_it)) == BOARD
