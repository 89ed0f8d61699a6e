"""Open lines whose ends nearly meet: which gap is told of them, and what a layer would give without it."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence

from kitforge.drawings.likeness import SAME
from kitforge.model.drawing import DrawingProblem, LayerShapes, ProblemKind
from kitforge.model.path import Path


def gap_told(path: Path, problems: Sequence[DrawingProblem]) -> DrawingProblem | None:
    """Return the gap that is told of an open line, between its own two ends; None where there is none."""
    if path.closed:
        return None
    middle = (path.start[0] + path.end[0]) / 2, (path.start[1] + path.end[1]) / 2
    gaps = (one for one in problems if one.kind is ProblemKind.GAP and one.at is not None)
    return next((one for one in gaps if math.dist(one.at or middle, middle) <= SAME), None)


def nearly_closed(shapes: LayerShapes, problems: Sequence[DrawingProblem]) -> Iterator[tuple[Path, DrawingProblem]]:
    """Yield the open lines of a layer that would close but for a gap, with that gap."""
    for path in shapes.open:
        gap = gap_told(path, problems)
        if gap is not None:
            yield path, gap


def with_closed(shapes: LayerShapes, paths: Collection[Path]) -> LayerShapes:
    """Return what a layer would give if some of its open lines were closed."""
    closed = (Path((*path.vertices[:-1], path.vertices[-1]._replace(bulge=0.0))) for path in paths)
    rest = tuple(path for path in shapes.open if path not in paths)
    return LayerShapes((*shapes.closed, *closed), rest, shapes.points)
