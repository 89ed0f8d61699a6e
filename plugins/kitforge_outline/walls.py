"""What is left standing: walls between cuts and to the edge, floors under cuts, wood round holes.

Limits are common practice, no source: walls 3 mm in panels and 4 mm in solid wood (where short grain breaks off), but
no more than the cut is deep; floors 2 mm; a drilled hole half its diameter from the edge.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray
from shapely import (
    MultiPolygon,
    Polygon,
    STRtree,
    covers,
    distance,
    dwithin,
    get_coordinates,
    get_parts,
    intersects,
    linestrings,
    prepare,
    shortest_line,
)
from shapely.geometry.base import BaseGeometry

from kitforge.model.findings import Finding, FindingType, Severity
from kitforge.model.kit import Cutter, CutterKind, Operation, OperationKind, Part
from kitforge.model.messages import Message, area_mm2, mm, msg, point_mm
from kitforge_outline import kinds
from kitforge_outline.features import SIMPLER, ClearedArea, enclosed

PANEL_WALL = 3.0
SOLID_WALL = 4.0
LEAST_FLOOR = 2.0
SLACK = 0.01
_MOST_FINDINGS = 20

Point = tuple[float, float]


def wall_limit(part: Part) -> float:
    """Return how thick an upright wall should be in the part's material, mm."""
    return PANEL_WALL if part.stock.material.is_panel else SOLID_WALL


def check_edges(part: Part, features: Sequence[ClearedArea]) -> Iterator[Finding]:
    """Yield features that leave the part, and those too near its edge."""
    area = enclosed([part.outline])
    if area.is_empty or not features:
        return
    grown = area.buffer(SLACK)
    prepare(grown)
    shapes = [feature.area for feature in features]
    inside, touching = covers(grown, shapes), intersects(grown, shapes)
    near = _near_edges(area, [feature if ok else None for feature, ok in zip(features, inside, strict=True)])
    for index, feature in enumerate(features):
        if not touching[index]:
            yield _outside(part, feature, msg("lies wholly beside the part"))
        elif not inside[index]:
            yield _over_edge(part, feature, area)
        elif index in near and feature.has_upright_walls:
            yield from _near_edge(part, feature, *near[index])


def _near_edges(area: MultiPolygon, features: Sequence[ClearedArea | None]) -> dict[int, tuple[float, Point]]:
    """Return how far the features near the edge are from it, mm, and the place between, by their numbers."""
    edge = area.boundary.simplify(SIMPLER)
    prepare(edge)
    kept = [(number, feature) for number, feature in enumerate(features) if feature]
    reach = max((SOLID_WALL, *(f.operation.cutter.radius for _n, f in kept if f.operation.does is OperationKind.DRILL)))
    tree = STRtree(_sides(list(get_parts(edge))))
    found: dict[int, tuple[float, Point]] = {}
    for number, feature in kept:
        if dwithin(edge, feature.area, reach):
            sides = _sides([feature.area.exterior])
            pairs, distances = tree.query_nearest(sides, return_distance=True, all_matches=False)
            best = int(distances.argmin())
            line = shortest_line(sides[pairs[0][best]], tree.geometries[pairs[1][best]])
            middle = line.interpolate(0.5, normalized=True)
            found[number] = (float(distances[best]), (middle.x, middle.y))
    return found


def _sides(lines: Sequence[BaseGeometry]) -> NDArray[np.object_]:
    """Return the straight sides of lines, one by one."""
    coords = [get_coordinates(line) for line in lines]
    return np.asarray(linestrings(np.concatenate([np.stack([c[:-1], c[1:]], axis=1) for c in coords])))


def _outside(part: Part, feature: ClearedArea, how: Message) -> Finding:
    centre = feature.area.representative_point()
    at = (centre.x, centre.y)
    return kinds.FEATURE_OUTSIDE.new(
        msg("'{title}' at {at} {how}.", title=feature.operation.title, at=point_mm(at), how=how),
        msg("Move it into the part, or check that outline and shapes come from the same drawing at the same scale."),
        source=feature.operation.source,
        part=part.key,
        operation=feature.operation.name,
        at=at,
    )


