"""Loose lines and arcs to chains: ends that meet within a tolerance belong together.

Ends are matched by a k-d tree, so the cost grows as n log n. Where more than two ends meet, closed loops are taken off
as soon as a chain comes back to a point it has passed, so that touching loops stay separate.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from kitforge.model.drawing import DrawingProblem, Point, ProblemKind, place
from kitforge.model.messages import mm, msg
from kitforge.model.path import Path, Vertex
from kitforge.model.record import record

CHAIN_TOLERANCE = 0.01
"""Ends nearer to each other than this, in mm, are one point."""

MOVED_GAP = 0.1
"""Gaps to be closed up to this, in mm, are closed by moving an end: no machine follows a line so short. Taste."""

NEARLY_CLOSED = 0.15
"""An open line whose ends are apart by no more than this share of its length may have lost a piece. Taste."""

REPORTED_GAP = 0.5
"""Open ends nearer to each other than this, in mm, are reported as a gap."""


@record
class Chains:
    """What chaining made of a set of paths."""

    closed: tuple[Path, ...]
    open: tuple[Path, ...]
    problems: tuple[DrawingProblem, ...]


class _Gap(NamedTuple):
    """Two open ends, their distance in mm, and the number of the second one: twice its chain's, one more if last."""

    a: Point
    b: Point
    width: float
    other: int


@record
class _Step:
    """A path of the input, run forwards or backwards, between two nodes."""

    path: int
    forward: bool
    start: int
    end: int


def chain(paths: Sequence[Path], *, join: float = 0.0, tolerance: float = CHAIN_TOLERANCE) -> Chains:
    """Return the paths joined end to end; closed paths pass as they are.

    Gaps up to REPORTED_GAP (or `join`, if that is more) are reported; those up to `join` mm are closed with a line.
    Raises ValueError for a negative `join`.
    """
    if not (math.isfinite(join) and join >= 0):
        raise ValueError(f"the largest gap to close must be 0 mm or more, not {join:g} mm")
    closed = [path for path in paths if path.closed]
    loops, chains, problems = _join([path for path in paths if not path.closed], tolerance)
    gaps = _gaps(chains, max(REPORTED_GAP, join), tolerance)
    if any(gap.width <= join for gap in gaps):
        more, chains, _ = _join(_closed_up(chains, [gap for gap in gaps if gap.width <= join]), tolerance)
        loops += more
    problems += [_gap_problem(gap.a, gap.b, gap.width, closed=gap.width <= join) for gap in gaps]
    problems += _nearly_closed(chains, max(REPORTED_GAP, join))
    return Chains((*closed, *loops), tuple(chains), tuple(problems))


def _nearly_closed(chains: Sequence[Path], reported: float) -> list[DrawingProblem]:
    """Return the open lines whose ends are apart by little beside their length, and by more than is reported anyway."""
    problems = []
    for path in chains:
        width = math.dist(path.start, path.end)
        if len(path.vertices) > 3 and reported < width <= NEARLY_CLOSED * path.length:
            at = ((path.start[0] + path.end[0]) / 2, (path.start[1] + path.end[1]) / 2)
            said = msg(
                "An open line nearly closes: its ends at {start} and {end} are {width} apart.",
                start=place(*path.start),
                end=place(*path.end),
                width=mm(width),
            )
            problems.append(DrawingProblem(ProblemKind.GAP, said, at, width))
    return problems


