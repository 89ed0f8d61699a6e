"""Lines of a drawing that no part uses: what belongs together is told as one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from kitforge.drawings import kinds
from kitforge.drawings.coverage import NEAR
from kitforge.drawings.findings import MOST_TOLD, more_like, size_of, source_of
from kitforge.drawings.frames import is_frame
from kitforge.drawings.gaps import gap_told
from kitforge.drawings.likeness import SAME
from kitforge.model.drawing import Drawing, LayerShapes, Point, place, shown
from kitforge.model.findings import Finding, Severity, Source
from kitforge.model.messages import Message, msg, msg_many
from kitforge.model.path import Path
from kitforge.model.piece import Bounds
from kitforge.model.record import record

_MOST_HOLDERS = 50
"""Lines that are left whose insides are looked at, the largest first."""


class UnusedLine(NamedTuple):
    """A line or a point that no part uses: where, on which layer, whether all of that layer is unused."""

    item: Path | Point
    at: Point
    layer: str
    whole_layer: bool


@record
class LeftGroup:
    """Lines that are told as one: the lines of a layer, or a line and what lies inside it.

    holds: whether it is the latter. by_gap: whether the first line is left because it does not close, told as a gap.
    """

    lines: tuple[UnusedLine, ...]
    holds: bool = False
    by_gap: bool = False

    @property
    def box(self) -> Bounds:
        """The box of the first line."""
        return _box_of(self.lines[0])

    def is_as_large_as(self, outline: Path) -> bool:
        """Return whether the first line is as long and wide as an outline, whichever way it lies."""
        box, other = self.box, outline.bounds
        sides = zip(sorted((box.width, box.height)), sorted((other.width, other.height)), strict=True)
        return all(abs(a - b) <= SAME for a, b in sides)


def left_groups(drawing: Drawing, lines: Sequence[UnusedLine], areas: Sequence[Path]) -> list[LeftGroup]:
    """Return the lines that are left: those inside another one with it, those of an unused layer together.

    areas: the outlines of the parts. What lies around one of them is no copy of a part, but perhaps a frame.
    """
    holders = sorted((line for line in lines if _may_hold(line, drawing, areas)), key=lambda line: -_area(line))
    holders = holders[:_MOST_HOLDERS]
    inside: dict[UnusedLine, list[UnusedLine]] = {line: [] for line in holders}
    rest: list[UnusedLine] = []
    for line in lines:
        holder = next((one for one in holders if one is line or _holds(_box_of(one), _box_of(line))), line)
        if holder is line:
            rest.append(line)
        else:
            inside[holder].append(line)
    groups = [
        LeftGroup((line, *inside.get(line, ())), holds=True, by_gap=not line.whole_layer and _has_gap(line, drawing))
        for line in rest
        if inside.get(line) or not line.whole_layer
    ]
    whole = [line for line in rest if line.whole_layer and not inside.get(line)]
    return groups + [LeftGroup(tuple(same)) for same in _by_layer(drawing, whole)]


def left_findings(name: str, drawing: Drawing, groups: Sequence[LeftGroup]) -> Iterator[Finding]:
    """Yield a finding for each group of lines that are left, but for those that are told as a gap."""
    told = [one for one in groups if not one.by_gap]
    for group in told[:MOST_TOLD]:
        line = group.lines[0]
        frame = all(isinstance(one.item, Path) and is_frame(one.item, one.layer, drawing) for one in group.lines)
        yield kinds.LEFT_OUT.new(
            _group_said(group),
            msg("Use it in an operation, or delete it if it is not to be cut."),
            source=source_of(name, drawing.origin_at(line.at).line),
            at=line.at,
            severity=Severity.NOTE if frame else None,
        )
    if len(told) > MOST_TOLD:
        yield kinds.LEFT_OUT.new(more_like(len(told) - MOST_TOLD), source=Source(name))


def _may_hold(line: UnusedLine, drawing: Drawing, areas: Sequence[Path]) -> bool:
    if not isinstance(line.item, Path) or _area(line) == 0 or is_frame(line.item, line.layer, drawing):
        return False
    return not any(_holds(line.item.bounds, area.bounds) for area in areas)


def _box_of(line: UnusedLine) -> Bounds:
    return line.item.bounds if isinstance(line.item, Path) else Bounds(*line.item, *line.item)


def _area(line: UnusedLine) -> float:
    return _box_of(line).width * _box_of(line).height


def _has_gap(line: UnusedLine, drawing: Drawing) -> bool:
    """Return whether it is told of a line that its ends nearly meet."""
    return isinstance(line.item, Path) and gap_told(line.item, drawing.problems) is not None


def _by_layer(drawing: Drawing, lines: Sequence[UnusedLine]) -> list[list[UnusedLine]]:
    """Return the lines of unused layers, those of one layer together; of groups in groups the outermost counts."""
    names = outermost(drawing, {line.layer for line in lines}, lines)
    keys: dict[str, set[object]] = {}
    for name in names:
        shapes = drawing.layers[name]
        items: list[Path | Point] = [*shapes.closed, *shapes.open, *shapes.points]
        keys[name] = {key for item in items for key in keys_of(item)}
    found: dict[str, list[UnusedLine]] = {}
    for line in lines:
        layer = next((name for name in names if keys_of(line.item) <= keys[name]), line.layer)
        found.setdefault(layer, []).append(line._replace(layer=layer))
    return list(found.values())


def _group_said(group: LeftGroup) -> Message:
    first, others = group.lines[0], len(group.lines) - 1
    if not others:
        return _said(first)
    if group.holds:
        return msg_many(
            "{said} Nor does one use the line or point inside it.",
            "{said} Nor does one use the {count} lines and points inside it.",
            others,
            said=_said(first),
        )
    return msg(
        "No part uses the {count} lines and points on layer '{layer}', the first at {at}.",
        count=others + 1,
        layer=shown(first.layer),
        at=place(*first.at),
    )


def _said(line: UnusedLine) -> Message:
    layer = shown(line.layer)
    if not isinstance(line.item, Path):
        return msg("No part uses the point at {at} on layer '{layer}'.", at=place(*line.at), layer=layer)
    if line.item.closed:
        return msg(
            "No part uses the closed line of {size} at {at} on layer '{layer}'.",
            size=size_of(line.item.bounds),
            at=place(*line.at),
            layer=layer,
        )
    return msg(
        "No part uses the open line from {start} to {end} on layer '{layer}'.",
        start=place(*line.item.start),
        end=place(*line.item.end),
        layer=layer,
    )


def _holds(outer: Bounds, inner: Bounds) -> bool:
    """Return whether a box holds another one, which may be as large."""
    return (
        outer.left <= inner.left + NEAR
        and outer.bottom <= inner.bottom + NEAR
        and outer.right >= inner.right - NEAR
        and outer.top >= inner.top - NEAR
    )


def size_of_layer(shapes: LayerShapes) -> int:
    """Return how many points and corners a layer has."""
    return len(shapes.points) + sum(len(path.vertices) for path in (*shapes.closed, *shapes.open))


def cell(point: Point) -> tuple[int, int]:
    """Return what is equal for points in the same place, but for rounding."""
    return round(point[0] / NEAR), round(point[1] / NEAR)


def keys(path: Path) -> set[object]:
    """Return what is equal for pieces in the same place, for each piece of a path."""
    return {(cell((one.x0, one.y0)), cell((one.x1, one.y1))) for one in path.pieces()}


def outermost(drawing: Drawing, left: set[str], lines: Sequence[UnusedLine]) -> list[str]:
    """Return the largest groups all of whose lines are left, in place of the groups inside them."""
    keys = {key for line in lines if line.layer in left for key in keys_of(line.item)}
    named: list[str] = []
    told: set[object] = set()
    for layer, shapes in sorted(drawing.layers.items(), key=lambda item: (-size_of_layer(item[1]), item[0])):
        items: list[Path | Point] = [*shapes.closed, *shapes.open, *shapes.points]
        own = {key for item in items for key in keys_of(item)}
        if own and own <= keys and not own <= told:
            named.append(layer)
            told |= own
    return sorted(named)


def keys_of(item: Path | Point) -> set[object]:
    """Return the keys of a path, or the cell of a point."""
    return keys(item) if isinstance(item, Path) else {cell(item)}


def contains(outer: Bounds, inner: Bounds) -> bool:
    """Return whether a box holds another one and reaches beyond it."""
    return _holds(outer, inner) and (outer.width > inner.width + NEAR or outer.height > inner.height + NEAR)
