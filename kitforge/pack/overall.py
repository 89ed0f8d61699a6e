"""How large the finished piece is: the box around all copies of its parts where they stand."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from kitforge.planning.overall import part_extent, points_around

if TYPE_CHECKING:
    from kitforge.model.kit import AssemblyPose, Kit, Part

Spot = tuple[float, float, float]


def overall_size(kit: Kit) -> Spot | None:
    """Return length (x), depth (y) and height (z) of the finished piece in mm, from `together`.

    A kit of one copy that stands nowhere is as large as its part. None where nothing says how the parts stand.
    """
    if kit.together:
        spots = [spot for pose in kit.together for spot in _corners(kit.part(pose.part), pose)]
        spans = [(min(axis), max(axis)) for axis in zip(*spots, strict=True)]
        x, y, z = (high - low for low, high in spans)
        return x, y, z
    if len(kit.parts) == 1 and kit.parts[0].count == 1:
        extent = part_extent(kit.parts[0])
        return extent.along, extent.across, kit.parts[0].thickness
    return None


def _corners(part: Part, pose: AssemblyPose) -> Iterator[Spot]:
    """Yield the outline of a part as it stands, on its face and its thickness behind that. The face looks along x
    cross y of the drawing, the wood lies on the other side."""
    (a, b, c), (d, e, f) = pose.along_x, pose.along_y
    back = (b * f - c * e, c * d - a * f, a * e - b * d)
    for u, v in points_around(part).tolist():
        x, y, z = (o + u * i + v * j for o, i, j in zip(pose.at, pose.along_x, pose.along_y, strict=True))
        yield x, y, z
        yield x - part.thickness * back[0], y - part.thickness * back[1], z - part.thickness * back[2]
