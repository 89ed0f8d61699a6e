"""Raw shapes of a layer to the finished record: ends joined, faults looked for and traced to what is drawn there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TypeVar

from shapely import Point as ShapelyPoint
from shapely import STRtree, box

from kitforge.drawings.chain import chain
from kitforge.drawings.copies import copies_in
from kitforge.drawings.faults import find_faults
from kitforge.drawings.rounding import ROUND_SIDES, as_circle, as_line
from kitforge.model.drawing import DrawingProblem, LayerShapes, Origin, Point, ProblemKind, place
from kitforge.model.messages import mm, msg, msg_many
from kitforge.model.path import Path

T = TypeVar("T")
MOST_TRACED = 40
"""Problems of one kind on a layer whose entity and line are looked up."""

_NEAR = 0.05
_AROUND = [(x, y) for x in (-1, 0, 1) for y in (-1, 0, 1)]


def assembled(
    paths: Sequence[Path],
    points: Sequence[Point],
    *,
    join: float = 0.0,
    layer: str | None = None,
    check: bool = True,
    origins: Sequence[Origin] = (),
) -> tuple[LayerShapes, list[DrawingProblem]]:
    """Return the shapes with loose ends joined, and every problem met, each named after the layer.

    origins: where each path comes from; problems then say which entity lies at their place.
    """
    copies = copies_in(paths)
    doubled = _doubled([paths[number] for number in copies], [origins[number] for number in copies if origins])
    paths, origins = _without(paths, copies), _without(origins, copies)
    straight = [as_line(path) for path in paths]
    chains = chain([line or path for line, path in zip(straight, paths, strict=True)], join=join)
    circles = [as_circle(path) for path in chains.closed]
    closed = [round_ or path for round_, path in zip(circles, chains.closed, strict=True)]
    problems = [*chains.problems, *map(_of_no_area, filter(None, straight)), *_rounded(circles)]
    if check:
        problems += find_faults([*closed, *chains.open], points)
    shapes = LayerShapes(tuple(closed), chains.open, tuple(points))
    traced = _traced(_causes(problems), paths, origins)
    return shapes, [replace(problem, layer=layer) for problem in (*doubled, *traced)]


def _without(items: Sequence[T], numbers: Sequence[int]) -> Sequence[T]:
    gone = set(numbers)
    return [item for number, item in enumerate(items) if number not in gone] if gone else items


def _doubled(copies: Sequence[Path], origins: Sequence[Origin]) -> list[DrawingProblem]:
    """Return one problem for each line that is drawn twice; loose lines that hang together count as one."""
    if not copies:
        return []
    joined = chain(copies)
    problems = []
    for path in (*joined.closed, *joined.open):
        pieces = path.pieces()
        middle = pieces[0].at(0.5) if pieces else None
        at = (middle.x, middle.y) if middle else path.start
        said = msg("The same line is drawn twice at {at}; the copy was left out.", at=place(*at))
        problems.append(DrawingProblem(ProblemKind.DUPLICATE, said, at, path.length))
    return _traced(problems, copies, origins)


def _causes(problems: Sequence[DrawingProblem]) -> list[DrawingProblem]:
    """Return the problems without those that only follow from lines that lie on one another.

    Where such lines end more ends meet than two, or two ends are as far apart as the lines run together.
    """
    doubled = [one for one in problems if one.kind in (ProblemKind.DUPLICATE, ProblemKind.OVERLAP)]
    if not doubled:
        return list(problems)
    ends = {_cell(end, by) for one in doubled for end in one.ends for by in _AROUND}
    shared = {(*_cell(one.at, by), round((one.size or 0.0) / _NEAR)) for one in doubled if one.at for by in _AROUND}

    def follows(one: DrawingProblem) -> bool:
        if one.at is None:
            return False
        if one.kind is ProblemKind.JUNCTION:
            return _cell(one.at) in ends
        return one.kind is ProblemKind.GAP and (*_cell(one.at), round((one.size or 0.0) / _NEAR)) in shared

    return [one for one in problems if not follows(one)]


def _cell(at: Point, by: tuple[int, int] = (0, 0)) -> tuple[int, int]:
    return round(at[0] / _NEAR) + by[0], round(at[1] / _NEAR) + by[1]


def _of_no_area(line: Path) -> DrawingProblem:
    said = msg("The closed line at {at} runs there and back; it was read as the line.", at=place(*line.start))
    return DrawingProblem(ProblemKind.NO_AREA, said, line.start)


def _rounded(circles: Sequence[Path | None]) -> list[DrawingProblem]:
    """Return one note for a layer on which polygons were taken for circles."""
    found = [path for path in circles if path is not None]
    if not found:
        return []
    said = msg_many(
        "One line of many short pieces was read as the circle that it stands for, within {off}.",
        "{count} lines of many short pieces were read as the circles that they stand for, within {off}.",
        len(found),
        off=mm(ROUND_SIDES),
    )
    return [DrawingProblem(ProblemKind.ROUNDED, said)]


def _traced(problems: list[DrawingProblem], paths: Sequence[Path], origins: Sequence[Origin]) -> list[DrawingProblem]:
    """Return the problems with the entity and line of the path that is nearest to their place."""
    if not (problems and paths and len(origins) == len(paths)):
        return problems
    finder = _Finder(paths)
    count: Counter[ProblemKind] = Counter()
    traced = []
    for problem in problems:
        count[problem.kind] += 1
        index = None
        if problem.at is not None and count[problem.kind] <= MOST_TRACED:
            index = finder.nearest(problem.at, _NEAR + (problem.size or 0.0))
        if index is not None:
            origin = origins[index]
            problem = replace(problem, entity=origin.entity or None, line=origin.line)  # noqa: PLW2901
        traced.append(problem)
    return traced


class Tracer:
    """Tells what is drawn at a place: from paths as drawn, and where each comes from."""

    def __init__(self, paths: Sequence[Path], origins: Sequence[Origin]) -> None:
        self.paths = paths
        self.origins = origins
        self.finder: _Finder | None = None

    def __call__(self, at: Point) -> Origin:
        """Return where the path nearest to a place comes from; nothing where none is near."""
        self.finder = self.finder or _Finder(self.paths)
        index = self.finder.nearest(at)
        return Origin() if index is None else self.origins[index]


class _Finder:
    """Finds the path that runs through a place."""

    def __init__(self, paths: Sequence[Path]) -> None:
        self.paths = paths
        self.tree: STRtree = STRtree([box(*path.bounds) for path in paths])

    def nearest(self, place: Point, reach: float = _NEAR) -> int | None:
        """Return the number of the path nearest to a place, None where none is within reach, mm."""
        from kitforge.geometry.region import line_of

        at = ShapelyPoint(*place)
        found: list[int] = sorted(self.tree.query(at.buffer(reach)).tolist())
        if len(found) < 2:
            return found[0] if found else None
        return min(found, key=lambda index: (line_of(self.paths[index], 0.01).distance(at), index))


def together(layers: Iterable[LayerShapes], join: float = 0.0) -> LayerShapes:
    """Return the shapes of several layers as one; what stays open within its own layer is joined across them.

    Gaps up to `join` mm are closed with a line.
    """
    several = list(layers)
    chains = chain([path for shapes in several for path in shapes.open], join=join)
    return LayerShapes(
        (*(path for shapes in several for path in shapes.closed), *chains.closed),
        chains.open,
        tuple(point for shapes in several for point in shapes.points),
    )
