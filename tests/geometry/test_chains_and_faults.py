"""Joining loose lines, and the faults of drawn shapes."""

import itertools
import math
import random
from collections.abc import Iterable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitforge.drawings.chain import chain
from kitforge.drawings.faults import find_faults, overlapping_pieces, self_crossings, short_pieces, stray_points
from kitforge.geometry import shapes as draw
from kitforge.model.drawing import DrawingProblem, ProblemKind
from kitforge.model.path import Path, Vertex


def line(*points: tuple[float, float]) -> Path:
    return Path(tuple(Vertex(*point) for point in points), closed=False)


def square_sides(x: float = 0, y: float = 0, side: float = 10) -> list[Path]:
    ring = [(x, y), (x + side, y), (x + side, y + side), (x, y + side)]
    return [line(a, b) for a, b in itertools.pairwise([*ring, ring[0]])]


def kinds(problems: Iterable[DrawingProblem]) -> list[ProblemKind]:
    return [problem.kind for problem in problems]


@given(st.integers(0, 10**6))
def test_sides_in_any_order_and_sense_make_one_square(seed: int) -> None:
    dice = random.Random(seed)
    sides = [side.reversed() if dice.random() < 0.5 else side for side in square_sides()]
    dice.shuffle(sides)
    chains = chain(sides)
    assert (len(chains.closed), len(chains.open), chains.problems) == (1, 0, ())
    assert abs(chains.closed[0].area) == pytest.approx(100)


@given(st.lists(st.tuples(st.floats(-50, 50), st.floats(-50, 50), st.floats(-2, 2)), min_size=3, max_size=20))
def test_a_cut_up_path_comes_back_whole(rows: list[tuple[float, float, float]]) -> None:
    path = Path(tuple(Vertex(40 * k, y, bulge) for k, (x, y, bulge) in enumerate(rows)))
    parts = [Path((Vertex(p.x0, p.y0, p.bulge), Vertex(p.x1, p.y1)), closed=False) for p in path.pieces()]
    random.Random(1).shuffle(parts)
    (whole,) = chain(parts).closed
    assert abs(whole.area) == pytest.approx(abs(path.area), abs=1e-6)
    assert whole.length == pytest.approx(path.length)


def test_ends_within_a_hundredth_are_one_point() -> None:
    assert len(chain([line((0, 0), (5, 0)), line((5, 0.009), (5, 5)), line((5, 5), (0, 0))]).closed) == 1
    assert len(chain([line((0, 0), (5, 0)), line((5, 0.011), (5, 5)), line((5, 5), (0, 0))]).closed) == 0


def test_gap_is_reported_with_place_and_size_and_closed_only_when_asked() -> None:
    sides = square_sides()
    sides[1] = line((10, 0.3), (10, 10))
    left = chain(sides)
    assert (len(left.closed), len(left.open)) == (0, 1)
    assert [(p.kind, p.at) for p in left.problems] == [(ProblemKind.GAP, (10, 0.15))]
    assert left.problems[0].size == pytest.approx(0.3)
    joined = chain(sides, join=0.3000001)
    assert joined.closed[0].length == pytest.approx(40)
    assert kinds(joined.problems) == [ProblemKind.GAP_CLOSED]
    assert chain(sides, join=0.2).closed == ()


def test_gap_beyond_half_a_millimetre_is_two_lines() -> None:
    assert chain([line((0, 0), (5, 0)), line((5.6, 0), (9, 0))]).problems == ()
    assert len(chain([line((0, 0), (5, 0)), line((5.6, 0), (9, 0))], join=1).open) == 1


@pytest.mark.parametrize("seed", range(8))
def test_loops_that_touch_in_a_point_stay_two(seed: int) -> None:
    sides = square_sides() + square_sides(10, 10)
    random.Random(seed).shuffle(sides)
    chains = chain(sides)
    assert sorted(abs(path.area) for path in chains.closed) == pytest.approx([100, 100])
    assert kinds(chains.problems) == [ProblemKind.JUNCTION]


def test_tail_on_a_loop_is_taken_off() -> None:
    chains = chain([*square_sides(), line((10, 10), (20, 20))])
    assert [abs(path.area) for path in chains.closed] == pytest.approx([100])
    assert [path.length for path in chains.open] == pytest.approx([10 * math.sqrt(2)])


def test_closed_paths_pass_and_nothing_gives_nothing() -> None:
    ring = draw.circle((0, 0), 5)
    assert chain([ring]).closed == (ring,)
    assert chain([]).closed == ()


@pytest.mark.parametrize("join", [-1, math.nan, math.inf])
def test_gap_to_close_must_be_a_size(join: float) -> None:
    with pytest.raises(ValueError, match="gap"):
        chain([], join=join)


def arc(start: float, end: float, radius: float = 5) -> Path:
    return draw.arc((0, 0), radius, start, end)


