"""Faults of drawn shapes: lines drawn twice, overlaps, tiny pieces, shapes that cross themselves, lone points.

Candidate pairs come from an STR tree over the boxes of the pieces, the tests run on whole arrays.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from shapely import STRtree, box

from kitforge.drawings.chain import CHAIN_TOLERANCE
from kitforge.geometry.meeting import PieceTable, crossings_of, overlaps_of
from kitforge.model.drawing import DrawingProblem, Point, ProblemKind, place, shown
from kitforge.model.messages import Message, mm, msg
from kitforge.model.path import Path

MOST_PAIRS = 1_000_000
"""Neighbouring pairs of pieces that are compared before the check gives up and says so."""

MOST_REPORTED = 200
"""Problems of one kind that are listed one by one."""

_PAIRS_AT_ONCE = 200_000
_PAIRS_OF_ONE = 8


def find_faults(
    paths: Sequence[Path], points: Sequence[Point] = (), tolerance: float = CHAIN_TOLERANCE
) -> list[DrawingProblem]:
    """Return every fault of a layer's shapes, each kind limited to the first 200."""
    return [
        *short_pieces(paths, tolerance),
        *overlapping_pieces(paths, tolerance),
        *self_crossings(paths, tolerance),
        *stray_points(paths, points, tolerance),
    ]


def short_pieces(paths: Sequence[Path], tolerance: float = CHAIN_TOLERANCE) -> list[DrawingProblem]:
    """Return the pieces shorter than the tolerance."""
    problems = []
    for path in paths:
        for piece in path.pieces():
            if (
                abs(piece.x1 - piece.x0) < tolerance
                and abs(piece.y1 - piece.y0) < tolerance
                and piece.length < tolerance
            ):
                at = (piece.x0, piece.y0)
                text = msg("A piece only {length} long lies at {at}.", length=mm(piece.length, 4), at=place(*at))
                problems.append(DrawingProblem(ProblemKind.TINY, text, at, piece.length))
    return problems[:MOST_REPORTED]


def overlapping_pieces(paths: Sequence[Path], tolerance: float = CHAIN_TOLERANCE) -> list[DrawingProblem]:
    """Return where lines or arcs lie on one another, wholly (drawn twice) or in part: one problem for two paths."""
    table = PieceTable.of(paths)
    shared: dict[tuple[int, int], _Shared] = {}
    gave_up = False
    for first, second in _neighbours(table, tolerance):
        gave_up = first is None or second is None
        if first is None or second is None or len(shared) > MOST_REPORTED:
            break
        for one, other, length, x, y in overlaps_of(table, first, second, tolerance):
            pair = (int(table.path[one]), int(table.path[other]))
            longer = max(float(table.length[one]), float(table.length[other]))
            found = shared.setdefault((min(pair), max(pair)), _Shared())
            found.add((one, other), (x, y), length, whole=length >= longer - 2 * tolerance)
    problems = list(_on_one_another(shared, table, tolerance))[:MOST_REPORTED]
    return [*problems, _gave_up()] if gave_up else problems


@dataclass
class _Shared:
    """What two paths share: the first place, which pieces, the length in all, and whether these are whole pieces."""

    at: Point = (0.0, 0.0)
    first: tuple[int, int] | None = None
    pairs: list[tuple[int, int]] = field(default_factory=list)
    length: float = 0.0
    whole: bool = True

    def add(self, pair: tuple[int, int], at: Point, length: float, *, whole: bool) -> None:
        """Add two pieces that lie on one another; the tree gives them in an order of its own."""
        if self.first is None or pair < self.first:
            self.first, self.at = pair, at
        self.pairs.append(pair)
        self.length += length
        self.whole &= whole

    def ends(self, table: PieceTable) -> tuple[Point, ...]:
        """Return where the pieces begin and end."""
        rows = sorted({row for pair in self.pairs for row in pair})
        starts = [(float(table.x0[row]), float(table.y0[row])) for row in rows]
        return (*starts, *((float(table.x1[row]), float(table.y1[row])) for row in rows))


def _on_one_another(
    shared: Mapping[tuple[int, int], _Shared], table: PieceTable, tolerance: float
) -> Iterator[DrawingProblem]:
    """Yield a problem for each two paths; a path that is a copy already is not compared with further copies."""
    lengths = np.bincount(table.path, weights=table.length)
    copies: set[int] = set()
    for (one, other), found in shared.items():
        shorter = float(min(lengths[one], lengths[other]))
        all_of_one = one == other or found.length >= shorter - 2 * tolerance * len(found.pairs)
        twice = found.whole and all_of_one
        if one in copies and one != other:
            continue
        if twice:
            copies.add(other)
        kind = ProblemKind.DUPLICATE if twice else ProblemKind.OVERLAP
        text = _lie_on(found.length, place(*found.at), twice=twice)
        yield DrawingProblem(kind, text, found.at, found.length, ends=found.ends(table))


def _lie_on(length: float, at: Message, *, twice: bool) -> Message:
    if twice:
        return msg("The same line is drawn twice at {at}.", at=at)
    return msg("Two lines lie on one another over {length} at {at}.", length=mm(length), at=at)