def _over_edge(part: Part, feature: ClearedArea, area: MultiPolygon) -> Finding:
    rest = feature.area.difference(area)
    if feature.is_hole:
        return _outside(part, feature, msg("runs over the edge of the part with {area}", area=area_mm2(rest.area, 2)))
    centre = rest.representative_point()
    at = (centre.x, centre.y)
    return kinds.FEATURE_OPEN.new(
        msg(
            "'{title}' runs out over the edge of the part near {at}, with {area}.",
            title=feature.operation.title,
            at=point_mm(at),
            area=area_mm2(rest.area, 1),
        ),
        msg("Right for an open pocket or a groove that runs through; else move it into the part."),
        source=feature.operation.source,
        part=part.key,
        operation=feature.operation.name,
        at=at,
    )


def _near_edge(part: Part, feature: ClearedArea, wall: float, at: Point) -> Iterator[Finding]:
    operation = feature.operation
    limit = min(wall_limit(part), feature.depth)
    if operation.does is OperationKind.DRILL:
        limit = max(limit, operation.cutter.radius)
        if wall < limit - SLACK:
            none = wall <= SLACK
            said = (
                msg("A hole of '{title}' touches the edge near {at}.", title=operation.title, at=point_mm(at))
                if none
                else msg(
                    "A hole of '{title}' leaves {wall} of wood to the edge near {at}.",
                    title=operation.title,
                    wall=mm(wall),
                    at=point_mm(at),
                )
            )
            yield kinds.HOLE_NEAR_EDGE.new(
                msg(
                    "{said} Beside a hole of {diameter} {limit} should stay.",
                    said=said,
                    limit=mm(limit),
                    diameter=mm(operation.cutter.diameter),
                ),
                msg("Move the hole inward or drill it smaller; the wood may split or break out."),
                source=operation.source,
                part=part.key,
                operation=operation.name,
                at=at,
                severity=Severity.ERROR if none else None,
            )
    elif SLACK < wall < limit - SLACK:
        yield kinds.THIN_WALL.new(
            msg(
                "'{title}' leaves a wall of {wall} to the edge near {at}, {depth} high; in {name} {limit} should stay.",
                title=operation.title,
                wall=mm(wall),
                at=point_mm(at),
                depth=mm(feature.depth),
                name=part.stock.material.name,
                limit=mm(limit),
            ),
            msg("Move the shape inward or make the part larger."),
            source=operation.source,
            part=part.key,
            operation=operation.name,
            at=at,
        )


def check_walls(part: Part, features: Sequence[ClearedArea]) -> Iterator[Finding]:
    """Yield thin walls between two features of one face, and thin islands inside pockets; the thinnest 20 of a part."""
    upright = [feature for feature in features if feature.has_upright_walls]
    limit = wall_limit(part)
    for wall, one, other, at in _thin_pairs(upright, limit):
        yield kinds.THIN_WALL.new(
            msg(
                "Only {wall} of wood stays between {pair} near {at}; in {name} {common_limit} should stay.",
                wall=mm(wall),
                pair=_pair(one, other),
                at=point_mm(at),
                name=part.stock.material.name,
                common_limit=mm(_common_limit(limit, one, other)),
            ),
            msg("Move them apart, or let them run into one another on purpose."),
            source=other.operation.source,
            part=part.key,
            operation=other.operation.name,
            at=at,
        )
    for feature in upright:
        yield from _islands(part, feature, min(limit, feature.depth))


def _thin_pairs(
    features: Sequence[ClearedArea], limit: float
) -> Iterator[tuple[float, ClearedArea, ClearedArea, Point]]:
    """Yield the thinnest walls between two features of one face: width mm, the two, and the place."""
    areas = np.array([feature.area for feature in features], dtype=object)
    if len(areas) < 2:
        return
    first, second = STRtree(areas).query(areas, predicate="dwithin", distance=limit)
    once = first < second
    first, second = first[once], second[once]
    walls = distance(areas[first], areas[second])
    shown = 0
    for index in np.argsort(walls, kind="stable"):
        one, other, wall = features[first[index]], features[second[index]], float(walls[index])
        if one.operation.face is not other.operation.face or wall <= SLACK:
            continue
        if shown < _MOST_FINDINGS and wall < _common_limit(limit, one, other) - SLACK:
            shown += 1
            middle = shortest_line(one.area, other.area).interpolate(0.5, normalized=True)
            yield wall, one, other, (middle.x, middle.y)


def _common_limit(limit: float, one: ClearedArea, other: ClearedArea) -> float:
    return min(limit, one.depth, other.depth)


