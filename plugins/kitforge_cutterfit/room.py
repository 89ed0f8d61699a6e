"""Whether a round cutter gets everywhere it has to: into the shape at all, into its corners, through its narrows.

What stays is the exact difference between a shape and what a disc of the cutter's radius covers inside it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

from shapely import MultiPolygon, Polygon, affinity, get_coordinates, get_parts

from kitforge.geometry.corners import Side as Inward
from kitforge.geometry.crowded import buffered
from kitforge.geometry.region import (
    REACH_EPSILON,
    largest_disc,
    offset,
    opened,
    polygons,
    unreachable,
    wider,
)
from kitforge.geometry.relief import corner_relief
from kitforge.model.findings import Finding
from kitforge.model.kit import Cutter, CutterKind, Kit, OperationKind, Side
from kitforge.model.messages import area_mm2, mm, msg, point_mm
from kitforge.model.path import Path
from kitforge.planning.areas import filled, multi, width_at
from kitforge_cutterfit import kinds
from kitforge_cutterfit.uses import CutterUse, named

# A corner of 45 degrees leaves 1.24 radius² (cot 22.5° - 3π/8); what is larger counts as a region of its own.
CORNER_SHARE = 1.25
# Left-overs thinner than this are rounding of drawn arcs, mm: a radius 0.05 mm under the cutter's leaves as much.
LEAST_LEFT = 0.02
_SIMPLER = 0.001
_RELIEVED = ("dog-bone", "t-bone")


def check_room(kit: Kit, use: CutterUse) -> Iterator[Finding]:
    """Yield what a cutter cannot reach in the shapes of its operation."""
    if use.cutter.kind is CutterKind.V_BIT:
        return
    inside = _inside(use)
    if inside is not None:
        fitting = []
        for area in inside.geoms:
            if _fits(area, _radius(use)):
                fitting.append(area)
            else:
                yield _too_wide(kit, use, area)
        if use.last:
            yield from _left(kit, use, _left_inside(fitting, _radius(use)))
    elif use.last and use.operation.does is OperationKind.PROFILE and use.operation.side is Side.OUTSIDE:
        yield from _left(kit, use, _left_outside(_area(use.operation.shapes), use.cutter.radius))
    if use.last and use.operation.relief in _RELIEVED:
        yield from _relief(use)


def _radius(use: CutterUse) -> float:
    """Return the radius that has to fit: of a rounded cutter what it cuts at the face, with the stock left on walls."""
    radius = use.cutter.radius
    if use.operation.does is OperationKind.DISH:
        radius = width_at(use.cutter, use.operation.depth) / 2
    return radius + use.wish.leave_walls


def _inside(use: CutterUse) -> MultiPolygon | None:
    """Return the areas the cutter has to stay inside, or None for an operation without any."""
    operation = use.operation
    clears = operation.does in (OperationKind.POCKET, OperationKind.DISH)
    if clears or (operation.does is OperationKind.PROFILE and operation.side is Side.INSIDE):
        return _area(operation.shapes)
    return None


def _area(paths: Iterable[Path]) -> MultiPolygon:
    """Return the area of closed paths by the even-odd rule, arcs within 0.001 mm."""
    closed = [path for path in paths if path.closed and len(path.flatten()) > 3]
    try:
        return multi(area.simplify(_SIMPLER) for area in polygons(closed))
    except ValueError:
        # shapes that cross are a finding of their own; here their area only has to be sound
        return filled(closed)


def _fits(area: Polygon, radius: float) -> bool:
    return not buffered(area, REACH_EPSILON - radius).is_empty


def _too_wide(kit: Kit, use: CutterUse, area: Polygon) -> Finding:
    disc = largest_disc(area)
    spare = use.wish.leave_walls
    passing = [
        cutter
        for cutter in kit.cutters.values()
        if cutter.kind is not CutterKind.V_BIT and _fits(area, cutter.radius + spare)
    ]
    left = msg(" and {spare} left on each wall", spare=mm(spare)) if spare else msg("")
    return use.found(
        kinds.CUTTER_TOO_WIDE,
        msg(
            "{name}: the shape at {at} is {radius} wide at its widest, the cutter {diameter}{left}: it does not go in.",
            name=use.name,
            at=point_mm((disc.x, disc.y)),
            radius=mm(2 * disc.radius),
            diameter=mm(use.cutter.diameter),
            left=left,
        ),
        named(
            passing,
            msg("Use a cutter of at most {widest}, or make the shape wider.", widest=mm(2 * (disc.radius - spare))),
        ),
        at=(disc.x, disc.y),
    )


def _left_inside(areas: Sequence[Polygon], radius: float) -> list[Polygon]:
    """Return what a cutter leaves in areas; of areas that are alike but for their place one is worked out."""
    known: dict[bytes, tuple[Polygon, list[Polygon]]] = {}
    found: list[Polygon] = []
    for area in areas:
        key = (get_coordinates(area) - area.bounds[:2]).round(4).tobytes()
        if key not in known:
            known[key] = area, unreachable(area, radius)
        first, pieces = known[key]
        dx, dy = area.bounds[0] - first.bounds[0], area.bounds[1] - first.bounds[1]
        found += [affinity.translate(piece, dx, dy) for piece in pieces]
    return found


def _left_outside(area: MultiPolygon, radius: float) -> list[Polygon]:
    """Return what a cutter outside an area leaves in its notches: its closing less the area itself."""
    closed = offset(offset(area, radius), -radius)
    return [piece for piece in get_parts(closed.difference(area)) if isinstance(piece, Polygon)]


def _left(kit: Kit, use: CutterUse, pieces: list[Polygon]) -> Iterator[Finding]:
    largest = CORNER_SHARE * use.cutter.radius**2
    pieces = wider(pieces, LEAST_LEFT)
    corners = [piece for piece in pieces if piece.area <= largest]
    regions = [piece for piece in pieces if piece.area > largest]
    if regions:
        yield _region_left(kit, use, regions)
    if corners and use.operation.relief not in _RELIEVED:
        yield _corners_left(kit, use, corners)


def _region_left(kit: Kit, use: CutterUse, regions: list[Polygon]) -> Finding:
    worst = max(regions, key=lambda piece: piece.area)
    disc = largest_disc(worst)
    passing = [
        cutter
        for cutter in kit.cutters.values()
        if cutter.kind is not CutterKind.V_BIT and cutter.radius < use.cutter.radius and _clears(worst, cutter)
    ]
    return use.found(
        kinds.REGION_LEFT,
        msg(
            "{name}: the {diameter} cutter leaves {area} in {count} narrow region(s); the largest, "
            "{area_2} near {at}, is about {radius} wide.",
            name=use.name,
            diameter=mm(use.cutter.diameter),
            area=area_mm2(sum(r.area for r in regions), 1),
            count=len(regions),
            area_2=area_mm2(worst.area, 1),
            at=point_mm((disc.x, disc.y)),
            radius=mm(2 * disc.radius, 1),
        ),
        named(passing, msg("Use a smaller cutter, or make the narrow place wider than the cutter.")),
        at=(disc.x, disc.y),
    )


def _clears(region: Polygon, cutter: Cutter) -> bool:
    """Return whether a cutter would reach more than half of a region."""
    return bool(opened(region, cutter.radius).area > region.area / 2)


def _corners_left(kit: Kit, use: CutterUse, corners: list[Polygon]) -> Finding:
    worst = max(corners, key=lambda piece: piece.area)
    centre = worst.representative_point()
    at = (centre.x, centre.y)
    radius = use.cutter.radius
    smaller = [c for c in kit.cutters.values() if c.radius < radius and c.kind is use.cutter.kind]
    advice = msg("Round the corners to that radius if nothing square goes in")
    if use.operation.does in (OperationKind.POCKET, OperationKind.PROFILE):
        relieved = msg("set 'corner_relief: dog-bone' (or t-bone) if something does")
        advice = msg("{this}, or {that}", this=advice, that=relieved)
    if smaller:
        finer = msg("finish with {cutter}", cutter=max(smaller, key=lambda c: c.diameter).name)
        advice = msg("{this}, or {that}", this=advice, that=finer)
    return use.found(
        kinds.CORNER_LEFT,
        msg(
            "{name}: {count} inside corner(s) are tighter than the cutter of {radius} radius; {area} of "
            "wood stays in all, most near {at} with {area_2}. A square corner would keep wood up to "
            "{radius_2} from its point.",
            name=use.name,
            count=len(corners),
            radius=mm(radius),
            area=area_mm2(sum(c.area for c in corners), 2),
            at=point_mm(at),
            area_2=area_mm2(worst.area, 2),
            radius_2=mm((math.sqrt(2) - 1) * radius),
        ),
        msg("{advice}.", advice=advice),
        at=at,
    )


def _relief(use: CutterUse) -> Iterator[Finding]:
    side: Inward = "outside" if use.operation.side is Side.OUTSIDE else "inside"
    for path in use.operation.shapes:
        if not path.closed:
            continue
        try:
            corner_relief(
                path, use.cutter.radius, "dog-bone" if use.operation.relief == "dog-bone" else "t-bone", side=side
            )
        except ValueError as error:
            yield use.found(
                kinds.RELIEF_UNFIT,
                msg("{name}: the corner relief cannot be cut: {error}.", name=use.name, error=str(error)),
                msg("Use a smaller cutter, the other kind of relief, or leave the relief out."),
            )
