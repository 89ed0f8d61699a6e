"""How long a path takes on a machine that speeds up and slows down. Lengths mm, speeds mm/s, acceleration mm/s2, s.

A path is a chain of pieces. Each piece has a length and a radius (infinite for a line); between two pieces the path
turns with an interior angle in degrees (180: straight on, 0: back on itself).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import repeat
from math import inf, radians, sin, sqrt
from typing import TYPE_CHECKING

from kitforge.model.record import record

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Numbers = npt.NDArray[np.float64]

LARGE = 40
"""From this many pieces on numpy is faster, where one path is timed for several classes (measured: about 30)."""
_STRAIGHT = 1 - 1e-12


@record(eq=False)
class TimedTravel:
    """Pieces of one path from rest to rest. angles: one between each two pieces; radii: empty when all are lines."""

    lengths: Sequence[float] | Numbers
    angles: Sequence[float] | Numbers = ()
    radii: Sequence[float] | Numbers = ()

    def __post_init__(self) -> None:
        if len(self.angles) and len(self.angles) != len(self.lengths) - 1:
            raise ValueError(f"{len(self.lengths)} pieces have {len(self.lengths) - 1} corners, not {len(self.angles)}")
        if len(self.radii) and len(self.radii) != len(self.lengths):
            raise ValueError(f"{len(self.lengths)} pieces need as many radii, not {len(self.radii)}")


def move_time(length: float, speed: float, acceleration: float) -> float:
    """Return the time of one move from rest to rest: L / v + v / a, or 2 sqrt(L / a) if v is not reached. Derived."""
    if length >= speed * speed / acceleration:
        return length / speed + speed / acceleration
    return 2 * sqrt(length / acceleration)


def arc_speed(radius: float, acceleration: float) -> float:
    """Return the highest speed sqrt(a r) on an arc. Derived from the centripetal acceleration."""
    return sqrt(acceleration * radius)


def corner_speed(angle: float, acceleration: float, tolerance: float) -> float:
    """Return the speed through a corner of interior `angle` degrees rounded within `tolerance` mm.

    v = sqrt(a d sin(phi / 2) / (1 - sin(phi / 2))), the arc speed on the inscribed rounding. Derived; 180 has no limit.
    """
    half = _half_sine(angle)
    return inf if half >= _STRAIGHT else sqrt(acceleration * tolerance * half / (1 - half))


def _half_sine(angle: float) -> float:
    return sin(radians(min(max(angle, 0.0), 180.0)) / 2)


def path_time(travel: TimedTravel, speed: float, acceleration: float, tolerance: float) -> float:
    """Return the time of a path in s at a programmed `speed` mm/s, slowing down for arcs and corners.

    Each junction is passed as fast as the corner, both pieces and the distance to brake in allow; exact for constant
    acceleration. Derived. Raises ValueError for a speed, acceleration or tolerance that is not above zero.
    """
    if min(speed, acceleration, tolerance) <= 0:
        raise ValueError("speed, acceleration and tolerance must be above zero")
    if len(travel.lengths) >= LARGE:
        return _path_time_large(travel, speed, acceleration, tolerance)
    return _path_time_small(travel, speed, acceleration, tolerance)


def _path_time_small(travel: TimedTravel, speed: float, a: float, tolerance: float) -> float:
    lengths, radii = travel.lengths, travel.radii
    caps = [min(speed, arc_speed(r, a)) for r in radii] if len(radii) else [speed] * len(lengths)
    joints = _joint_speeds(travel, caps, a, tolerance)
    # a joint that is no faster than the one before, or after, is reached from there on any length
    for index, length in enumerate(lengths):
        if joints[index + 1] > joints[index]:
            joints[index + 1] = min(joints[index + 1], sqrt(joints[index] ** 2 + 2 * a * length))
    for index in range(len(lengths) - 1, -1, -1):
        if joints[index] > joints[index + 1]:
            joints[index] = min(joints[index], sqrt(joints[index + 1] ** 2 + 2 * a * lengths[index]))
    return sum(map(_piece_time, lengths, joints, joints[1:], caps, repeat(a)))


def _joint_speeds(travel: TimedTravel, caps: Sequence[float], a: float, tolerance: float) -> list[float]:
    if not caps:
        return [0.0]
    halves = _half_sines(travel) if len(travel.angles) else [1.0] * (len(caps) - 1)
    corners = (inf if half >= _STRAIGHT else sqrt(a * tolerance * half / (1 - half)) for half in halves)
    return [0.0, *map(min, corners, caps, caps[1:]), 0.0]


@lru_cache(maxsize=256)
def _half_sines(travel: TimedTravel) -> list[float]:
    """Return sin(phi / 2) of each corner: asked for once for each class and each of its accelerations."""
    return [_half_sine(angle) for angle in travel.angles]


def _piece_time(length: float, start: float, end: float, cap: float, a: float) -> float:
    if length <= 0:
        return 0.0
    squares = start * start + end * end
    peak = sqrt(squares / 2 + a * length)
    if peak <= cap:
        return (2 * peak - start - end) / a
    return (2 * cap - start - end) / a + (length - (2 * cap * cap - start * start - end * end) / (2 * a)) / cap


def _path_time_large(travel: TimedTravel, speed: float, a: float, tolerance: float) -> float:
    import numpy as np

    lengths, factors = _arrays(travel)
    if not len(travel.radii):
        # joints that never slow the cutter down make no difference: their pieces are one piece
        slow = np.flatnonzero(factors < speed * speed / (a * tolerance))
        at = np.concatenate(([0.0], _distances(travel)[slow], [_distances(travel)[-1]]))
        lengths, factors = np.diff(at), factors[slow]
    gained = np.concatenate(([0.0], np.cumsum(2 * a * lengths)))
    caps: float | Numbers = speed * speed
    joints = np.minimum(a * tolerance * factors, caps)
    if len(travel.radii):
        caps = np.minimum(caps, a * np.asarray(travel.radii, dtype=np.float64))
        joints = np.minimum(np.minimum(joints, caps[:-1]), caps[1:])
    squares = np.concatenate(([0.0], joints, [0.0]))
    # v2[i+1] <= v2[i] + 2 a L[i] forwards, and the same backwards: running minima once the sum of 2 a L is off
    squares = np.minimum.accumulate(squares - gained) + gained
    squares = np.maximum(0.0, np.minimum.accumulate((squares + gained)[::-1])[::-1] - gained)
    both = squares[:-1] + squares[1:]
    peaks = np.minimum(caps, both / 2 + a * lengths)
    cruise = np.maximum(0.0, lengths - (2 * peaks - both) / (2 * a))
    speeds, peak = np.sqrt(squares), np.sqrt(peaks)
    cruising = np.divide(cruise, peak, out=np.zeros_like(cruise), where=peak > 0)
    return float(((2 * peak - speeds[:-1] - speeds[1:]) / a + cruising).sum())


@lru_cache(maxsize=64)
def _distances(travel: TimedTravel) -> Numbers:
    """Return how far along the path each piece ends."""
    import numpy as np

    return np.cumsum(np.asarray(travel.lengths, dtype=np.float64))


@lru_cache(maxsize=64)
def _arrays(travel: TimedTravel) -> tuple[Numbers, Numbers]:
    """Return the lengths, and for each corner v2 / (a d) = sin(phi / 2) / (1 - sin(phi / 2)), infinite straight on."""
    import numpy as np

    lengths = np.asarray(travel.lengths, dtype=np.float64)
    if not len(travel.angles):
        return lengths, np.full(len(lengths) - 1, inf)
    half = np.sin(np.radians(np.clip(np.asarray(travel.angles, dtype=np.float64), 0, 180)) / 2)
    with np.errstate(divide="ignore"):
        return lengths, np.where(half >= _STRAIGHT, inf, half / (1 - half))
