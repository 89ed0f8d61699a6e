"""What an engraving cuts in each layer: only the ways that go deeper than the layer above.

All ways are worked on in one array with marks where one ends, for a text of a hundred strokes is cut in a few layers on
every class of machine: stroke by stroke that took longer than everything else of the settings.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from kitforge.model.record import record
from kitforge.model.travel import Travel, turns

if TYPE_CHECKING:
    Numbers = NDArray[np.float64]
    Flags = NDArray[np.bool_]


@record(eq=False)
class Layer:
    """The pieces of all ways of one layer in running order. lengths mm; angles: interior, degrees, at the start of each
    piece, 0 where the cutter goes down anew; rises: by how much each piece goes up or down mm; starts: ways down."""

    lengths: Numbers
    angles: Numbers
    rises: Numbers
    starts: int


def layers_of(travel: Travel, depth: float, passes: int) -> Iterator[Layer]:
    """Yield what is cut in each of `passes` layers, `depth` mm each; the last one goes down to where the ways go."""
    ways = [chain for chain in travel.chains if len(chain) > 1]
    if passes == 1:
        yield Layer(travel.lengths, travel.angles, _rises(ways), travel.starts)
        return
    plunges = np.array([chain[0, 2] for chain in travel.chains if len(chain) == 1])
    points = np.concatenate(ways) if ways else np.empty((0, 3))
    of_one = np.ones(max(len(points) - 1, 0), dtype=bool)  # steps from point to point that are of one way
    of_one[np.cumsum([len(way) for way in ways], dtype=np.intp)[:-1] - 1] = False
    for number in range(passes):
        low, high = number * depth, (number + 1) * depth if number + 1 < passes else math.inf
        marked = _with_crossings(points, of_one, low) if number else (points, of_one)
        yield _layer(marked, low, high, int((plunges >= low).sum()))


def _rises(ways: Sequence[Numbers]) -> Numbers:
    """Return by how much each piece of some ways goes up or down, without those that have no length."""
    steps = [way[1:] - way[:-1] for way in ways]
    every = np.concatenate(steps) if steps else np.empty((0, 3))
    rises: Numbers = np.abs(every[np.any(every != 0, axis=1), 2])
    return rises


def _with_crossings(points: Numbers, of_one: Flags, depth: float) -> tuple[Numbers, Flags]:
    """Return the points with those added where a way passes a depth, and which steps between them are of one way."""
    over = points[:, 2] > depth
    where = np.flatnonzero((over[1:] != over[:-1]) & of_one)
    share = (depth - points[where, 2]) / (points[where + 1, 2] - points[where, 2])
    added = points[where] + share[:, None] * (points[where + 1] - points[where])
    added[:, 2] = depth
    return np.insert(points, where + 1, added, axis=0), np.insert(of_one, where, values=True)


def _layer(marked: tuple[Numbers, Flags], low: float, high: float, plunges: int) -> Layer:
    """Return the layer from `low` to `high` mm, of ways that have points at `low`, and so many plunges beside them."""
    points, of_one = marked
    cut = of_one & ((points[:-1, 2] + points[1:, 2]) / 2 >= low)
    first = cut & ~np.concatenate([[False], cut[:-1]])
    if high < math.inf:
        points = np.column_stack([points[:, :2], np.minimum(points[:, 2], high)])
    steps = points[1:] - points[:-1]
    lengths = np.linalg.norm(steps, axis=1)
    kept = cut & (lengths > 0)
    steps, lengths, piece = steps[kept], lengths[kept], np.cumsum(first)[kept]
    angles = np.zeros(len(lengths))
    if len(lengths) > 1:
        angles[1:] = np.where(piece[1:] == piece[:-1], np.maximum(180.0 - turns(steps), 1e-6), 0.0)
    return Layer(lengths, angles, np.abs(steps[:, 2]), int(first.sum()) + plunges)
