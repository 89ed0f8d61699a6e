"""Features, walls, floors and the layout: each fault is found alone, and its sound neighbour raises nothing.

The limits on walls and floors are common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import (
    WORKSHOP,
    codes,
    cutter,
    drilled,
    freed,
    groove,
    hole,
    kit,
    planned,
    plate,
    pocket,
    rounded,
    stock,
)
from hypothesis import assume, given
from hypothesis import strategies as st

from kitforge.geometry.shapes import circle, polyline, rectangle
from kitforge.model.findings import Finding
from kitforge.model.kit import CutterKind, Kit, Operation, Part, Stock
from kitforge_outline import kitforge_check


def of_kit(own: Kit) -> list[Finding]:
    return list(kitforge_check(own, planned(own)))


def found(*operations: Operation, material: str = "birch_plywood") -> list[Finding]:
    sheet = replace(stock(), material=WORKSHOP.materials[material], boards=1000.0, planer=1000.0)
    return of_kit(kit(freed(*operations, stock=sheet)))


def test_a_feature_beside_the_part_is_an_error() -> None:
    """A pocket wholly outside usually comes from another scale or origin."""
    assert codes(found(pocket(rounded(300, 20, 60, 40)))) == ["feature-outside"]


def test_a_hole_over_the_edge_is_an_error_and_a_pocket_over_it_a_note() -> None:
    """Open pockets and grooves that run through are normal; a hole half out of the part is not."""
    assert codes(found(drilled((199, 40)))) == ["feature-outside"]
    assert codes(found(hole(195, 40, 20))) == ["feature-outside"]
    (finding,) = found(pocket(rounded(160, 20, 60, 40)))
    assert (finding.code, finding.severity) == ("feature-open", "note")
    assert codes(found(groove(polyline([(50, 50), (210, 50)])))) == ["feature-open"]


@pytest.mark.parametrize(("wall", "expected"), [(2.9, ["thin-wall"]), (3.0, []), (5.0, [])])
def test_walls_of_panels_to_the_edge(wall: float, expected: list[str]) -> None:
    """In plywood 3 mm should stay."""
    assert codes(found(pocket(rounded(wall, 20, 60, 40)))) == expected


@pytest.mark.parametrize(("gap", "expected"), [(3.5, ["thin-wall"]), (4.0, [])])
def test_walls_of_solid_wood_between_pockets(gap: float, expected: list[str]) -> None:
    """In solid wood 4 mm should stay."""
    pockets = pocket(rounded(20, 20, 40, 40)), pocket(rounded(60 + gap, 20, 40, 40))
    assert codes(found(*pockets, material="black_walnut")) == expected


def test_a_wall_need_not_be_thicker_than_it_is_high() -> None:
    """Beside a pocket 1.5 mm deep a wall of 2 mm is sturdy, beside one 6 mm deep it is not."""
    assert found(pocket(rounded(2, 20, 60, 40), depth=1.5)) == []
    assert codes(found(pocket(rounded(2, 20, 60, 40), depth=6))) == ["thin-wall"]


def test_grooves_of_a_v_bit_may_be_close() -> None:
    """Their walls get thicker towards the floor."""
    lines = polyline([(20, 40), (100, 40)]), polyline([(20, 44), (100, 44)])
    v_bit = cutter(12, CutterKind.V_BIT, angle=60.0)
    assert found(groove(*lines, depth=3, tool=v_bit)) == []
    assert codes(found(groove(*lines, depth=3, tool=cutter(3)))) == ["thin-wall"]


def test_features_that_run_into_one_another_have_no_wall() -> None:
    """A groove that ends in a pocket, and a hole in a pocket's floor, are meant."""
    assert found(pocket(rounded(20, 20, 60, 40)), groove(polyline([(60, 40), (150, 40)])), drilled((40, 40))) == []


def test_a_thin_island_is_found() -> None:
    """An island 2 mm thick in a pocket 6 mm deep breaks off, one 8 mm thick stays."""
    around = rounded(20, 20, 80, 60)
    assert codes(found(pocket(around, rectangle((40, 2), centre=(60, 50))))) == ["thin-wall"]
    assert found(pocket(around, rectangle((40, 8), centre=(60, 50)))) == []


def test_holes_that_run_into_one_another_are_found_but_not_counterbores() -> None:
    """A hole inside a larger one is a step."""
    assert codes(found(drilled((50, 50), (54, 50)))) == ["holes-overlap"]
    assert found(drilled((50, 50)), drilled((50, 50), diameter=10, depth=4)) == []


def test_a_hole_near_the_edge_is_found() -> None:
    """Beside a 10 mm hole 5 mm should stay, half of its diameter."""
    assert codes(found(drilled((9, 50), diameter=10))) == ["hole-near-edge"]
    assert found(drilled((10, 50), diameter=10)) == []


def test_a_hole_that_touches_the_edge_is_an_error() -> None:
    (touching,), (near,) = found(drilled((5, 50), diameter=10)), found(drilled((5.5, 50), diameter=10))
    assert [(one.code, one.severity) for one in (touching, near)] == [
        ("hole-near-edge", "error"),
        ("hole-near-edge", "warning"),
    ]
    assert "touches the edge" in str(touching.message)


def test_floors() -> None:
    """17 mm deep in 18 mm leaves a thin floor, 16 mm does not, 18 mm leaves none."""
    shape = rounded(20, 20, 60, 40)
    assert [codes(found(pocket(shape, depth=d))) for d in (16.0, 17.0, 18.0, 20.0)] == [
        [], ["floor-thin"], ["cut-too-deep"], ["cut-too-deep"],
    ]  # fmt: skip
    assert found(pocket(shape, depth=18.0, through=True)) == []


