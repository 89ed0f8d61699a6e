"""Raw shapes of a layer to the finished record: ends joined, faults looked for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from kitforge.geometry.chain import chain
from kitforge.geometry.drawing import LayerShapes, Point, Problem
from kitforge.geometry.faults import find_faults
from kitforge.geometry.path import Path


def assembled(
    paths: Sequence[Path], points: Sequence[Point], *, join: float = 0.0, layer: str | None = None, check: bool = True
) -> tuple[LayerShapes, list[Problem]]:
    """Return the shapes with loose ends joined, and every problem met, each named after the layer."""
    chains = chain(paths, join=join)
    problems = list(chains.problems)
    if check:
        problems += find_faults([*chains.closed, *chains.open], points)
    shapes = LayerShapes(chains.closed, chains.open, tuple(points))
    return shapes, [replace(problem, layer=layer) for problem in problems]


def everything(layers: Iterable[LayerShapes]) -> LayerShapes:
    """Return the shapes of several layers as one, ends joined only within their own layers."""
    several = list(layers)
    return LayerShapes(
        tuple(path for shapes in several for path in shapes.closed),
        tuple(path for shapes in several for path in shapes.open),
        tuple(point for shapes in several for point in shapes.points),
    )
