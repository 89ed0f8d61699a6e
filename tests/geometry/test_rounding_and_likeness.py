"""Polygons that are circles, lines there and back, like parts, gaps that are closed: each by its definition."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import pytest

from kitforge.drawings.chain import chain
from kitforge.drawings.likeness import Figure, alike, inside
from kitforge.drawings.rounding import LEAST_SIDES, ROUND_SIDES, as_circle, as_line
from kitforge.drawings.unit import Sizes, unit_doubt, unit_of_round_sizes
from kitforge.geometry.affine import rotation, scaling, translation
from kitforge.geometry.shapes import polyline, rectangle, regular_polygon
from kitforge.geometry.transform import transformed
from kitforge.model.drawing import ProblemKind
from kitforge.model.path import Path, Vertex, circle, is_circle


def polygon(sides: int, radius: float, grid: float = 0.0, turn: float = 0.1) -> Path:
    """A regular polygon; with a grid its coordinates are rounded to it."""
    spots = [
        (radius * math.cos(a), radius * math.sin(a)) for a in (turn + 2 * math.pi * k / sides for k in range(sides))
    ]
    return Path(tuple(Vertex(*(round(v / grid) * grid if grid else v for v in spot)) for spot in spots))


@pytest.mark.parametrize("sides", [6, 8, 11, 12, 16, 24, 36, 72, 180])
@pytest.mark.parametrize("radius", [1.0, 2.5, 6.0, 20.0, 80.0])
def test_a_polygon_is_a_circle_where_its_sides_stay_near_enough(sides: int, radius: float) -> None:
    """The middle of a side of a regular polygon lies radius (1 - cos(pi / n)) inside the circle through its corners."""
    sagitta = radius * (1 - math.cos(math.pi / sides))
    found = as_circle(polygon(sides, radius, grid=0.001))
    assert (found is not None) == (sides >= LEAST_SIDES and sagitta <= ROUND_SIDES)
    if found is not None:
        assert is_circle(found) == pytest.approx((0, 0, radius), abs=0.002)


def test_what_is_no_circle_stays() -> None:
    star = Path(
        tuple(Vertex(*v[:2]) for k, v in sorted(enumerate(polygon(25, 2).vertices), key=lambda i: i[0] * 12 % 25))
    )
    flat = Path((*polygon(36, 2).vertices[:30], Vertex(0, 0)))
    for path in (star, flat, rectangle((5, 5), corner_radius=2.4), regular_polygon((0, 0), 6, diameter=5)):
        assert as_circle(path) is None
    assert as_circle(transformed(polygon(48, 2), scaling(1.0, 1.05))) is None


def test_a_line_there_and_back_is_the_line() -> None:
    for points in ([(0, 0), (30, 40)], [(0, 0), (15, 20), (30, 40)], [(15, 20), (30, 40), (0, 0), (6, 8)]):
        line = as_line(Path(tuple(Vertex(*point) for point in points)))
        assert line is not None
        assert (line.closed, line.length) == pytest.approx((False, 50))
    assert as_line(rectangle((30, 0.01))) is None
    assert as_line(Path((Vertex(0, 0), Vertex(10, 10), Vertex(10, 0), Vertex(0, 10)))) is None


def figure(items: Sequence[Any], layers: str = "ABBC") -> Figure:
    """The figure of a part, each of its things on a layer with the name of a letter."""
    return Figure.of(items[0], items[1:], dict(zip(items, layers, strict=True)))


PLATE: list[Any] = [rectangle((80, 50)), circle(10, 25, 2), circle(70, 40, 2), (40.0, 5.0)]


@pytest.mark.parametrize("turns", range(4))
def test_like_parts_are_found_moved_and_turned(turns: int) -> None:
    matrix = translation(300, -70) @ rotation(90 * turns)
    other: list[Any] = [transformed(one, matrix) if isinstance(one, Path) else matrix(*one) for one in PLATE]
    assert alike(figure(PLATE), figure(other))
    assert list(inside(other[0], [*other, *PLATE])) == other[1:]


@pytest.mark.parametrize("change", [circle(10, 25.2, 2), circle(10, 25, 2.2), circle(10, 10, 2)])
def test_parts_that_differ_in_one_hole_are_not_alike(change: Path) -> None:
    assert not alike(figure(PLATE), figure([PLATE[0], change, *PLATE[2:]]))


@pytest.mark.parametrize(("layers", "same"), [("ABBC", True), ("XYYZ", True), ("ABCC", False), ("AABC", False)])
def test_what_is_on_one_layer_here_is_on_one_layer_there(layers: str, same: bool) -> None:
    assert alike(figure(PLATE), figure(PLATE, layers)) is same


def test_mirrored_parts_are_not_alike() -> None:
    mirrored = [transformed(one, scaling(-1, 1)) if isinstance(one, Path) else (-one[0], one[1]) for one in PLATE]
    assert not alike(figure(PLATE), figure(mirrored))


@pytest.mark.parametrize("gap", [0.02, 0.05, 0.09, 0.1, 0.3, 1.9])
def test_a_gap_that_is_closed_leaves_no_piece_too_short_to_follow(gap: float) -> None:
    found = chain([polyline([(0, 0), (50, 0), (50, 40), (0, 40), (0, gap)])], join=2.0)
    (path,) = found.closed
    assert min(piece.length for piece in path.pieces()) > 0.1 - 1e-9
    assert path.area == pytest.approx(2000, abs=2)
    assert [problem.kind for problem in found.problems] == [ProblemKind.GAP_CLOSED]


def test_an_open_line_that_nearly_closes_is_told() -> None:
    ring = polygon(36, 10)
    assert [p.kind for p in chain([Path(ring.vertices[:-3], closed=False)]).problems] == [ProblemKind.GAP]
    assert chain([Path(ring.vertices[:-10], closed=False)]).problems == ()


@pytest.mark.parametrize(
    ("unit", "size", "whole", "detail", "better"),
    [
        ("mm", 1.0, 200, 5, None),
        ("mm", 1.0, 2440, 5, None),  # a sheet full of parts
        ("in", 25.4, 203, 6.35, None),
        ("in", 25.4, 2438, 6.35, None),  # a sheet of 8 by 4 feet with holes of a quarter inch
        ("in", 25.4, 5080, 127, "mm"),
        ("in", 25.4, 1016, 76, "mm"),
        ("mm", 1.0, 8, 0.25, "in"),
        ("mm", 1.0, 30, 0.25, "in"),
        ("m", 1000.0, 200_000, 5000, "mm"),
        ("cm", 10.0, 2000, 50, "mm"),
    ],
)
def test_a_unit_is_doubted_where_another_fits(
    unit: str, size: float, whole: float, detail: float, better: str | None
) -> None:
    doubt = unit_doubt(unit, size, Sizes(whole, detail))
    assert (doubt.better if doubt else None) == better


def test_the_unit_in_which_sizes_are_round_is_offered() -> None:
    sizes = [200.0, 120.0, 40.0, 30.0, 5.0, 5.0]
    px = 25.4 / 96
    assert unit_of_round_sizes(px, [size * 72 / 96 for size in sizes], 150) == "pt"
    assert unit_of_round_sizes(px, [size * px for size in sizes], 53) == "mm"
    assert unit_of_round_sizes(px, sizes, 200) is None
    assert unit_of_round_sizes(px, [size * 90 / 96 for size in sizes], 187) is None