def _pair(one: ClearedArea, other: ClearedArea) -> Message:
    if one.operation is other.operation:
        return msg("two shapes of '{title}'", title=one.operation.title)
    return msg("'{one}' and '{other}'", one=one.operation.title, other=other.operation.title)


def _islands(part: Part, feature: ClearedArea, limit: float) -> Iterator[Finding]:
    for ring in feature.area.interiors:
        island = Polygon(ring)
        if (
            feature.operation.does in (OperationKind.POCKET, OperationKind.DISH)
            and island.buffer(SLACK - limit / 2).is_empty
        ):
            centre = island.representative_point()
            at = (centre.x, centre.y)
            yield kinds.THIN_WALL.new(
                msg(
                    "The wood left standing in '{title}' at {at} is nowhere {limit} thick and {depth} high.",
                    title=feature.operation.title,
                    at=point_mm(at),
                    limit=mm(limit),
                    depth=mm(feature.depth),
                ),
                msg("Make the island wider, the pocket shallower, or clear it away."),
                source=feature.operation.source,
                part=part.key,
                operation=feature.operation.name,
                at=at,
            )


def check_holes(part: Part, features: Sequence[ClearedArea]) -> Iterator[Finding]:
    """Yield holes that run into one another; a hole inside a larger one is a step, and meant."""
    holes = [feature for feature in features if feature.is_hole]
    if len(holes) < 2:
        return
    areas = [hole.area for hole in holes]
    first, second = STRtree(areas).query(areas, predicate="overlaps")
    for one, other in [pair for pair in zip(first.tolist(), second.tolist(), strict=True) if pair[0] < pair[1]]:
        common = areas[one].intersection(areas[other])
        if common.area > SLACK:
            at = (common.centroid.x, common.centroid.y)
            yield kinds.HOLES_OVERLAP.new(
                msg(
                    "Two holes ({pair}) run into one another near {at}, over {area}.",
                    pair=_pair(holes[one], holes[other]),
                    at=point_mm(at),
                    area=area_mm2(common.area, 2),
                ),
                msg("Move them apart; a cutter that breaks into a hole is pulled aside."),
                source=holes[other].operation.source,
                part=part.key,
                operation=holes[other].operation.name,
                at=at,
            )


def check_floors(part: Part) -> Iterator[Finding]:
    """Yield cuts that leave too little wood under them, or none."""
    for operation in part.operations:
        if operation.through or operation.does in (OperationKind.FACE, OperationKind.CHAMFER):
            continue
        wood = operation.datum.wood(part.stock.actual)
        found = _floor(operation, wood)
        if found:
            kind, what, advice = found
            faced = msg(" as it is after facing") if wood < part.stock.actual else msg("")
            yield kind.new(
                msg(
                    "'{title}' is {depth} deep in stock of {wood}{faced}: {what}.",
                    title=operation.title,
                    depth=mm(operation.depth),
                    wood=mm(wood),
                    faced=faced,
                    what=what,
                ),
                advice,
                source=operation.source,
                part=part.key,
                operation=operation.name,
            )


def _floor(operation: Operation, thickness: float) -> tuple[FindingType, Message, Message] | None:
    """Return what is wrong with the floor under a cut, in words, and what to do about it."""
    floor, tip = thickness - operation.depth, _point_length(operation.cutter)
    if floor <= SLACK:
        return kinds.CUT_TOO_DEEP, msg("nothing stays under it"), msg("Write 'depth: through' if it should go through.")
    if operation.does is OperationKind.DRILL and floor <= tip:
        what = msg(
            "the drill's point is {tip} longer and comes out {floor} underneath", tip=mm(tip), floor=mm(tip - floor)
        )
        return kinds.DRILL_BREAKS_THROUGH, what, msg("Drill less deep, or write 'depth: through'.")
    if floor < LEAST_FLOOR - SLACK:
        what = msg("a floor of {floor} stays, where {least_floor} should", floor=mm(floor), least_floor=mm(LEAST_FLOOR))
        return kinds.FLOOR_THIN, what, msg("Cut less deep or use thicker stock; measure the stock before cutting.")
    return None


def _point_length(cutter: Cutter) -> float:
    """Return D / (2 tan(angle / 2)), how far a drill's point goes beyond its full diameter; 118 degrees if not told."""
    if cutter.kind is not CutterKind.DRILL:
        return 0.0
    return cutter.radius / math.tan(math.radians((cutter.angle or 118.0) / 2))
