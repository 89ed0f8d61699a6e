"""Wood that must stay: under features, between them, and to the edge of the part."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from typing import NamedTuple

from shapely import Polygon, shortest_line
from shapely.geometry.base import BaseGeometry

from kitforge.geometry.region import union
from kitforge.model.findings import Finding
from kitforge.model.kit import Cutter, CutterKind, Face, Kit, Operation, OperationKind, Part
from kitforge.model.messages import NO_ADVICE, Message, mm, msg, series
from kitforge.model.needs import KeepNeed
from kitforge.model.plan import Plan
from kitforge.planning.areas import multi
from kitforge.surface.volumes import Hollow, hollow_of
from kitforge_needs import kinds
from kitforge_needs.words import Point, place, purpose

Box = tuple[float, float, float, float]

_EXACT = 0.005
_TOUCHING = 0.01


_NOTHING_LEFT = {
    "floor": msg("nothing is cut that leaves a floor"),
    "wall": msg("nothing is cut that leaves a wall"),
    "edge": msg("nothing is cut that leaves an edge"),
}
_ADVICE = {
    "floor": msg("Cut less deep or use thicker stock."),
    "wall": msg("Move them apart or make one smaller."),
    "edge": msg("Move it inwards or make it smaller."),
}


class Left(NamedTuple):
    """Wood that stays: how much, where, and between what."""

    size: float
    at: Point
    words: Message
    feature: str


class Hole(NamedTuple):
    """One separate area of an operation, and from where to where it reaches below the top face, mm."""

    operation: Operation
    area: Polygon
    low: float
    high: float


def prove_keep(kit: Kit, plan: Plan, need: KeepNeed) -> Iterator[Finding]:
    """Yield where less stays than needed, or how much stays where it is least."""
    part = kit.part(need.part)
    hollow = hollow_of(part, plan)
    holes = list(_holes(hollow))
    met = []
    for name, asked, left in (
        ("floor", need.floor, lambda: _floors(hollow, holes)),
        ("wall", need.wall, lambda: _walls(holes, need.features)),
        ("edge", need.edge, lambda: _edges(hollow, holes, need.features)),
    ):
        if asked is None:
            continue
        chosen = [one for one in left() if not need.features or one.feature in need.features]
        least = min(chosen, key=_order, default=None)
        if least is not None and least.size < asked - _EXACT:
            yield _unmet(part, need, name, asked, least)
        elif least is not None:
            met.append(
                msg(
                    "{size} {words} near {place}, {asked} asked for",
                    size=mm(least.size),
                    words=least.words,
                    place=place(least.at),
                    asked=mm(asked),
                )
            )
        else:
            met.append(_NOTHING_LEFT[name])
    if met:
        yield kinds.MET.new(
            msg("Enough wood stays{purpose}: {found}.", purpose=purpose(need), found=series(met, "; ")),
            NO_ADVICE,
            source=need.source, part=part.key, operation=need.features[0] if need.features else None,
        )  # fmt: skip


def _order(left: Left) -> tuple[float, Point, str, str]:
    return left.size, left.at, str(left.words), left.feature


def _unmet(part: Part, need: KeepNeed, name: str, asked: float, least: Left) -> Finding:
    return kinds.KEEPS.new(
        msg(
            "Only {size} of wood stays {words} near {place}; {asked} is needed{purpose}.",
            size=mm(max(least.size, 0.0)),
            words=least.words,
            place=place(least.at),
            asked=mm(asked),
            purpose=purpose(need),
        ),
        _ADVICE[name],
        source=need.source, part=part.key, operation=least.feature, at=least.at,
    )  # fmt: skip


def _holes(hollow: Hollow) -> Iterator[Hole]:
    part = hollow.part
    for operation in part.operations:
        if operation.does is OperationKind.FACE:
            continue
        depth = operation.depth if operation.through else operation.depth + _point(operation.cutter)
        below, tip = operation.datum.below, operation.datum.from_face(depth)
        thick = part.stock.actual
        low, high = (below, tip) if operation.face is Face.TOP else (thick - tip, thick - below)
        for piece in hollow.pieces(operation.name):
            yield Hole(operation, piece, max(low, hollow.top), min(high, hollow.bottom))


def _point(cutter: Cutter) -> float:
    """Return D / (2 tan(angle / 2)), how far a drill's point goes beyond its full diameter; 118 degrees if not told."""
    if cutter.kind is not CutterKind.DRILL:
        return 0.0
    return cutter.radius / math.tan(math.radians((cutter.angle or 118.0) / 2))


