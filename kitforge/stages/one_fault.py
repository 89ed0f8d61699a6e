"""One fault, one finding: what the drawing and the shape both tell becomes one, what only follows is left out."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from kitforge.drawings.kinds import OF_PROBLEM
from kitforge.model.findings import Finding
from kitforge.model.path import Path

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
    for number, shape in enumerate(kept):
        part = parts.get(shape.part or "")
        if shape.kind is None or not shape.kind.same_as or part is None or number in drawn:
            continue
        for index in _same_fault(shape, part, drawn):
            drawn[index] = _as_of_part(drawn[index], shape)
            gone.add(number)
    return [drawn.get(index, one) for index, one in enumerate(kept) if index not in gone]


def _follows(finding: Finding, causes: set[tuple[str | None, str | None, str]]) -> bool:
    """Return whether a finding only follows from another one about its operation, or about its part's outline."""
    after = finding.kind.after if finding.kind is not None else ()
    return any((finding.part, place, code) in causes for code in after for place in (finding.operation, None))


def _same_fault(shape: Finding, part: Part, drawn: dict[int, Finding]) -> Iterator[int]:
    likely = [index for index, one in drawn.items() if shape.kind and one.code in shape.kind.same_as]
    if not likely:
        return
    for index in likely:
        at = drawn[index].at
        if at is not None and _is_on(at, part, shape.operation):
            yield index


def _is_on(at: tuple[float, float], part: Part, operation: str | None) -> bool:
    """Return whether a place lies on a line of an operation, or of the outline where no operation is meant."""
    if operation is None:
        return _near(at, part.outline)
    for one in part.operations:
        if one.name == operation:
            hole = one.cutter.diameter / 2 + _NEAR
            drilled = any(math.dist(at, centre) <= hole for centre in one.points)
            return drilled or any(_near(at, path) for path in one.shapes)
    return False


def _near(at: tuple[float, float], path: Path) -> bool:
    """Return whether a place lies on a path, or between its two ends, where a gap may be."""
    from shapely import LineString, Point

    box, (x, y) = path.bounds, at
    if not (box.left - _NEAR <= x <= box.right + _NEAR and box.bottom - _NEAR <= y <= box.top + _NEAR):
        return False
    points = path.flatten(_NEAR / 5)
    return bool(LineString([*points, points[0]]).distance(Point(x, y)) <= _NEAR)


def _as_of_part(drawn: Finding, shape: Finding) -> Finding:
    severity = min(drawn.severity, shape.severity, key=lambda one: one.rank)
    return replace(drawn, severity=severity, part=shape.part, operation=shape.operation)
