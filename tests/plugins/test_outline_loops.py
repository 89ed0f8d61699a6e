"""Outlines and shapes as lines: each kind of fault is found, and its sound neighbour raises nothing."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest
from builders import codes, drilled, freed, groove, hole, kit, part, planned, plate, pocket, rounded
from hypothesis import given
from hypothesis import strategies as st

from kitforge.geometry.shapes import circle, polyline, rectangle
from kitforge.model.findings import Finding, Severity
from kitforge.model.kit import Part
from kitforge.model.path import Path, Vertex
from kitforge_outline import kitforge_check
from kitforge_outline.faults import line_faults


def found(*parts: Part) -> list[Finding]:
    own = kit(*parts)
    return list(kitforge_check(own, planned(own)))


def path(*points: tuple[float, float], closed: bool = True) -> Path:
    return Path(tuple(Vertex(*point) for point in points), closed)


def test_a_sound_part_raises_nothing() -> None:
    """A plate with pocket, groove, drilled holes and a hole is sound."""
    sound = freed(
        pocket(rounded(20, 20, 60, 40)),
        groove(polyline([(20, 100), (80, 120)])),
        drilled((120, 30), (150, 30), (180, 30)),
        hole(150, 100, 30),
    )
    assert found(sound) == []


def test_an_open_outline_tells_size_and_place_of_the_gap() -> None:
    """The gap is measured between the two ends of the outline."""
    outline = path((0, 0), (200, 0), (200, 150), (0, 150), (0, 1.2), closed=False)
    (finding,) = found(part(outline=outline))
    assert (finding.code, finding.at) == ("outline-open", (0, 1.2))
    assert "1.2 mm between (0, 1.2) mm and (0, 0) mm" in str(finding.message)


def test_a_crossed_outline_is_found_at_its_crossing() -> None:
    """A bow tie crosses itself in its middle."""
    (finding,) = found(part(outline=path((0, 0), (200, 150), (200, 0), (0, 150))))
    assert (finding.code, finding.at) == ("outline-crossing", (100, 75))


def test_an_outline_that_touches_itself_is_found() -> None:
    """Two loops that share one point are no simple outline."""
    touching = path((0, 0), (100, 75), (200, 0), (200, 150), (100, 75), (0, 150))
    assert codes(found(part(outline=touching))) == ["outline-crossing"]


@pytest.mark.parametrize(
    "outline",
    [
        path((0, 0), (200, 0), (200, 150), (0, 150), (0, 0), (200, 0), (200, 150), (0, 150)),
        path((0, 0), (120, 0), (80, 0), (200, 0), (200, 150), (0, 150)),
        path((0, 0), (200, 0), (200, 80), (260, 80), (200, 80), (200, 150), (0, 150)),
        path((0, 0), (120, 0.004), (80, -0.004), (200, 0), (200, 150), (0, 150)),
    ],
    ids=["drawn twice", "there and back", "a spike", "nearly on one another"],
)
def test_pieces_on_one_another_are_found(outline: Path) -> None:
    """Equal and partly equal pieces lie on one another, also a few micrometres apart."""
    assert "outline-overlap" in codes(found(part(outline=outline)))


def test_arcs_on_one_another_are_found_although_their_chords_differ() -> None:
    """Two arcs of the same circle, from different starts, share a part of it."""
    first = Path((Vertex(10, 0, math.tan(math.radians(45))), Vertex(-10, 0)), closed=False)
    turned = [(10 * math.cos(math.radians(a)), 10 * math.sin(math.radians(a))) for a in (97, 263)]
    second = Path((Vertex(*turned[0], math.tan(math.radians(166 / 4))), Vertex(*turned[1])), closed=False)
    overlap = line_faults([first, second]).overlap
    assert overlap is not None
    assert overlap.size == pytest.approx(10 * math.radians(83), abs=0.5)


def test_an_outline_without_area_is_found() -> None:
    """A sliver half a square millimetre large is no part."""
    thin = path((0, 0), (20, 0), (20, 0.025), (0, 0.025))
    assert codes(found(part(outline=thin))) == ["outline-no-area"]


def test_pieces_without_length_and_tiny_ones_are_found_apart() -> None:
    """A doubled point is a warning, a piece of 0.01 mm a note."""
    doubled = path((0, 0), (200, 0), (200, 0), (200, 150), (0, 150))
    tiny = path((0, 0), (200, 0), (200, 0.01), (200, 150), (0, 150))
    short = path((0, 0), (200, 0), (200, 0.03), (200, 150), (0, 150))
    assert [codes(found(part(outline=o))) for o in (doubled, tiny, short)] == [["piece-zero"], ["piece-tiny"], []]


def test_an_open_pocket_shape_is_found_but_an_open_groove_is_not() -> None:
    """Only what is cleared or followed on one side must close."""
    line = path((20, 20), (60, 20), (60, 60), (20, 60), closed=False)
    assert codes(found(part(pocket(line)))) == ["area-open"]
    assert found(part(groove(line))) == []


def test_a_crossed_pocket_is_found_but_a_crossed_groove_is_not() -> None:
    """A crossed line may well be a groove."""
    bow = path((20, 20), (80, 80), (80, 20), (20, 80))
    assert codes(found(part(pocket(bow)))) == ["shape-crossing"]
    assert found(part(groove(bow))) == []


def test_a_repeated_pocket_is_an_error_because_it_cancels_out() -> None:
    """By the even-odd rule two equal shapes leave the wood standing; the second may start elsewhere."""
    shape = rounded(20, 20, 60, 40)
    (finding,) = found(part(pocket(shape, shape.starting_at(2))))
    assert (finding.code, finding.severity) == ("shape-repeated", Severity.ERROR)


def test_a_repeated_groove_is_a_warning() -> None:
    """A groove cut twice is only wasteful."""
    line = polyline([(20, 20), (80, 20)])
    (finding,) = found(part(groove(line, line.reversed())))
    assert (finding.code, finding.severity) == ("shape-repeated", Severity.WARNING)


def test_lines_of_a_groove_that_share_a_piece_are_found() -> None:
    """Half of the second line lies on the first; lines that only meet or cross are fine."""
    first, half = polyline([(20, 20), (80, 20)]), polyline([(50, 20), (110, 20)])
    (finding,) = found(part(groove(first, half)))
    assert finding.code == "line-overlap"
    assert "30 mm in all" in str(finding.message)
    assert found(part(groove(first, polyline([(80, 20), (110, 60)]), polyline([(50, 10), (50, 60)])))) == []


def test_pocket_shapes_that_overlap_in_part_are_found() -> None:
    """Shapes side by side or one inside the other are meant, partly overlapping ones are not."""
    one = rectangle((40, 40), at=(20, 20))
    assert codes(found(part(pocket(one, rectangle((40, 40), at=(50, 30)))))) == ["shapes-overlap"]
    assert found(part(pocket(one, rectangle((40, 40), at=(60, 20))))) == []
    assert found(part(pocket(one, rectangle((10, 10), at=(35, 35))))) == []


def test_a_repeated_point_is_found() -> None:
    """The same hole drilled twice."""
    assert codes(found(part(drilled((50, 50), (80, 50), (50, 50))))) == ["point-repeated"]
    assert found(part(drilled((50, 50), (80, 50)))) == []


def star(radii: Sequence[float]) -> list[tuple[float, float]]:
    step = 2 * math.pi / len(radii)
    return [(300 + r * math.cos(k * step), 200 + r * math.sin(k * step)) for k, r in enumerate(radii)]


stars = st.lists(st.floats(60, 150), min_size=5, max_size=40).map(star)


@given(stars)
def test_random_stars_are_sound(points: list[tuple[float, float]]) -> None:
    """Star-shaped outlines never cross themselves."""
    assert found(part(outline=path(*points), places=((0, 0),))) == []


@given(stars, st.data())
def test_random_damage_is_found(points: list[tuple[float, float]], data: st.DataObject) -> None:
    """A doubled point, a swapped pair of far points, a spike and an opened loop are each found."""
    index = data.draw(st.integers(0, len(points) - 1))
    doubled = path(*points[: index + 1], *points[index:])
    middle = (points[index][0] + 40, points[index][1] + 7)
    spiked = path(*points[: index + 1], middle, *points[index:])
    opened = path(*points[index:], *points[:index], closed=False)
    assert "piece-zero" in codes(found(part(outline=doubled)))
    assert {"outline-overlap", "outline-crossing"} & set(codes(found(part(outline=spiked))))
    assert "outline-open" in codes(found(part(outline=opened)))


@given(stars, st.data())
def test_crossings_agree_with_an_independent_test_of_simplicity(
    points: list[tuple[float, float]], data: st.DataObject
) -> None:
    """With two points swapped, faults are found exactly when the geometry library calls the ring not simple."""
    one = data.draw(st.integers(0, len(points) - 1))
    other = data.draw(st.integers(0, len(points) - 1))
    points = list(points)
    points[one], points[other] = points[other], points[one]
    loop = path(*points)
    faults = line_faults([loop])
    if not loop.to_polygon().exterior.is_simple:
        assert faults.crossing or faults.overlap
    elif not faults.overlap:
        assert faults.crossing is None


def test_a_large_outline_is_checked_whole() -> None:
    """Among 20,000 vertices the one crossing is found."""
    count = 20_000
    points = star([150.0] * count)
    points[5000], points[5003] = points[5003], points[5000]
    faults = line_faults([path(*points)])
    assert faults.crossing or faults.overlap
    assert line_faults([path(*star([150.0] * count))]) == line_faults([circle((0, 0), 5)])


def test_plates_of_the_builders_are_sound() -> None:
    """What the other tests build on raises nothing."""
    assert found(freed(outline=plate())) == []
