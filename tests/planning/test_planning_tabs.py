"""Where tabs go."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import pytest
from builders import cutter, outside, stock
from hypothesis import given
from hypothesis import strategies as st

from kitforge.geometry.shapes import rectangle
from kitforge.model.kit import Tabs
from kitforge.model.path import Path, Vertex, circle
from kitforge.planning.runs import Interval, most_even
from kitforge.planning.tab_load import Pull, TabLoad
from kitforge.planning.tabs import allowed_runs, most_tabs, needed_tabs, place_tabs, spread

TOOL = cutter(6.0)
SMALL = rectangle((40.0, 30.0))
BOARD = rectangle((300.0, 200.0), at=(0.0, 0.0), corner_radius=10.0)


def test_there_are_three_tabs_at_least() -> None:
    assert needed_tabs(outside(SMALL, TOOL, Tabs(None, 8.0, 2.0)), TOOL, SMALL) == 3


def test_a_long_edge_gets_a_tab_every_200_mm() -> None:
    """Spacing 100 to 250 mm: common practice, no source."""
    assert needed_tabs(outside(BOARD, TOOL, Tabs(None, 8.0, 2.0)), TOOL, BOARD) == math.ceil(BOARD.length / 200)


def test_the_authors_count_wins() -> None:
    assert needed_tabs(outside(BOARD, TOOL, Tabs(2, 8.0, 2.0)), TOOL, BOARD) == 2


@given(st.floats(80, 400), st.floats(80, 400), st.integers(3, 8))
def test_tabs_keep_off_the_corners(width: float, height: float, count: int) -> None:
    """Every tab sits on a straight run, its half width and a cutter away from the corners."""
    path = rectangle((width, height), at=(0.0, 0.0))
    runs = allowed_runs(path, 4.0 + 6.0)[0]
    for distance in spread(path, count, 8.0, 6.0):
        assert any(low - 1e-6 <= distance <= high + 1e-6 for low, high in runs)


def test_tabs_of_a_circle_are_even() -> None:
    distances = spread(circle(0, 0, 60.0), 4, 8.0, 6.0)
    gaps = [b - a for a, b in itertools.pairwise(distances)]
    assert max(gaps) - min(gaps) < 1e-6


def test_the_authors_places_move_to_the_edge() -> None:
    placed = place_tabs(outside(BOARD, TOOL, Tabs(None, 8.0, 2.0, ((150.0, -3.0), (303.0, 100.0)))))
    assert [(round(tab.x, 1), round(tab.y, 1)) for tab in placed] == [(150.0, 0.0), (300.0, 100.0)]


def test_a_cut_without_tabs_gets_none() -> None:
    from kitforge.model.kit import OnionSkin

    assert place_tabs(outside(BOARD, TOOL, OnionSkin(0.4))) == ()


def test_there_are_at_most_eight_tabs_or_one_each_100_mm() -> None:
    tabs = Tabs(None, 8.0, 2.0)
    assert most_tabs(outside(BOARD, TOOL, tabs), TOOL, BOARD, 8.0) == math.ceil(BOARD.length / 100)
    slim = rectangle((150.0, 100.0))
    assert most_tabs(outside(slim, TOOL, tabs), TOOL, slim, 8.0) == 8
    assert most_tabs(outside(BOARD, TOOL, Tabs(4, 8.0, 2.0)), TOOL, BOARD, 8.0) == 4


def test_there_are_never_more_tabs_than_fit() -> None:
    assert most_tabs(outside(SMALL, TOOL, Tabs(None, 8.0, 2.0)), TOOL, SMALL, 8.0) == 3


@given(st.floats(40, 400), st.floats(20, 200), st.integers(1, 12), st.floats(4, 20))
def test_no_two_tabs_are_one(width: float, height: float, count: int, wide: float) -> None:
    """Between two neighbours the cutter comes down to full depth: they are a tab and two cutters apart."""
    path = rectangle((width, height), at=(0.0, 0.0))
    places = spread(path, count, wide, 6.0)
    gaps = [b - a for a, b in zip(places, [*places[1:], places[0] + path.length], strict=True)] if places else []
    assert len(places) == 1 or all(gap >= wide + 12.0 - 1e-6 for gap in gaps)


@pytest.mark.parametrize(("tabs", "most"), [(None, 300), (30, 20)])
def test_tabs_of_a_long_edge_are_sought_in_few_ways(
    tabs: int | None, most: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On the 40 m of a comb are 200 to 400 tabs; for a load that none bear the plan tries all that it knows."""
    teeth = [Vertex(2000 - k, 200 + 20 * (k % 2)) for k in range(2001)]
    comb = Path((Vertex(0, 0), Vertex(2000, 0), *teeth))
    asked: list[int] = []

    def counted(total: float, count: int, runs: Sequence[Interval], apart: float) -> list[float]:
        asked.append(count)
        return most_even(total, count, runs, apart) if count < 40 else [0.0] * count

    monkeypatch.setattr("kitforge.planning.tabs.most_even", counted)
    place_tabs(outside(comb, TOOL, Tabs(tabs, 8.0, 2.0)), TabLoad((Pull(1e6, 1e6, TOOL.diameter),), stock()))
    assert 0 < len(asked) <= most


def test_as_many_tabs_as_are_asked_for_where_they_have_room() -> None:
    """The straight runs of a slim strip's ends have none, so the long sides take all."""
    assert len(spread(rectangle((300.0, 24.0)), 6, 8.0, 6.0)) == 6