OVERLAPS = [
    ("line twice", [line((0, 0), (10, 0)), line((10, 0), (0, 0))], [(ProblemKind.DUPLICATE, 10)]),
    ("line twice within 0.01", [line((0, 0), (10, 0)), line((0, 0.005), (10, 0.005))], [(ProblemKind.DUPLICATE, 10)]),
    ("part of a line", [line((0, 0), (10, 0)), line((5, 0), (15, 0))], [(ProblemKind.OVERLAP, 5)]),
    ("line in a line", [line((0, 0), (10, 10)), line((2, 2), (3, 3))], [(ProblemKind.OVERLAP, math.sqrt(2))]),
    ("end to end", [line((0, 0), (10, 0)), line((10, 0), (15, 0))], []),
    ("side by side", [line((0, 0), (10, 0)), line((0, 0.02), (10, 0.02))], []),
    ("fork", [line((0, 0), (10, 0)), line((0, 0), (10, 1))], []),
    ("crossing", [line((0, 0), (10, 0)), line((5, -5), (5, 5))], []),
    ("arc twice", [arc(0, 90), arc(0, 90).reversed()], [(ProblemKind.DUPLICATE, 2.5 * math.pi)]),
    ("part of an arc", [arc(0, 90), arc(60, 120)], [(ProblemKind.OVERLAP, 5 * math.pi / 6)]),
    ("arc over the start", [arc(350, 80), arc(340, 0)], [(ProblemKind.OVERLAP, 5 * math.pi / 18)]),
    ("arcs end to end", [arc(0, 90), arc(90, 120)], []),
    ("arcs of two radii", [arc(0, 90), arc(0, 90, 6)], []),
    ("circle and its arc", [draw.circle((0, 0), 10), arc(30, 60)], [(ProblemKind.OVERLAP, 5 * math.pi / 6)]),
]


@pytest.mark.parametrize(("paths", "expected"), [row[1:] for row in OVERLAPS], ids=[row[0] for row in OVERLAPS])
def test_overlaps_have_their_length(paths: list[Path], expected: list[tuple[ProblemKind, float]]) -> None:
    found = overlapping_pieces(paths)
    assert kinds(found) == [kind for kind, _ in expected]
    assert [p.size for p in found] == pytest.approx([size for _, size in expected], abs=0.011)


CROSSINGS = [
    ("bow tie", [(0, 0), (10, 10), (10, 0), (0, 10)], [(5, 5)]),
    ("square", [(0, 0), (10, 0), (10, 10), (0, 10)], []),
    ("corner on a side", [(0, 0), (10, 0), (10, 10), (5, 0), (0, 10)], [(5, 0)]),
    ("tiny side", [(0, 0), (10, 0), (10, 0.001), (10, 10)], []),
]


@pytest.mark.parametrize(("points", "places"), [row[1:] for row in CROSSINGS], ids=[row[0] for row in CROSSINGS])
def test_shape_that_crosses_itself(points: list[tuple[float, float]], places: list[tuple[float, float]]) -> None:
    found = self_crossings([Path(tuple(Vertex(*p) for p in points))])
    assert [p.at for p in found] == [pytest.approx(place) for place in places]


def test_arcs_that_cross_are_found_and_arcs_that_join_are_not() -> None:
    lens = Path((Vertex(0, 0, 1.0), Vertex(10, 0), Vertex(10, -8), Vertex(0, -8, 0.0)))
    assert kinds(self_crossings([lens])) == []
    crossed = Path((Vertex(0, 0, -0.9), Vertex(10, 0), Vertex(10, 2), Vertex(0, 2)))
    assert len(self_crossings([crossed])) == 2
    assert (
        self_crossings([draw.slot((0, 0), (9, 3), 4), draw.circle((0, 0), 5), draw.rectangle((9, 9), corner_radius=2)])
        == []
    )


@given(st.lists(st.tuples(st.floats(-20, 20), st.floats(-20, 20)), min_size=4, max_size=8, unique=True))
def test_crossings_agree_with_an_independent_check(points: list[tuple[float, float]]) -> None:
    """Shapely's validity test of the same ring; grazing contacts below the tolerance are left aside."""
    from shapely import Polygon

    rounded = [(round(x), round(y)) for x, y in points]
    if len(set(rounded)) < len(rounded):
        return
    polygon = Polygon(rounded)
    path = Path(tuple(Vertex(float(x), float(y)) for x, y in rounded))
    crossed = bool(self_crossings([path])) or any(p.kind is not None for p in overlapping_pieces([path]))
    assert crossed is not polygon.is_valid


def test_tiny_pieces_and_lone_points() -> None:
    assert kinds(short_pieces([line((0, 0), (0.004, 0), (5, 0))])) == [ProblemKind.TINY]
    assert kinds(stray_points([line((0, 0), (5, 0))], [(1, 1)])) == [ProblemKind.STRAY_POINT]
    assert kinds(stray_points([], [(1, 1), (2, 2), (1, 1)])) == [ProblemKind.DUPLICATE]


def test_a_clean_part_has_no_faults() -> None:
    assert (
        find_faults([draw.rectangle((100, 50), corner_radius=5), *draw.grid(draw.circle((20, 20), 5), 3, 2, (20, 10))])
        == []
    )


def test_crowded_drawing_says_that_it_was_not_checked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("kitforge.drawings.faults.MOST_PAIRS", 10)
    lines = [line((0, k), (10, 9 - k)) for k in range(10)]
    assert kinds(overlapping_pieces(lines)) == [ProblemKind.UNCHECKED]
