"""Runs: stretches of a closed path on which tabs may sit, as distances along it, and places on them. Lengths mm.

A path may have ten thousand of them, so all is found by searching in order. A run that is one place counts.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Interval = tuple[float, float]

# Places that are as far apart are tried at so many shifts.
_SHIFTS = 24
# Runs end at the end of their path, but for rounding, mm.
_PAST_END = 1.0


def shared(runs: Iterable[Interval], others: Sequence[Interval]) -> list[Interval]:
    """Return what runs have in common with others, which follow each other along the path without overlapping."""
    lows, highs = [low for low, _ in others], [high for _, high in others]
    return [
        (max(low, lows[index]), min(high, highs[index]))
        for low, high in runs
        for index in range(bisect_left(highs, low), bisect_right(lows, high))
    ]


def free(runs: Iterable[Interval], taken: Iterable[float], apart: float, total: float) -> list[Interval]:
    """Return what of runs along a closed path is at least so far from the places that are taken."""
    ends = [-math.inf]
    for low, high in sorted(zone for place in taken for zone in _zones(place, apart, total)):
        if len(ends) > 1 and low < ends[-1]:
            ends[-1] = max(ends[-1], high)
        else:
            ends += [low, high]
    return shared(runs, list(zip(ends[::2], [*ends[1::2], math.inf], strict=True)))


def marks_along(runs: Sequence[Interval], step: float) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Return marks on runs, no more than a step apart, their ends among them, and which is followed by one of its run.

    The second array is one shorter than the first.
    """
    starts, ends = np.array(runs, dtype=np.float64).reshape(-1, 2).T
    counts = np.maximum(2, np.ceil((ends - starts) / step).astype(np.intp) + 1)
    run, last = np.repeat(np.arange(len(runs)), counts), np.cumsum(counts) - 1
    index = np.arange(len(run)) - (last - counts + 1)[run]
    marks = index * ((ends - starts) / (counts - 1))[run] + starts[run]
    marks[last] = ends
    return marks, run[1:] == run[:-1]


def stretches(marks: NDArray[np.float64], joined: NDArray[np.bool_]) -> list[Interval]:
    """Return the stretches from mark to mark that are joined; those that touch are one.

    joined: for every mark but the last whether it is joined to the next.
    """
    starts, ends = marks[:-1][joined], marks[1:][joined]
    apart = starts[1:] != ends[:-1]
    first, last = np.ones(len(starts), dtype=bool), np.ones(len(starts), dtype=bool)
    first[1:], last[:-1] = apart, apart
    return list(zip(starts[first].tolist(), ends[last].tolist(), strict=True))


def most_even(total: float, count: int, runs: Sequence[Interval], apart: float) -> list[float]:
    """Return the most even of several ways to place up to `count` tabs on runs, `apart` from each other."""
    room = _Room(runs)
    shifts = [room.placed(total, count, shift / _SHIFTS, apart) for shift in range(_SHIFTS)]
    return min(shifts, key=lambda distances: (-len(distances), _unevenness(distances, total)))


class _Room:
    """Runs, and the same stretches in order along the path, those that touch as one."""

    def __init__(self, runs: Sequence[Interval]) -> None:
        self._runs = runs
        self._in_order = all(a <= c and b <= d for (a, b), (c, d) in pairwise(runs))
        self._lows: list[float] = []
        self._highs: list[float] = []
        for low, high in runs if self._in_order else sorted(runs):
            if self._highs and low <= self._highs[-1]:
                self._highs[-1] = max(self._highs[-1], high)
            else:
                self._lows.append(low)
                self._highs.append(high)

    def placed(self, total: float, count: int, shift: float, apart: float) -> list[float]:
        """Return the places nearest to even ones, `apart` from each other; fewer where there is no more room."""
        found: list[float] = []
        lows, highs = self._lows.copy(), self._highs.copy()
        for index in range(count):
            if not lows:
                break
            place = self._nearest((index + shift) * total / count, lows, highs)
            found.append(place)
            for zone in _zones(place, apart, total):
                _take_out(zone, lows, highs)
        return sorted(found)

    def _nearest(self, wanted: float, lows: Sequence[float], highs: Sequence[float]) -> float:
        """Return the place that is nearest to a wanted one; of two as near the one on the first of the runs."""
        after = bisect_right(lows, wanted)
        if after and wanted <= highs[after - 1]:
            return wanted
        if after in (0, len(lows)):
            return highs[-1] if after else lows[0]
        before, beyond = highs[after - 1], lows[after]
        if wanted - before != beyond - wanted:
            return before if wanted - before < beyond - wanted else beyond
        return before if self._in_order or self._first(before) <= self._first(beyond) else beyond

    def _first(self, place: float) -> int:
        return next(index for index, (low, high) in enumerate(self._runs) if low <= place <= high)


def _take_out(zone: Interval, lows: list[float], highs: list[float]) -> None:
    """Take a zone without its ends out of stretches that are in order."""
    low, high = zone
    first, last = bisect_right(highs, low), bisect_left(lows, high)
    if first >= last:
        return
    left = [(a, b) for a, b in ((lows[first], low), (high, highs[last - 1])) if a <= b]
    lows[first:last], highs[first:last] = [a for a, _ in left], [b for _, b in left]


def _zones(place: float, apart: float, total: float) -> list[Interval]:
    """Return where no other tab may be for one at a place of a closed path."""
    zones = [(place + turn - apart, place + turn + apart) for turn in (-total, 0.0, total)]
    return [(low, high) for low, high in zones if high > 0 and low <= total + _PAST_END]


def _unevenness(distances: Sequence[float], total: float) -> float:
    if not distances:
        return math.inf
    gaps = [b - a for a, b in zip(distances, [*distances[1:], distances[0] + total], strict=True)]
    return max(gaps) - min(gaps)
