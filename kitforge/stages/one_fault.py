"""One fault, one finding: what the drawing and the shape both tell becomes one, what only follows is left out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from shapely import LineString, Point

from kitforge.drawings.kinds import OF_PROBLEM
from kitforge.model.findings import Finding
from kitforge.model.path import Path
from kitforge.model.piece import Bounds

if TYPE_CHECKING:
    from kitforge.model.kit import Kit, Part

_OF_DRAWINGS = frozenset(kind.code for kind, _ in OF_PROBLEM.values())
_NEAR = 0.05
"""A fault of a line lies within this of it, mm: ends move by up to 0.01 mm when they are joined."""


def each_once(found: Sequence[Finding], kit: Kit) -> list[Finding]:
    """Return the findings with each fault told once.

    A fault that both a drawing and a shape taken from it show is told as that of the drawing, which knows its line in
    the file and each of its places, with the part and the severity of the other one.
    """
    causes = {(one.part, one.operation, one.code) for one in found}
    kept = [one for one in found if not _follows(one, causes)]
    parts = {part.key: part for part in kit.parts}
    drawn = {index: one for index, one in enumerate(kept) if one.code in _OF_DRAWINGS and one.at is not None}
    gone: set[int] = set()
    places = _Places()
    for number, shape in enumerate(kept):
        part = parts.get(shape.part or "")
        if shape.kind is None or not shape.kind.same_as or part is None or number in drawn:
            continue
        for index, one in drawn.items():
            if one.code in shape.kind.same_as and one.at and places.lie_on(one.at, part, shape.operation):
                drawn[index] = _as_of_part(one, shape)
                gone.add(number)
    return [drawn.get(index, one) for index, one in enumerate(kept) if index not in gone]


def _follows(finding: Finding, causes: set[tuple[str | None, str | None, str]]) -> bool:
    """Return whether a finding only follows from another one about its operation, or about its part's outline."""
    after = finding.kind.after if finding.kind is not None else ()
    return any((finding.part, place, code) in causes for code in after for place in (finding.operation, None))


class _Places:
    """Tells whether a place lies on a line of a part; each line is turned into chords once."""

    def __init__(self) -> None:
        self._lines: dict[tuple[str, str | None], list[tuple[Bounds, LineString]]] = {}

    def lie_on(self, at: tuple[float, float], part: Part, operation: str | None) -> bool:
        """Return whether a place lies on a line of an operation, or of the outline where no operation is meant."""
        own = [one for one in part.operations if one.name == operation]
        if any(math.dist(at, centre) <= one.cutter.diameter / 2 + _NEAR for one in own for centre in one.points):
            return True
        if (key := (part.key, operation)) not in self._lines:
            paths = [part.outline] if operation is None else [path for one in own for path in one.shapes]
            self._lines[key] = [(path.bounds, _closed_line(path)) for path in paths]
        (x, y), spot = at, Point(*at)
        return any(
            box.left - _NEAR <= x <= box.right + _NEAR
            and box.bottom - _NEAR <= y <= box.top + _NEAR
            and line.distance(spot) <= _NEAR
            for box, line in self._lines[key]
        )


def _closed_line(path: Path) -> LineString:
    """Return a path as chords that go on from its end to its start, where a gap may be."""
    points = path.flatten(_NEAR / 5)
    return LineString(np.vstack([points, points[:1]]))


def _as_of_part(drawn: Finding, shape: Finding) -> Finding:
    severity = min(drawn.severity, shape.severity, key=lambda one: one.rank)
    return replace(drawn, severity=severity, part=shape.part, operation=shape.operation)