def self_crossings(paths: Sequence[Path], tolerance: float = CHAIN_TOLERANCE) -> list[DrawingProblem]:
    """Return where a closed path crosses or touches itself."""
    closed = [path for path in paths if path.closed]
    table = PieceTable.of(closed, shortest=tolerance)
    problems: dict[Message, DrawingProblem] = {}
    for first, second in _neighbours(table, tolerance):
        if first is None or second is None:
            return [*problems.values(), _gave_up()]
        own = table.path[first] == table.path[second]
        for x, y in crossings_of(table, first[own], second[own], tolerance):
            text = msg("A shape crosses or touches itself at {at}.", at=place(round(x, 2), round(y, 2)))
            problems.setdefault(text, DrawingProblem(ProblemKind.SELF_CROSSING, text, (x, y)))
        if len(problems) > MOST_REPORTED:
            break
    return list(problems.values())[:MOST_REPORTED]


def stray_points(
    paths: Sequence[Path], points: Sequence[Point], tolerance: float = CHAIN_TOLERANCE
) -> list[DrawingProblem]:
    """Return the points that mark nothing: on a layer with shapes, and those drawn twice."""
    seen: set[tuple[int, int]] = set()
    problems = []
    for x, y in points:
        cell = (round(x / tolerance), round(y / tolerance))
        if cell in seen:
            text = msg("A point is drawn twice at {at}.", at=place(x, y))
            problems.append(DrawingProblem(ProblemKind.DUPLICATE, text, (x, y), 0.0))
        elif paths:
            text = msg("A lone point lies among the lines at {at}.", at=place(x, y))
            problems.append(DrawingProblem(ProblemKind.STRAY_POINT, text, (x, y)))
        seen.add(cell)
    return problems[:MOST_REPORTED]


def drawn_on_two_layers(
    layers: Iterable[tuple[str, Sequence[Path]]], tolerance: float = CHAIN_TOLERANCE
) -> list[DrawingProblem]:
    """Return the closed lines that are drawn on two layers in the same place; at most 200."""
    seen: dict[tuple[int, ...], tuple[str, Path]] = {}
    problems = []
    for layer, paths in layers:
        for path in paths:
            first = next((seen[key] for key in _near_keys(path, tolerance) if key in seen), None)
            if first is None:
                seen[_key(path, tolerance)] = (layer, path)
            elif first[0] != layer and _same(first[1], path, tolerance):
                text = msg(
                    "The same closed line is drawn on the layers '{one}' and '{other}' at {at}.",
                    one=shown(first[0]),
                    other=shown(layer),
                    at=place(*path.start),
                )
                problem = DrawingProblem(ProblemKind.DUPLICATE, text, path.start, path.length, first[0], beside=layer)
                problems.append(problem)
    return problems[:MOST_REPORTED]


def _key(path: Path, tolerance: float) -> tuple[int, ...]:
    cell = 4 * tolerance
    return tuple(math.floor(value / cell) for value in path.bounds)


def _near_keys(path: Path, tolerance: float) -> Iterator[tuple[int, ...]]:
    """Yield the cells of the box's corners that a like path may have: of each corner the two nearest on each axis."""
    cell = 4 * tolerance
    sides = [{math.floor((value - tolerance) / cell), math.floor((value + tolerance) / cell)} for value in path.bounds]
    yield from itertools.product(*sides)


def _same(one: Path, other: Path, tolerance: float) -> bool:
    """Return whether two closed lines with the same box are the same line."""
    lengths = abs(one.length - other.length) <= 4 * tolerance
    return lengths and abs(abs(one.area) - abs(other.area)) <= 4 * tolerance * one.length


def _gave_up() -> DrawingProblem:
    text = msg(
        "The drawing is too crowded to be searched for lines that are drawn twice, overlap or cross: its lines lie on "
        "top of one another."
    )
    return DrawingProblem(ProblemKind.UNCHECKED, text)


def _neighbours(
    table: PieceTable, tolerance: float
) -> Iterator[tuple[NDArray[np.int64], NDArray[np.int64]] | tuple[None, None]]:
    """Yield the pairs of pieces whose boxes meet, in chunks; a pair of None when there are too many."""
    if len(table.x0) < 2:
        return
    low, high = table.low - tolerance, table.high + tolerance
    tree = STRtree(box(low[:, 0], low[:, 1], high[:, 0], high[:, 1]))
    total, start, chunk, most = 0, 0, 16, max(MOST_PAIRS, _PAIRS_OF_ONE * len(low))
    while start < len(low):
        ones = np.arange(start, min(start + chunk, len(low)))
        asked, others = tree.query(tree.geometries[ones])
        first, second = ones[asked], others
        total += len(first)
        if total > most:
            yield None, None
            return
        start += len(ones)
        # many pieces at once where each has few neighbours, few where boxes that all meet could fill the memory
        chunk = min(4096, max(8, _PAIRS_AT_ONCE * len(ones) // max(1, len(first))))
        later = first < second
        yield first[later], second[later]
