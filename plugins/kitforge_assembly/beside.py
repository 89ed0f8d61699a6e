"""Bought things as solids: what the author puts beside the wood can hold a part, as a stem holds a ring."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import MultiPolygon, Point, Polygon

from kitforge.model.kit import AssemblyPose, Kit
from kitforge.model.pictures import BallShape, PictureStandIn, TurnedShape
from kitforge.surface.layers import WoodLayer
from kitforge_assembly.bodies import Body


def bought(kit: Kit) -> list[Body]:
    """Return the stand-ins of a kit's pictures, a solid for each place, everywhere as wide as at its widest."""
    return [body for one in kit.pictures.beside for body in _bodies(one)]


def _bodies(one: PictureStandIn) -> Iterator[Body]:
    area, low, high = _solid(one)
    for place in one.places:
        pose = AssemblyPose("", place, one.x, one.y, one.source)
        yield Body(pose, (WoodLayer(area, -high, -low),))


def _solid(one: PictureStandIn) -> tuple[MultiPolygon, float, float]:
    """Return the area of a thing in its own plan, and where it begins and ends, mm."""
    shape = one.shape
    if isinstance(shape, BallShape):
        return MultiPolygon([Point(0, 0).buffer(shape.radius)]), -shape.radius, shape.radius
    if isinstance(shape, TurnedShape):
        heights = [height for _, height in shape.profile]
        widest = max(radius for radius, _ in shape.profile)
        return MultiPolygon([Point(0, 0).buffer(widest)]), min(heights), max(heights)
    return MultiPolygon([Polygon(shape.ring)]), 0.0, shape.thickness
