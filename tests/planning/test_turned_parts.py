"""A part that is turned on its sheet is planned as the same part drawn turned: everything after the layout follows."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from builders import freed, hole, kit, planned, pocket, rounded, setup, stock

from kitforge.geometry.transform import rotated
from kitforge.model.kit import Face, Grain, Kit, Part
from kitforge.model.layout import LaidSheet, Placement
from kitforge.model.path import Bounds, Path, Vertex
from kitforge.model.plan import Plan
from kitforge.planning.fasteners import taken_area
from kitforge.planning.layers import pack_drawings

SHEET = stock(length=500.0, width=420.0, grain=Grain.NONE)
OUTLINE = Path(tuple(Vertex(*xy) for xy in ((0, 0), (160, 0), (160, 50), (90, 90), (0, 90))))
AT = {0: (100.0, 120.0), 90: (300.0, 120.0), 180: (330.0, 260.0), 270: (120.0, 320.0)}


def board(**more: object) -> Part:
    return freed(
        pocket(rounded(15, 12, 50, 25)),
        hole(120.0, 30.0, 8.0),
        pocket(rounded(100, 20, 30, 14), face=Face.BOTTOM),
        outline=OUTLINE,
        stock=SHEET,
        **more,
    )


def drawn_turned(part: Part, turn: int) -> Part:
    """The same part with all that is drawn of it turned about its origin."""
    placed = Placement(part.key, 1, 0.0, 0.0, turn)
    operations = tuple(
        one.moved(lambda path: rotated(path, turn), lambda at: placed.spot(*at)) for one in part.operations
    )
    return replace(part, outline=rotated(part.outline, turn), operations=operations)


def kit_of(part: Part, place: Placement) -> Kit:
    holds = (setup(Face.TOP, ("screws",)), setup(Face.BOTTOM, ("screws",)))
    layout = (LaidSheet("sheet", 1, (place,)),)
    return kit(part, setups=holds, stock={"sheet": SHEET}, layout=layout)


def both(turn: int) -> tuple[tuple[Kit, Plan], tuple[Kit, Plan]]:
    place = Placement("board", 1, *AT[turn], turn)
    turned, drawn = kit_of(board(), place), kit_of(drawn_turned(board(), turn), replace(place, turn=0))
    return (turned, planned(turned)), (drawn, planned(drawn))


@pytest.mark.parametrize("turn", [90, 180, 270])
def test_sheet_drawings_show_the_part_turned(turn: int) -> None:
    (turned, plan), (drawn, other) = both(turn)
    shown, expected = (
        {one.name: one for one in pack_drawings(p, k.parts) if one.name.startswith("sheet")}
        for k, p in ((turned, plan), (drawn, other))
    )
    assert shown.keys() == expected.keys() and len(shown) == 2
    for name, drawing in shown.items():
        assert drawing.layers.keys() == expected[name].layers.keys()
        for layer, paths in drawing.layers.items():
            pairs = list(zip(paths, expected[name].layers[layer], strict=True))
            assert all(one.bounds == pytest.approx(two.bounds, abs=1e-6) for one, two in pairs)
            assert all(
                one.area == pytest.approx(two.area)
                for one, two in zip(paths, expected[name].layers[layer], strict=True)
            )


@pytest.mark.parametrize("turn", [90, 180, 270])
def test_screws_and_the_wood_that_is_taken_follow(turn: int) -> None:
    (turned, plan), (drawn, other) = both(turn)
    first, second = (taken_area(k, p.sheets[0], p.steps) for k, p in ((turned, plan), (drawn, other)))
    assert first.symmetric_difference(second).area < 1.0
    spots, expected = ([(f.x, f.y) for f in one.setups[0].fasteners] for one in (plan, other))
    assert len(spots) >= 4
    assert all(one == pytest.approx(two, abs=0.2) for one, two in zip(sorted(spots), sorted(expected), strict=True))


@pytest.mark.parametrize("turn", [90, 180, 270])
def test_pieces_tabs_and_what_holds_them_follow(turn: int) -> None:
    (_turned, plan), (_drawn, other) = both(turn)
    for one, two in zip(plan.setups, other.setups, strict=True):
        for was, expected in zip(one.divisions, two.divisions, strict=True):
            assert [p.part for p in was.pieces] == [p.part for p in expected.pieces]
            for piece, other_piece in zip(was.pieces, expected.pieces, strict=True):
                assert piece.area == pytest.approx(other_piece.area, abs=2.0)
                assert piece.outline is not None and other_piece.outline is not None
                assert piece.outline.symmetric_difference(other_piece.outline).area < 5.0
            # the angle is that of an edge on the sheet, so half a turn is the same; tabs may be found in another order
            ends, wanted = ([(b.x, b.y, round(b.angle) % 180) for b in d.bridges] for d in (was, expected))
            assert len(ends) == len(wanted)
            for x, y, angle in ends:
                assert any(math.dist((x, y), (u, v)) < 1.0 and angle == other for u, v, other in wanted)
    capacities = [[round(h.capacity) for h in held] for held in plan.machines[0].holding.values()]
    assert capacities == [[round(h.capacity) for h in held] for held in other.machines[0].holding.values()]


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_points_boxes_and_paths_of_a_placement_agree(turn: int) -> None:
    place = Placement("board", 1, 12.5, -7.25, turn)
    assert place.back(*place.spot(3.0, 8.0)) == pytest.approx((3.0, 8.0))
    assert place.path(OUTLINE).bounds == pytest.approx(place.box(OUTLINE.bounds))
    assert Bounds(*place.shape(OUTLINE.to_polygon()).bounds) == pytest.approx(place.box(OUTLINE.bounds))
    assert place.path(OUTLINE).area == pytest.approx(OUTLINE.area)