def _floors(hollow: Hollow, holes: list[Hole]) -> Iterator[Left]:
    """Yield what stays under each area that does not go through, less what is cut there from the other face."""
    blind = [hole for hole in holes if not hole.operation.through]
    for hole in blind:
        floor = hollow.bottom - hole.high if hole.operation.face is Face.TOP else hole.low - hollow.top
        yield Left(
            floor, _middle(hole.area), msg("under '{feature}'", feature=hole.operation.title), hole.operation.name
        )
    for one in blind:
        for other in blind:
            if one.operation.face is other.operation.face:
                continue
            common = one.area.intersection(other.area)
            if common.area > _TOUCHING:
                floor = max(one.low, other.low) - min(one.high, other.high)
                words = _between(one, other)
                yield Left(floor, _middle(multi([common]).geoms[0]), words, one.operation.name)


def _walls(holes: list[Hole], features: Collection[str]) -> list[Left]:
    """Yield the wood between areas that lie beside each other at some depth, where it is least; those that meet are
    meant to. features: of which one of the two areas is to be, none: of any."""
    found = []
    for index, hole in enumerate(holes):
        if features and hole.operation.name not in features:
            continue
        beside = [n for n, other in enumerate(holes) if n != index and _same_depth(hole, other)]
        nearest = _nearest(hole, holes, beside)
        if nearest is not None:
            gap, n = nearest
            found.append(_Gap(gap, hole, holes[n].area, _between(hole, holes[n])))
    return _least(found)


def _nearest(hole: Hole, holes: list[Hole], beside: list[int]) -> tuple[float, int] | None:
    """Return how far the nearest of some areas that do not meet one is, and which it is; None if all meet it.

    No two areas are nearer than the boxes around them, so that most pairs need no look at their curves.
    """
    best: tuple[float, int] | None = None
    for least, n in sorted((_box_gap(hole.area.bounds, holes[n].area.bounds), n) for n in beside):
        if best is not None and least > best[0]:
            break
        gap = hole.area.distance(holes[n].area)
        if gap > _TOUCHING and (best is None or (gap, n) < best):
            best = gap, n
    return best


def _box_gap(one: Box, other: Box) -> float:
    """Return the distance between two boxes, a hair less so that no rounding makes it too large."""
    across, up = (max(one[k] - other[k + 2], other[k] - one[k + 2], 0.0) for k in (0, 1))
    return math.hypot(across, up) * (1 - 1e-12)


def _between(one: Hole, other: Hole) -> Message:
    return msg("between '{one}' and '{other}'", one=one.operation.title, other=other.operation.title)


def _same_depth(one: Hole, other: Hole) -> bool:
    return min(one.high, other.high) - max(one.low, other.low) > _TOUCHING


def _edges(hollow: Hollow, holes: list[Hole], features: Collection[str]) -> list[Left]:
    """Yield the wood between each area and the edge of the part, where it is least; areas that run out over it are
    meant to. features: whose areas, none: all."""
    rim = union([hollow.outline]).boundary
    own = [hole for hole in holes if not features or hole.operation.name in features]
    gaps = [(hole.area.distance(rim), hole) for hole in own]
    return _least(
        [
            _Gap(gap, hole, rim, msg("between '{feature}' and the edge", feature=hole.operation.title))
            for gap, hole in gaps
            if gap > _TOUCHING
        ]
    )


class _Gap(NamedTuple):
    """How much wood stays between an area and what it lies beside."""

    size: float
    hole: Hole
    beside: BaseGeometry
    words: Message


def _least(gaps: Sequence[_Gap]) -> list[Left]:
    """Return those of which no other one is less, with their places: to find the place takes longer than the size."""
    least = min((gap.size for gap in gaps), default=0.0)
    found = []
    for gap in gaps:
        if gap.size <= least:
            middle = shortest_line(gap.hole.area, gap.beside).interpolate(0.5, normalized=True)
            found.append(Left(gap.size, (middle.x, middle.y), gap.words, gap.hole.operation.name))
    return found


def _middle(area: Polygon) -> Point:
    point = area.representative_point()
    return point.x, point.y
