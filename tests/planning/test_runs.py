"""Runs along a path by searching in order, and one after the other: the same, to the last digit."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
import pytest
from builders import stock
from hypothesis import given, settings
from hypothesis import strategies as st

from kitforge.model.kit import Grain
from kitforge.model.path import Path, Vertex
from kitforge.planning.runs import Interval, free, marks_along, most_even, shared, stretches
from kitforge.planning.tab_load import Pull, TabLoad
from kitforge.planning.tabs import allowed_runs

# halves, so that runs touch, meet in one place and lie as far to the left as to the right of what is wanted
spots = st.integers(0, 240).map(lambda number: number / 2)
apart_ = st.integers(1, 60).map(lambda number: number / 4)


@st.composite
def outlines(draw: st.DrawFn) -> Path:
    """Outlines of 3 to 9 corners on a grid of 10 mm, or 64 to 90 on one of 2 mm: lines, arcs, some of no length."""
    grid, least, most = draw(st.sampled_from(((10.0, 3, 9), (10.0, 3, 9), (2.0, 64, 90))))
    ways, bulges = st.integers(0, 20), st.sampled_from((0.0, 0.0, 0.0, 0.2, -0.4, 1.0))
    rows = draw(st.lists(st.tuples(ways, ways, bulges), min_size=least, max_size=most))
    path = Path(tuple(Vertex(grid * x, grid * y, bulge) for x, y, bulge in rows))
    return path if path.length > 0 else Path((Vertex(0, 0), Vertex(50, 0), Vertex(0, 50)))


@st.composite
def run_lists(draw: st.DrawFn) -> list[Interval]:
    """Runs that follow each other, or lie in any order and over one another."""
    if draw(st.booleans()):
        ends = sorted(draw(st.lists(spots, min_size=2, max_size=24, unique=True)))
        return list(zip(ends[::2], ends[1::2], strict=False))
    pairs = draw(st.lists(st.tuples(spots, spots), min_size=1, max_size=12))
    return [(min(pair), max(pair)) for pair in pairs]


def plain_free(runs: Sequence[Interval], taken: Sequence[float], apart: float, total: float) -> list[Interval]:
    """What of runs is far enough from places, one place after the other."""
    left = list(runs)
    for place in taken:
        for low, high in ((place + turn - apart, place + turn + apart) for turn in (-total, 0.0, total)):
            pieces = []
            for start, end in left:
                if low >= end or high <= start:
                    pieces.append((start, end))
                    continue
                pieces += [(start, low)] * (start <= low) + [(high, end)] * (high <= end)
            left = pieces
    return left


def plain_placed(total: float, count: int, runs: Sequence[Interval], shift: float, apart: float) -> list[float]:
    """The places nearest to even ones, each sought in all runs; of two as near the one on the first run."""
    found: list[float] = []
    left = list(runs)
    for index in range(count):
        if left:
            want = (index + shift) * total / count
            found.append(min((min(max(want, low), high) for low, high in left), key=lambda place: abs(place - want)))
            left = plain_free(left, found[-1:], apart, total)
    return sorted(found)


def plain_most_even(total: float, count: int, runs: Sequence[Interval], apart: float) -> list[float]:
    def unevenness(places: list[float]) -> float:
        gaps = [b - a for a, b in zip(places, [*places[1:], places[0] + total], strict=True)] if places else [math.inf]
        return max(gaps) - min(gaps) if places else math.inf

    tried = [plain_placed(total, count, runs, shift / 24, apart) for shift in range(24)]
    return min(tried, key=lambda places: (-len(places), unevenness(places)))


def plain_stretches(marks: Sequence[float], joined: Sequence[bool]) -> list[Interval]:
    found: list[Interval] = []
    for before, after, one in zip(marks, marks[1:], joined, strict=False):
        if one and found and found[-1][1] == before:
            found[-1] = found[-1][0], after
        elif one:
            found.append((before, after))
    return found


def plain_strongest(load: TabLoad, path: Path, width: float) -> list[Interval]:
    """Where a tab bears most, mark by mark."""
    count = max(8, math.ceil(path.length / 2))
    marks = [index * path.length / count for index in range(count + 1)]
    stations = [path.point_at(mark) for mark in marks]
    angles = [round(math.degrees(math.atan2(station.dy, station.dx))) for station in stations]
    by_angle = {angle: load.lift_of(angle, width, 3.0) for angle in set(angles)}
    bears = [by_angle[angle] for angle in angles]
    if min(bears) >= 0.7 * max(bears):
        return []
    strong = [one >= 0.7 * max(bears) for one in bears]
    return plain_stretches(marks, [one and other for one, other in pairwise(strong)])


@given(run_lists(), run_lists())
def test_what_runs_share_is_found_in_order(runs: list[Interval], others: list[Interval]) -> None:
    others = free(others[:1], [one for one, _ in others[1:]], 2.5, 120.0)
    pairs = ((max(a, c), min(b, d)) for a, b in runs for c, d in others)
    assert shared(runs, others) == [(low, high) for low, high in pairs if low <= high]


@given(run_lists(), st.lists(spots, max_size=12), apart_)
def test_what_is_free_is_found_at_once(runs: list[Interval], taken: list[float], apart: float) -> None:
    assert free(runs, taken, apart, 120.0) == plain_free(runs, taken, apart, 120.0)


@given(run_lists(), st.integers(1, 9), apart_)
@settings(deadline=None, max_examples=60)
def test_even_places_are_found_in_order(runs: list[Interval], count: int, apart: float) -> None:
    assert most_even(120.0, count, runs, apart) == plain_most_even(120.0, count, runs, apart)


@given(outlines(), st.integers(1, 9), st.sampled_from((4.0, 7.0, 11.0)))
@settings(deadline=None, max_examples=25)
def test_tabs_of_an_outline_are_found_in_order(path: Path, count: int, margin: float) -> None:
    for runs in _with_all_before(allowed_runs(path, margin)):
        fast, plain = (each(path.length, count, runs, 2 * margin) for each in (most_even, plain_most_even))
        assert fast == plain


def _with_all_before(tiers: Sequence[Sequence[Interval]]) -> Iterator[list[Interval]]:
    for number in range(1, len(tiers) + 1):
        yield [run for tier in tiers[:number] for run in tier]


@given(run_lists(), st.integers(0, 2**32 - 1))
def test_marks_and_stretches_are_those_of_each_run(runs: list[Interval], seed: int) -> None:
    """Runs that touch make one stretch; so do those that were two runs."""
    marks, follows = marks_along(runs, 2.0)
    rows = [np.linspace(low, high, max(2, math.ceil((high - low) / 2.0) + 1)) for low, high in runs]
    assert marks.tolist() == np.concatenate(rows).tolist()
    assert np.flatnonzero(~follows).tolist() == [end - 1 for end in np.cumsum([len(row) for row in rows])[:-1]]
    joined = follows & np.array([bool(seed >> (k % 32) & 1) for k in range(len(follows))], dtype=bool)
    assert stretches(marks, joined) == plain_stretches(marks.tolist(), joined.tolist())


@pytest.mark.parametrize("grain", list(Grain))
@given(outlines(), st.sampled_from((6.0, 8.0, 12.0)))
@settings(deadline=None, max_examples=12)
def test_the_strongest_runs_are_those_of_each_mark(grain: Grain, path: Path, width: float) -> None:
    load = TabLoad((Pull(50.0, 25.0, 6.0),), stock(grain=grain))
    assert load.strongest_runs(path, width, 3.0) == plain_strongest(load, path, width)