def _closed_up(chains: Sequence[Path], gaps: Sequence[_Gap]) -> list[Path]:
    """Return the chains with their gaps closed: narrow ones by moving an end, wider ones by a line more."""
    moved = list(chains)
    bridges = []
    for gap in gaps:
        if gap.width > MOVED_GAP:
            bridges.append(Path((Vertex(*gap.a), Vertex(*gap.b)), closed=False))
            continue
        path = moved[gap.other // 2]
        vertices = list(path.vertices)
        index = -1 if gap.other % 2 else 0
        vertices[index] = Vertex(*gap.a, vertices[index].bulge)
        moved[gap.other // 2] = Path(tuple(vertices), closed=False)
    return [*moved, *bridges]


def _gap_problem(a: tuple[float, float], b: tuple[float, float], width: float, *, closed: bool) -> DrawingProblem:
    at = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    where, wide = place(*at), mm(width, 3)
    if closed:
        said = msg("A gap of {width} at {at} was closed.", at=where, width=wide)
        return DrawingProblem(ProblemKind.GAP_CLOSED, said, at, width)
    return DrawingProblem(ProblemKind.GAP, msg("Two ends at {at} are {width} apart.", at=where, width=wide), at, width)


def _join(paths: Sequence[Path], tolerance: float) -> tuple[list[Path], list[Path], list[DrawingProblem]]:
    """Return loops, open chains and the junctions where more than two ends meet."""
    if not paths:
        return [], [], []
    ends = np.array([(*path.start, *path.end) for path in paths]).reshape(-1, 2)
    nodes = _nodes(ends, tolerance).reshape(-1, 2)
    steps = _Walk(nodes).run()
    loops: list[Path] = []
    chains: list[Path] = []
    for run, is_loop in steps:
        joined = _concatenated(paths, run, is_loop)
        (loops if joined.closed else chains).append(joined)
    return loops, chains, _junctions(ends, nodes.reshape(-1))


def _nodes(ends: NDArray[np.float64], tolerance: float) -> NDArray[np.int64]:
    """Return for every end the number of its node: ends within the tolerance of one another share one."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components
    from scipy.spatial import cKDTree

    order = np.lexsort((ends[:, 1], ends[:, 0]))
    ordered = ends[order]
    fresh = np.concatenate([[True], np.any(ordered[1:] != ordered[:-1], axis=1)])
    spot = np.empty(len(ends), dtype=np.int64)
    spot[order] = np.cumsum(fresh) - 1
    spots = ordered[fresh]
    pairs = cKDTree(spots, balanced_tree=False).query_pairs(tolerance, output_type="ndarray")
    graph = coo_array((np.ones(len(pairs), dtype=bool), (pairs[:, 0], pairs[:, 1])), shape=(len(spots), len(spots)))
    _, labels = connected_components(graph, directed=False)
    numbers: NDArray[np.int64] = labels[spot].astype(np.int64)
    return numbers


class _Walk:
    """Walks along the paths from node to node, each path once; takes off a loop as soon as a node comes back."""

    def __init__(self, nodes: NDArray[np.int64]) -> None:
        self.pairs: list[tuple[int, int]] = [(int(a), int(b)) for a, b in nodes]
        self.at: dict[int, list[int]] = {}
        for index, (a, b) in enumerate(self.pairs):
            self.at.setdefault(a, []).append(index)
            if a != b:
                self.at.setdefault(b, []).append(index)
        for waiting in self.at.values():
            waiting.reverse()
        self.used = bytearray(len(self.pairs))
        self.result: list[tuple[list[_Step], bool]] = []

    def run(self) -> list[tuple[list[_Step], bool]]:
        """Return runs of steps and whether each is a loop: chains with loose ends first, then what is left."""
        degree = {node: len(waiting) for node, waiting in self.at.items()}
        for index, (a, b) in enumerate(self.pairs):
            if degree[a] % 2 == 1:
                self._walk(index, a)
            elif degree[b] % 2 == 1:
                self._walk(index, b)
        for index, (a, _) in enumerate(self.pairs):
            self._walk(index, a)
        return self.result

    def _walk(self, first: int, node: int) -> None:
        if self.used[first]:
            return
        run: list[_Step] = []
        passed = {node: 0}
        following: int | None = first
        while following is not None:
            self.used[following] = 1
            a, b = self.pairs[following]
            step = _Step(following, a == node, node, b if a == node else a)
            run.append(step)
            node = step.end
            if node in passed:
                self._take_loop(run, passed, passed[node])
            else:
                passed[node] = len(run)
            following = self._next(node)
        if run:
            self.result.append((run, False))

    def _take_loop(self, run: list[_Step], passed: dict[int, int], since: int) -> None:
        loop = run[since:]
        del run[since:]
        for step in loop[:-1]:
            passed.pop(step.end, None)
        self.result.append((loop, True))

    def _next(self, node: int) -> int | None:
        waiting = self.at[node]
        while waiting:
            index = waiting.pop()
            if not self.used[index]:
                return index
        return None


def _concatenated(paths: Sequence[Path], run: Sequence[_Step], is_loop: bool) -> Path:
    """Return one path from a run; where ends differ within the tolerance the later path's start counts."""
    vertices: list[Vertex] = []
    for step in run:
        path = paths[step.path] if step.forward else paths[step.path].reversed()
        vertices += path.vertices[:-1]
    if is_loop:
        return Path(tuple(vertices))
    return Path((*vertices, Vertex(*path.end)), closed=False)


def _junctions(ends: NDArray[np.float64], nodes: NDArray[np.int64]) -> list[DrawingProblem]:
    counts = np.bincount(nodes)
    crowded = np.flatnonzero(counts > 2)
    first = np.full(len(counts), -1, dtype=np.int64)
    first[nodes[::-1]] = np.arange(len(nodes))[::-1]
    problems = []
    for node in crowded.tolist():
        x, y = (float(value) for value in ends[first[node]])
        message = msg(
            "{count} line ends meet at {at}; loops were separated there.", count=int(counts[node]), at=place(x, y)
        )
        problems.append(DrawingProblem(ProblemKind.JUNCTION, message, (x, y)))
    return problems


def _gaps(chains: Sequence[Path], widest: float, tolerance: float) -> list[_Gap]:
    """Return pairs of open ends at most `widest` mm apart, each end in one pair, nearest first."""
    if not chains:
        return []
    ends = np.array([(*path.start, *path.end) for path in chains]).reshape(-1, 2)
    pairs = _near_pairs(ends, widest)
    widths = np.hypot(*(ends[pairs[:, 0]] - ends[pairs[:, 1]]).T)
    found: list[_Gap] = []
    taken = bytearray(len(ends))
    for index in np.argsort(widths, kind="stable").tolist():
        one, other = (int(end) for end in pairs[index])
        # the two ends of a line as short as the gap are no gap
        short = one // 2 == other // 2 and chains[one // 2].length <= 2 * widths[index]
        if taken[one] or taken[other] or short or widths[index] <= tolerance:
            continue
        taken[one] = taken[other] = 1
        (ax, ay), (bx, by) = ends[one].tolist(), ends[other].tolist()
        found.append(_Gap((ax, ay), (bx, by), float(widths[index]), other))
    return found


def _near_pairs(ends: NDArray[np.float64], widest: float) -> NDArray[np.int64]:
    """Return the pairs of near ends: each end with its four nearest, which bounds the number where many crowd."""
    from scipy.spatial import cKDTree

    count = min(5, len(ends))
    distances, others = cKDTree(ends).query(ends, k=count, distance_upper_bound=widest * (1 + 1e-9))
    ones = np.repeat(np.arange(len(ends)), count)
    near = np.isfinite(distances.reshape(-1)) & (ones != others.reshape(-1))
    pairs: NDArray[np.int64] = np.sort(np.column_stack([ones, others.reshape(-1)])[near], axis=1).astype(np.int64)
    return np.unique(pairs, axis=0)
