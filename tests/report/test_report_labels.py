"""Numbered signs find room without covering one another; details show the places they are for."""

from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st

from kitforge.model.findings import Severity
from kitforge.report.details import LEAST, LIMIT, MOST, SIDE, details_for
from kitforge.report.drawing import CAPTION_SIZE, caption
from kitforge.report.labels import LabelArea, settle
from kitforge.report.measure import width_of
from kitforge.report.records import MarkedSpot, Point

_BETWEEN_DETAILS = (160.0 - 4 * SIDE) / 3
FRAME = LabelArea(0.0, 0.0, 160.0, 108.0)
PLACES = st.lists(st.tuples(st.floats(3.4, 156.6), st.floats(3.4, 104.6)), max_size=60)
CLUSTERS = st.lists(st.tuples(st.floats(0, 300), st.floats(0, 200), st.booleans()), max_size=40)


def _spots(places: list[tuple[float, float, bool]]) -> list[MarkedSpot]:
    return [MarkedSpot(n, Severity.WARNING, x, y, small) for n, (x, y, small) in enumerate(places, 1)]


@given(PLACES)
def test_no_two_signs_overlap_and_all_lie_in_the_frame(places: list[Point]) -> None:
    signs = [sign for sign in settle(places, FRAME, 3.4) if sign]
    assert all(FRAME.holds(*sign, 3.4 - 1e-9) for sign in signs)
    gaps = [math.dist(a, b) for i, a in enumerate(signs) for b in signs[:i]]
    assert [gap for gap in gaps if gap < 6.8] == []


@given(PLACES)
def test_signs_get_the_same_room_again(places: list[Point]) -> None:
    assert settle(places, FRAME, 3.4) == settle(places, FRAME, 3.4)


def test_many_findings_at_one_place_still_get_signs_of_their_own() -> None:
    assert None not in settle([(80.0, 54.0)] * 60, FRAME, 3.4)


def test_a_sign_that_finds_no_room_is_left_out() -> None:
    small = LabelArea(0.0, 0.0, 12.0, 12.0)
    signs = settle([(6.0, 6.0)] * 9, small, 3.4)
    assert signs.count(None) >= 8


def test_a_lone_sign_lies_beside_its_place_not_on_it() -> None:
    (sign,) = settle([(100.0, 60.0)], FRAME, 3.4)
    assert sign is not None
    assert 3.4 < math.dist(sign, (100.0, 60.0)) < 10.0


@given(CLUSTERS, st.floats(0.05, 2.0))
def test_a_detail_contains_every_place_it_is_for(places: list[tuple[float, float, bool]], scale: float) -> None:
    for detail in details_for(_spots(places), scale):
        half = detail.side / 2
        assert all(abs(s.x - detail.x) <= half and abs(s.y - detail.y) <= half for s in detail.spots)
        assert LEAST <= detail.times <= MOST
        assert math.isclose(detail.side * scale * detail.times, SIDE)


@given(CLUSTERS)
def test_every_small_place_has_one_detail_until_there_are_too_many(places: list[tuple[float, float, bool]]) -> None:
    spots = _spots(places)
    shown = [spot.number for detail in details_for(spots, 1.0) for spot in detail.spots]
    assert len(shown) == len(set(shown))
    small = {spot.number for spot in spots if spot.small}
    assert small <= set(shown) or len(details_for(spots, 1.0)) == LIMIT


def test_large_places_far_apart_need_no_detail() -> None:
    assert details_for(_spots([(10.0, 10.0, False), (90.0, 10.0, False)]), 1.0) == []


def test_two_places_that_cannot_be_told_apart_are_enlarged_together() -> None:
    (detail,) = details_for(_spots([(10.0, 10.0, False), (11.0, 10.0, False)]), 1.0)
    assert [spot.number for spot in detail.spots] == [1, 2]


def test_the_worst_findings_come_first_when_not_all_can_be_enlarged() -> None:
    notes = [MarkedSpot(n, Severity.NOTE, 20.0 * n, 0.0, small=True) for n in range(1, 30)]
    error = MarkedSpot(30, Severity.ERROR, 900.0, 0.0, small=True)
    shown = [spot.number for detail in details_for([*notes, error], 1.0) for spot in detail.spots]
    assert 30 in shown


def test_the_caption_of_a_detail_ends_before_the_next_one_begins() -> None:
    """The widest one: several findings with large numbers, at the largest scale."""
    widest = caption([148, 149, 150, 150, 150], MOST)
    assert width_of(widest, CAPTION_SIZE) < SIDE + _BETWEEN_DETAILS - 1.0
    assert caption([3], 5.0) == "3, scale 5 : 1"
