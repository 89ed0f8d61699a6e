"""Whether a layout may be cut, measured on the true outlines: nothing here knows how it was found.

Distances are those of an independent library of polygons, on chords of a thousandth of a millimetre.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from kitforge.model.layout import Placement
from kitforge.model.messages import Message, mm, msg
from kitforge.model.path import Path
from kitforge.planning.areas import filled
from kitforge.planning.nesting.records import Laid, LayoutTask, Room

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

SLACK = 0.02
"""What rounded places and chords may take from a distance, mm."""
_MOST = 20


def faults(wanted: LayoutTask, laid: Laid) -> list[Message]:
    """Return what forbids a layout, at most twenty messages; none for a sound one."""
    found = [*_miscounted(wanted, laid)]
    if found:
        return found[:_MOST]
    outlines = _outlines(wanted)
    for room, row in zip(wanted.rooms, laid.rooms, strict=True):
        lying = [(place, place.shape(shape)) for place in row for shape in outlines.get(place.part, ())]
        found += [*_turned(room, row), *_over_edge(room, lying), *_in_kept_out(room, lying)]
        found += _too_close(room, lying, wanted.gap)
        if len(found) >= _MOST:
            break
    return found[:_MOST]


def _outlines(wanted: LayoutTask) -> Mapping[str, list[BaseGeometry]]:
    given: dict[str, Sequence[Path]] = {key: [path] for key, path in wanted.fixed.items()}
    given |= {part.part: part.outlines for part in wanted.parts}
    return {key: [filled([path]) for path in paths] for key, paths in given.items()}


def _miscounted(wanted: LayoutTask, laid: Laid) -> Iterator[Message]:
    placed = Counter((place.part, place.copy) for row in laid.rooms for place in row)
    asked = {(part.part, copy) for part in wanted.parts for copy in part.copies}
    asked |= {(place.part, place.copy) for room in wanted.rooms for place in room.fixed}
    for part, copy in sorted(asked - set(placed) - set(laid.left_over)):
        yield msg("'{part}', copy {copy}, lies nowhere", part=part, copy=copy)
    for (part, copy), times in sorted(placed.items()):
        if (part, copy) not in asked:
            yield msg("'{part}', copy {copy}, is none of the kit's", part=part, copy=copy)
        elif times > 1:
            yield msg("'{part}', copy {copy}, lies {times} times", part=part, copy=copy, times=times)


def _turned(room: Room, row: Sequence[Placement]) -> Iterator[Message]:
    for place in row:
        if place.turn not in room.turns and place not in room.fixed:
            yield msg(
                "'{part}', copy {copy}, is turned by {turn}°, which this stock does not allow",
                part=place.part,
                copy=place.copy,
                turn=place.turn,
            )


def _over_edge(room: Room, lying: Sequence[tuple[Placement, BaseGeometry]]) -> Iterator[Message]:
    from shapely import prepare

    inside = room.outline.buffer(SLACK, join_style="mitre")
    prepare(inside)
    for place, shape in lying:
        if place in room.fixed:
            continue  # what the author places is for the checks
        near = room.outline.boundary.distance(shape)
        if not inside.covers(shape) or near < room.margin - SLACK:
            yield msg(
                "'{part}', copy {copy}, is nearer to the edge than {margin}",
                part=place.part,
                copy=place.copy,
                margin=mm(room.margin),
            )


def _in_kept_out(room: Room, lying: Sequence[tuple[Placement, BaseGeometry]]) -> Iterator[Message]:
    for place, shape in lying:
        for area, away in room.kept_out:
            if place not in room.fixed and area.distance(shape) < away - SLACK:
                yield msg(
                    "'{part}', copy {copy}, is {near} from a place that must be kept free by {away}",
                    part=place.part,
                    copy=place.copy,
                    near=mm(area.distance(shape)),
                    away=mm(away),
                )


def _too_close(room: Room, lying: Sequence[tuple[Placement, BaseGeometry]], gap: float) -> Iterator[Message]:
    from shapely import STRtree

    if len(lying) < 2:
        return
    shapes = [shape for _place, shape in lying]
    first, second = STRtree(shapes).query(shapes, predicate="dwithin", distance=gap)
    for a, b in sorted(zip(first.tolist(), second.tolist(), strict=True)):
        one, other = lying[a][0], lying[b][0]
        if a >= b or one == other or (one in room.fixed and other in room.fixed):
            continue
        near = shapes[a].distance(shapes[b])
        if near < gap - SLACK:
            yield msg(
                "'{one}', copy {copy}, and '{other}', copy {copy_2}, are {near} apart, not {gap}",
                one=one.part,
                copy=one.copy,
                other=other.part,
                copy_2=other.copy,
                near=mm(near),
                gap=mm(gap),
            )
