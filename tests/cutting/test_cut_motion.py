"""Time of a path: against hand figures, against a step-by-step simulation, and small against large."""

from __future__ import annotations

from math import inf, pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitforge.cutting import motion
from kitforge.cutting.motion import (
    LARGE,
    TimedTravel,
    arc_speed,
    corner_speed,
    move_time,
    path_time,
)


def test_straight_corners_cost_nothing() -> None:
    """A line cut into ten pieces takes as long as the whole line (trapezoid, worked out by hand: 2.1 s)."""
    assert path_time(TimedTravel([100.0]), 50, 500, 0.01) == pytest.approx(2.1)
    assert path_time(TimedTravel([10.0] * 10, [180.0] * 9), 50, 500, 0.01) == pytest.approx(2.1)


def test_turning_back_stops() -> None:
    """There and back again is two moves from rest to rest."""
    assert path_time(TimedTravel([100.0, 100.0], [0.0]), 50, 500, 0.01) == pytest.approx(4.2)


def test_corner_is_passed_at_its_rounding_speed() -> None:
    """Two long lines with a right angle: each starts or ends at sqrt(a d sin45 / (1 - sin45)), checked by hand."""
    corner = corner_speed(90, 500, 0.01)
    leg = 50 / 500 + (50 - corner) / 500 + (100 - (2 * 50**2 - corner**2) / 1000) / 50
    assert path_time(TimedTravel([100.0, 100.0], [90.0]), 50, 500, 0.01) == pytest.approx(2 * leg)


def test_arc_is_slowed_by_its_radius() -> None:
    """A full circle of 2 mm radius at 500 mm/s2: 31.6 mm/s at most, from and to rest."""
    length, speed = 2 * pi * 2, sqrt(500 * 2)
    assert arc_speed(2, 500) == pytest.approx(31.62, abs=0.01)
    assert path_time(TimedTravel([length], [], [2.0]), 50, 500, 0.01) == pytest.approx(move_time(length, speed, 500))


def _simulate(travel: TimedTravel, speed: float, a: float, tolerance: float) -> float:
    """Independent check: walk the path in small steps of length, with v2 limits propagated step by step."""
    step, caps = 0.02, []
    corners = {0: 0.0}
    for index, length in enumerate(travel.lengths):
        radius = travel.radii[index] if travel.radii else inf
        caps += [min(speed, sqrt(a * radius))] * round(length / step)
        corner = corner_speed(travel.angles[index], a, tolerance) if index < len(travel.angles) else 0.0
        corners[len(caps)] = corner
    squares = [
        min(caps[max(i - 1, 0)], caps[min(i, len(caps) - 1)], corners.get(i, inf)) ** 2 for i in range(len(caps) + 1)
    ]
    for i in range(len(caps)):
        squares[i + 1] = min(squares[i + 1], squares[i] + 2 * a * step)
    for i in range(len(caps) - 1, -1, -1):
        squares[i] = min(squares[i], squares[i + 1] + 2 * a * step)
    return sum(2 * step / (sqrt(squares[i]) + sqrt(squares[i + 1])) for i in range(len(caps)))


PIECES = st.lists(
    st.tuples(st.integers(1, 40), st.floats(0, 180), st.sampled_from([inf, 1.0, 5.0])), min_size=1, max_size=12
)


@given(PIECES, st.floats(5, 80), st.floats(30, 2000))
def test_time_agrees_with_a_step_by_step_simulation(
    pieces: list[tuple[int, float, float]], speed: float, acceleration: float
) -> None:
    """The closed form per piece and a walk in steps of 0.02 mm agree within 2 %."""
    travel = TimedTravel([float(p[0]) for p in pieces], [p[1] for p in pieces[:-1]], [p[2] for p in pieces])
    assert path_time(travel, speed, acceleration, 0.01) == pytest.approx(
        _simulate(travel, speed, acceleration, 0.01), rel=0.02
    )


@given(PIECES, st.floats(5, 400), st.floats(30, 5000))
def test_large_and_small_paths_are_computed_alike(
    pieces: list[tuple[int, float, float]], speed: float, acceleration: float
) -> None:
    """The vectorised form gives the same time as the plain one."""
    travel = TimedTravel([float(p[0]) for p in pieces], [p[1] for p in pieces[:-1]], [p[2] for p in pieces])
    large = motion._path_time_large(travel, speed, acceleration, 0.01)
    assert large == pytest.approx(path_time(travel, speed, acceleration, 0.01), rel=1e-6)


def test_hundred_thousand_pieces_are_taken_in_one_go() -> None:
    """A dish in short lines: between the time at full speed and that with a stop at each joint."""
    count = 100_000
    assert count > LARGE
    travel = TimedTravel([0.2] * count, [178.0] * (count - 1))
    seconds = path_time(travel, 40, 500, 0.01)
    assert count * 0.2 / 40 < seconds < count * move_time(0.2, 40, 500)


@pytest.mark.parametrize("wrong", [(0, 500, 0.01), (50, 0, 0.01), (50, 500, 0)])
def test_speeds_that_are_not_above_zero_are_refused(wrong: tuple[float, float, float]) -> None:
    """Nothing can be timed at no speed."""
    with pytest.raises(ValueError, match="above zero"):
        path_time(TimedTravel([1.0]), *wrong)


def test_counts_that_do_not_fit_are_refused() -> None:
    """Two pieces have one corner and two radii."""
    with pytest.raises(ValueError, match="corners"):
        TimedTravel([1.0, 2.0], [90.0, 90.0])
    with pytest.raises(ValueError, match="radii"):
        TimedTravel([1.0, 2.0], [90.0], [1.0])