def test_the_point_of_a_drill_comes_out() -> None:
    """The point of a 118° drill of 10 mm is 3.00 mm long (0.300 D, from the angle): 16 mm is too deep in 18 mm."""
    (finding,) = found(drilled((50, 50), diameter=10, depth=16))
    assert finding.code == "drill-breaks-through"
    assert "3 mm longer and comes out 1 mm underneath" in str(finding.message)
    assert found(drilled((50, 50), diameter=10, depth=14.9)) == []


def test_parts_larger_than_the_stock() -> None:
    """Alone on the sheet, and among others."""
    large = freed(outline=plate(650, 100))
    assert codes(of_kit(kit(large))) == ["part-too-large"]
    assert codes(of_kit(kit(replace(large, count=2)))) == ["part-too-large"]
    assert of_kit(kit(freed(outline=plate(560, 300)))) == []


def test_a_part_placed_over_the_edge_of_the_stock() -> None:
    """The distance beyond the stock is told."""
    (finding,) = of_kit(kit(freed(places=((430, 100),))))
    assert finding.code == "part-off-stock"
    assert "30 mm beyond" in str(finding.message)


@pytest.mark.parametrize(("second", "expected"), [(150, ["parts-too-close"]), (204, ["parts-too-close"]), (207, [])])
def test_parts_that_overlap_or_are_cut_into(second: float, expected: list[str]) -> None:
    """Two plates 200 mm wide need the 6 mm of the cutter between them."""
    pair = freed(count=2, places=((10, 10), (10 + second, 10)))
    assert codes(of_kit(kit(pair))) == expected


def test_parts_too_close_are_told_a_distance_that_is_enough() -> None:
    """A groove that runs out of one part by 12 mm and the cutter's radius of 3 mm needs 15 mm beside it."""
    out = groove(polyline([(150, 50), (212, 50)]))
    pair = freed(out, count=2, places=((10, 10), (220, 10)))
    (finding,) = [one for one in of_kit(kit(pair)) if one.code == "parts-too-close"]
    assert "lie 10 mm apart, and a cut of one of them reaches 15 mm beyond it" in str(finding.message)
    assert "Leave at least 15 mm between them" in str(finding.advice)
    apart = of_kit(kit(freed(out, count=2, places=((10, 10), (225.1, 10)))))
    assert [one.code for one in apart if one.code == "parts-too-close"] == []


def test_more_sheets_than_there_are() -> None:
    """Ten plates need three sheets."""
    many = freed(count=10)
    assert codes(of_kit(kit(replace(many, stock=replace(many.stock, count=1))))) == ["sheets-short"]
    assert of_kit(kit(replace(many, stock=replace(many.stock, count=3)))) == []


def test_many_alike_are_cut_short() -> None:
    """Of forty holes beside the part ten are told, and how many more there are."""
    holes = found(drilled(*((300 + 10 * k, 20) for k in range(40))))
    assert len(holes) == 10
    assert str(holes[-1].message).endswith("There are 30 more like this.")


@st.composite
def sound_parts(draw: st.DrawFn) -> Part:
    """Return a plate with pockets and holes in cells, each well inside its own cell."""
    cells = [(x, y) for x in range(3) for y in range(2)]
    operations: list[Operation] = []
    for x, y in cells:
        left, bottom = 10 + 60 * x, 10 + 65 * y
        width, height = draw(st.floats(10, 50)), draw(st.floats(10, 50))
        kind = draw(st.sampled_from(["pocket", "hole", "drill", "none"]))
        if kind == "pocket":
            operations.append(pocket(rounded(left, bottom, width, height), depth=draw(st.floats(1, 15.9))))
        elif kind == "hole":
            operations.append(hole(left + 25, bottom + 25, min(width, height)))
        elif kind == "drill":
            operations.append(drilled((left + 25, bottom + 25), diameter=draw(st.floats(2, 12))))
    return freed(*operations)


@given(sound_parts())
def test_random_sound_parts_raise_nothing(own: Part) -> None:
    """Pockets, holes and drilled holes inside margins are always sound."""
    assert of_kit(kit(own)) == []


@given(sound_parts(), st.floats(-40, 240), st.floats(-40, 190))
def test_a_hole_anywhere_else_is_judged_by_its_distance(own: Part, x: float, y: float) -> None:
    """A further hole of 6 mm raises a finding exactly when it leaves the plate or leaves less than 3 mm of wood."""
    from shapely import Point

    extra = replace(drilled((x, y)), name="extra", part=own.key)
    area = Point(x, y).buffer(3, quad_segs=64)
    others = [circle((px, py), o.cutter.diameter) for o in own.operations for px, py in o.points]
    others += [shape for o in own.operations if not o.frees for shape in o.shapes]
    gaps = [area.distance(shape.to_polygon(0.001)) for shape in others]
    crossing = [shape for shape in others if area.boundary.crosses(shape.to_polygon(0.001))]
    to_edge = min(x - 3, y - 3, 197 - x, 147 - y)
    shallow = min((o.depth for o in own.operations if not o.frees), default=8.0)
    limit = min(3.0, shallow)
    assume(not crossing and all((abs(gap - limit) > 0.1 and abs(gap) > 0.1) or gap == 0 for gap in gaps))
    assume(abs(to_edge - 3) > 0.1 and limit == 3.0)
    raised = bool(of_kit(kit(replace(own, operations=(*own.operations, extra)))))
    wrong = to_edge < 3 or any(0 < gap < 3 for gap in gaps)
    assert raised == wrong


def test_stock_of_the_builders_is_plywood() -> None:
    """The limits above are those of a panel."""
    sheet: Stock = stock()
    assert sheet.material.is_panel
