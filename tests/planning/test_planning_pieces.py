"""What a stock consists of after each step: worked out from the areas that are cut, never from names. Invented data."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely
from builders import cutter, drilled, freed, groove, hole, kit, outside, part, planned, plate, pocket, rounded

from kitforge.geometry.shapes import circle, polyline
from kitforge.model.kit import Face, OnionSkin, Operation, Part, Side, Tabs
from kitforge.model.pieces import Division, WoodPiece
from kitforge.planning.pieces import _CHIP, _is_chip, sound
from kitforge.planning.tabs import split_at_tabs


def after(of: Part, **more: object) -> list[Division]:
    """Return what the sheet of a part consists of after each step, in order."""
    plan = planned(kit(of, **more))  # type: ignore[arg-type]
    return [one for each in plan.setups for one in each.divisions]


def last(of: Part, **more: object) -> Division:
    return after(of, **more)[-1]


def disc_of(division: Division) -> WoodPiece:
    return next(piece for piece in division.pieces if piece.round)


def test_a_cut_that_stops_in_the_wood_divides_nothing() -> None:
    assert [len(one.pieces) for one in after(part(pocket(rounded(20, 20, 60, 40))))] == [1]


def test_a_circle_cut_through_inside_leaves_a_disc_that_nothing_joins() -> None:
    """80 mm less a cutter of 6 mm on both sides: a disc of 68 mm."""
    division = last(part(hole(100, 75, 80, hold=None)))
    disc = disc_of(division)
    assert disc.length == pytest.approx(68, abs=0.1)
    assert disc.area == pytest.approx(math.pi * 34**2, rel=0.01)
    assert (disc.part, disc.of_part, division.tied(disc)) == ("board", False, ())


def test_tabs_join_the_disc_to_the_part_as_wide_as_they_are() -> None:
    division = last(part(hole(100, 75, 80, hold=Tabs(3, 8, 3))))
    ties = division.tied(disc_of(division))
    assert [bridge.width_on(disc_of(division).number) for bridge in ties] == pytest.approx([8, 8, 8])
    assert len(division.group(disc_of(division))) == 2


@pytest.mark.parametrize("turned", [0.0, 30.0])
def test_tabs_are_what_all_runs_of_the_cutter_leave(turned: float) -> None:
    """The whole way at full depth is offset here; the plan looks only at what of it comes near a tab.

    They are the same but for slivers a few thousandths wide, which a thinned outline leaves along the walls.
    """
    corners = [(0, 0), (60, 0), (60, 40), (35, 40), (35, 20), (25, 20), (25, 40), (0, 40)]
    c, s = math.cos(math.radians(turned)), math.sin(math.radians(turned))
    shape = polyline([(100 + c * x - s * y, 60 + s * x + c * y) for x, y in corners], closed=True)
    of = part(outside(shape, hold=Tabs(4, 8, 3)))
    plan = planned(kit(of))
    (step,) = plan.steps
    assert step.travel is not None
    assert step.cut is not None
    below, _over = split_at_tabs(step.travel.chains, step.tabs, step.cutter.radius)
    full = shapely.union_all([shapely.LineString(chain).buffer(step.cutter.radius + 0.01) for chain in below])
    stubs = [one for one in shapely.get_parts(sound(step.cut).difference(full)) if one.area > 1]
    run = plan.sheets[0].placements[0]
    wanted = shapely.union_all([run.shape(one) for one in stubs])
    found = [one.shape for one in plan.setups[0].divisions[-1].bridges if one.shape is not None]
    assert len(stubs) == len(found) == 4
    assert shapely.union_all(found).symmetric_difference(wanted).area < 1e-3 * wanted.area


def test_a_skin_joins_all_around() -> None:
    division = last(part(hole(100, 75, 80, hold=OnionSkin(0.3))))
    (skin,) = division.tied(disc_of(division))
    assert skin.skin
    assert skin.width_on(disc_of(division).number) == pytest.approx(math.pi * 68, rel=0.02)


def test_two_circles_leave_a_ring_and_a_disc() -> None:
    first, second = hole(100, 75, 40, hold=None), hole(100, 75, 90, hold=None)
    assert [len(one.pieces) for one in after(part(first, second))] == [2, 3]


def test_an_island_in_a_pocket_cut_through_is_a_piece_and_tabs_at_the_wall_do_not_reach_it() -> None:
    shapes = (circle((100, 75), 100), circle((100, 75), 40))
    wide = replace(pocket(*shapes), through=True, allowance=0.5, hold=Tabs(None, 8, 3))
    division = last(part(wide))
    assert len(division.pieces) == 2
    assert division.tied(disc_of(division)) == ()


def test_holes_and_a_pocket_cleared_whole_leave_one_piece() -> None:
    window = replace(pocket(rounded(10, 10, 40, 30)), through=True, allowance=0.5)
    assert len(last(part(window, replace(drilled((80, 80)), through=True))).pieces) == 1


def half(face: Face, depth: float) -> Operation:
    return replace(hole(100, 75, 80, hold=None), through=False, depth=depth, face=face, allowance=0.0)


@pytest.mark.parametrize(("above", "below", "pieces"), [(9.2, 9.2, 2), (8.5, 9.0, 1), (12.0, 6.0, 2)])
def test_cuts_from_both_faces_meet(above: float, below: float, pieces: int) -> None:
    """18 mm of wood: what is cut from both faces together decides."""
    both = part(half(Face.TOP, above), half(Face.BOTTOM, below))
    assert len(last(both).pieces) == pieces


def test_a_part_and_the_frame_joined_by_its_tabs() -> None:
    division = last(freed())
    own = next(piece for piece in division.pieces if piece.of_part)
    assert (len(division.pieces), own.part, len(division.tied(own))) == (2, "board", 4)


def test_a_saw_cut_across_a_part_makes_two_pieces_of_it() -> None:
    line = polyline([(-10, 75), (210, 75)])
    across = replace(groove(line), through=True, depth=18.0, allowance=0.5, side=Side.ON)
    assert len([piece for piece in last(freed(across)).pieces if piece.of_part]) == 2


def test_the_cut_of_a_neighbour_takes_the_tabs_away() -> None:
    """Two parts whose cuts touch leave the tabs between them nothing to hold on to."""
    near = freed(count=2, places=((100.0, 100.0), (307.0, 100.0)))
    division = last(near)
    assert len(division.pieces) == 3
    ends = [len(bridge.joins) for bridge in division.bridges if 190 < bridge.x < 220]
    assert max(ends, default=0) < 2


def test_a_tab_beside_the_stock_joins_nothing() -> None:
    division = last(freed(outline=plate(200, 150), places=((3.0, 100.0),)))
    own = next(piece for piece in division.pieces if piece.of_part)
    assert len(division.tied(own)) == 3


def test_a_step_touches_the_pieces_beside_its_cut() -> None:
    disc, field = hole(100, 75, 40, hold=None), pocket(rounded(20, 20, 30, 20), depth=4)
    beside, elsewhere, around = after(part(disc, field, outside(plate())), order_as_written=True)
    assert [len(one.pieces) for one in (beside, elsewhere, around)] == [2, 2, 3]
    assert [len(one.touched) for one in (beside, elsewhere, around)] == [2, 1, 2]


def test_the_tabs_of_a_narrow_cross_stand_where_they_join_something() -> None:
    """In an arm as wide as two cutters there is no wood left for a tab to hold on to."""
    arm, reach = 12.2, 60.0
    right = [(arm / 2, -reach), (arm / 2, -40), (40, -40), (40, 40)]
    points = [*right, *((-x, y) for x, y in reversed(right))]
    cut = replace(hole(100, 75, 80, hold=Tabs(3, 6, 3), tool=cutter(6.0)), shapes=(polyline(points, closed=True),))
    division = last(part(cut))
    plug = min(division.pieces, key=lambda piece: piece.area)
    assert len(division.tied(plug)) == 3


def test_a_chip_is_what_no_small_disc_lies_in() -> None:
    """The quick look at its area and edges decides as shrinking it does: bars and rings about as wide as a chip."""
    for width in (0.1, 0.4, 0.49, 0.51, 0.6, 1.0, 3.0):
        ring = shapely.Point(0, 0).buffer(20).difference(shapely.Point(0, 0).buffer(20 - width))
        comb = shapely.union_all(
            [shapely.box(0, 3 * n, 30, 3 * n + width) for n in range(9)] + [shapely.box(0, 0, width, 27)]
        )
        holed = shapely.box(0, 0, 40, 40).difference(
            shapely.union_all([shapely.box(x, y, x + 4, y + 4) for x in range(1, 36, 5) for y in range(1, 36, 5)])
        )
        for body in (shapely.box(0, 0, 50, width), ring, comb, holed):
            assert isinstance(body, shapely.Polygon)
            assert _is_chip(body) is bool(body.buffer(-_CHIP, 4).is_empty), (width, body.geom_type)
