"""How a part measures overall: its outline, less what its other cuts take off the sides of it. Lengths mm."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from shapely import STRtree, get_coordinates, get_parts, union_all
from shapely.geometry.base import BaseGeometry

from kitforge.geometry.extent import Extent, Form, extent_of
from kitforge.model.datum import ROUNDING
from kitforge.model.identity import IdentityKey
from kitforge.model.kit import Face, Operation, OperationKind, Part, Side
from kitforge.model.pieces import least_of_part
from kitforge.planning.areas import filled, shrunk, width_at
from kitforge.planning.removals import Removal, removals

_TAKEN = 0.01
"""What is taken off a side counts from so much on: the last place of a printed size, mm."""
_CORNERS = 0.01
"""What so small a share of its box lacks is a rectangle."""


def part_extent(part: Part) -> Extent:
    """Return how the finished part measures in plan view, along the axes of its outline."""
    return _extent(IdentityKey(part))


def points_around(part: Part) -> NDArray[np.float64]:
    """Return points around the finished part in plan view, shape (n, 2)."""
    left = _left(IdentityKey(part))
    return get_coordinates(left) if left else part.outline.flatten()


@lru_cache(maxsize=64)
def _extent(same: IdentityKey[Part]) -> Extent:
    whole, left = extent_of(same.one.outline), _left(same)
    return _less(whole, filled([same.one.outline]), left) if left else whole


@lru_cache(maxsize=64)
def _left(same: IdentityKey[Part]) -> tuple[BaseGeometry, ...]:
    """Return what cuts over the edge of an outline leave of it; nothing where there are none, or where all is gone."""
    part, outline = same.one, filled([same.one.outline])
    gone = [] if outline.is_empty else list(_gone_at_edge(part, outline))
    if not gone:
        return ()
    least = least_of_part(outline.area)
    return tuple(piece for piece in get_parts(outline.difference(union_all(gone))) if piece.area >= least)


def _less(whole: Extent, outline: BaseGeometry, left: Sequence[BaseGeometry]) -> Extent:
    """Return the extent of what is left of an outline, on the axes of all of it."""
    before, after = (_box(whole, get_coordinates(shapes)) for shapes in (outline, left))
    lost = np.abs(after - before)
    if (lost < _TAKEN).all():
        return whole
    (low_along, low_across), (high_along, high_across) = lost.tolist()
    along, across = whole.along - low_along - high_along, whole.across - low_across - high_across
    centre = whole.at((low_along - high_along) / 2, (low_across - high_across) / 2)
    filled_up = sum(piece.area for piece in left) >= (1 - _CORNERS) * along * across
    form = Form.RECTANGLE if filled_up else Form.FREE
    return replace(whole, form=form, along=along, across=across, centre=centre)


def _box(whole: Extent, points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the least and the greatest distance of points from a middle along both axes, shape (2, 2)."""
    own = np.array([whole.from_middle(x, y) for x, y in points.tolist()])
    return np.array([own.min(axis=0), own.max(axis=0)])


def _gone_at_edge(part: Part, outline: BaseGeometry) -> Iterator[BaseGeometry]:
    """Yield the areas that are cut through, from one face or from both, and that reach the edge of the outline."""
    both = len({one.face for one in part.operations}) > 1
    asked = [one for one in part.operations if (one.through or both) and not _frees_alone(one)]
    cuts = [(one, cut) for one in asked for cut in removals(one, part)]
    tree = STRtree([cut.area for _one, cut in cuts])
    at_edge = [cuts[index] for index in tree.query(outline.boundary, predicate="intersects").tolist()]
    thick = part.stock.actual
    for one, cut in at_edge:
        if cut.depth >= thick - ROUNDING:
            yield _at(one, cut, thick)
    yield from _meeting(at_edge, thick)


def _meeting(cuts: Sequence[tuple[Operation, Removal]], thick: float) -> Iterator[BaseGeometry]:
    """Yield where cuts from one face meet cuts from the other."""
    above, below = ([pair for pair in cuts if pair[1].face is face] for face in Face)
    tree = STRtree([back.area for _other, back in below])
    for one, cut in above:
        for other, back in (below[index] for index in tree.query(cut.area, predicate="intersects").tolist()):
            if cut.depth + back.depth >= thick - ROUNDING:
                yield _at(one, cut, thick - back.depth).intersection(_at(other, back, thick - cut.depth))


def _frees_alone(operation: Operation) -> bool:
    """Return whether an operation cuts along the outside of the outline and nothing else."""
    beside = operation.does is OperationKind.PROFILE and operation.side is Side.OUTSIDE
    return operation.frees and beside and len(operation.shapes) == 1


def _at(operation: Operation, cut: Removal, level: float) -> BaseGeometry:
    """Return what a cut takes away so far below the face it comes from: a pointed cutter leaves more further down."""
    tip = operation.datum.from_face(operation.depth) + (operation.allowance if operation.through else 0.0)
    there = width_at(operation.cutter, max(0.0, tip - level))
    narrower = (width_at(operation.cutter, operation.depth) - there) / 2
    return cut.area if narrower < ROUNDING else shrunk(cut.area, narrower)
