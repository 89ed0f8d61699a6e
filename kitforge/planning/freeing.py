"""Which steps cut a part loose: seen from the pieces of the stock after each step, not from what a cut is meant for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from kitforge.model.pieces import Division, WoodPiece
from kitforge.model.plan import PlannedSetup
from kitforge.model.steps import Step
from kitforge.planning.areas import filled

if TYPE_CHECKING:
    from shapely import MultiPolygon
    from shapely.geometry.base import BaseGeometry

# A piece that is this much wider all around than its part still has stock around it, mm: more than chords stray.
_AROUND = 0.3


def freed_parts(setups: Sequence[PlannedSetup], steps: Sequence[Step]) -> dict[str, frozenset[str]]:
    """Return for each step that cuts parts loose, by its key, the keys of these parts.

    A copy is loose when a piece of its own is all that is left of the stock around it; tabs and a skin may still hold
    it. A further pass of the cut that does it belongs to it.
    """
    by_key = {step.key: step for step in steps}
    outlines = {step.part.key: filled([step.part.outline]) for step in steps}
    found: dict[str, set[str]] = {}
    for turned in _of_one_piece(setups):
        loose: set[tuple[str, int]] = set()
        for division in (division for setup in turned for division in setup.divisions):
            step = by_key[division.step]
            now = {*_loose(division, outlines, step.leave_walls)}
            found.setdefault(step.key, set()).update(part for part, _copy in now - loose)
            loose |= now
    return _with_further_passes(steps, found)


def _of_one_piece(setups: Iterable[PlannedSetup]) -> Iterator[list[PlannedSetup]]:
    groups: dict[tuple[str, int], list[PlannedSetup]] = {}
    for setup in setups:
        groups.setdefault(setup.key[:2], []).append(setup)
    yield from groups.values()


def _loose(division: Division, outlines: Mapping[str, MultiPolygon], leave: float) -> Iterator[tuple[str, int]]:
    if len(division.pieces) < 2:
        return
    for piece in division.pieces:
        outline = outlines.get(piece.part or "")
        if piece.part and outline is not None and piece.of_part and _alone(piece, outline, leave):
            yield piece.part, piece.copy


def _alone(piece: WoodPiece, outline: MultiPolygon, leave: float) -> bool:
    """Whether a piece reaches no farther than its part; an area would not tell, for it may be hollow."""
    if piece.outline is None:
        return False
    wide, tall = _extent(piece.outline)
    own_wide, own_tall = _extent(outline)
    slack = 2 * (leave + _AROUND)
    return wide <= own_wide + slack and tall <= own_tall + slack


def _extent(shape: BaseGeometry) -> tuple[float, float]:
    left, low, right, high = shape.bounds
    return right - left, high - low


def _with_further_passes(steps: Iterable[Step], found: Mapping[str, set[str]]) -> dict[str, frozenset[str]]:
    """Return what is found with the later passes of the same operations, which run around what is loose already."""
    freed: dict[str, frozenset[str]] = {}
    by_operation: dict[tuple[str, str], frozenset[str]] = {}
    for step in sorted(steps, key=lambda one: one.number):
        name = step.part.key, step.operation.name
        parts = frozenset(found.get(step.key, ())) | by_operation.get(name, frozenset())
        if parts:
            freed[step.key] = by_operation[name] = parts
    return freed
