"""Whether two parts of a drawing are the same, moved or turned by quarters: by the middles of all their pieces."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray
from shapely import Point as ShapelyPoint
from shapely import make_valid, prepare

from kitforge.model.drawing import Drawing, LayerShapes, Point
from kitforge.model.path import Path
from kitforge.model.piece import Bounds
from kitforge.model.record import record

SAME = 0.05
"""How far like lines may lie apart, mm. Taste: a router does not show it."""


@record
class Figure:
    """An outline and what lies inside it: middle and length of each piece (0 for a point), about the box's centre.

    labels: for each row the layer that it is on.
    """

    rows: NDArray[np.float64]
    area: float
    labels: tuple[str, ...]

    @classmethod
    def of(cls, outline: Path, items: Iterable[Path | Point], layers: Mapping[Path | Point, str]) -> Figure:
        """Return the figure of an outline with what lies inside it; layers: on which layer each of these is."""
        return cls._about(outline.bounds.centre, (outline, *items), abs(outline.area), layers)

    @classmethod
    def of_inside(cls, items: Sequence[Path | Point], layers: Mapping[Path | Point, str]) -> Figure:
        """Return the figure of what lies inside an outline by itself, about the centre of its box; at least one."""
        boxes = [item.bounds if isinstance(item, Path) else Bounds(*item, *item) for item in items]
        return cls._about(Bounds.around(boxes).centre, items, 0.0, layers)

    @classmethod
    def _about(
        cls, centre: Point, items: Iterable[Path | Point], area: float, layers: Mapping[Path | Point, str]
    ) -> Figure:
        x, y = centre
        rows: list[tuple[float, float, float]] = []
        labels: list[str] = []
        for item in items:
            if isinstance(item, Path):
                for piece in item.pieces():
                    middle = piece.at(0.5)
                    rows.append((middle.x - x, middle.y - y, piece.length))
            else:
                rows.append((item[0] - x, item[1] - y, 0.0))
            labels += [layers.get(item, "")] * (len(rows) - len(labels))
        return cls(np.array(rows, dtype=np.float64).reshape(-1, 3), area, tuple(labels))


def layers_of(drawing: Drawing) -> dict[Path | Point, str]:
    """Return for everything drawn the smallest layer or group that holds it."""
    found: dict[Path | Point, str] = {}
    for name, shapes in sorted(drawing.layers.items(), key=lambda item: -_size(item[1])):
        found.update(dict.fromkeys((*shapes.closed, *shapes.open, *shapes.points), name))
    return found


def _size(shapes: LayerShapes) -> int:
    return len(shapes.closed) + len(shapes.open) + len(shapes.points)


def inside(outline: Path, items: Iterable[Path | Point]) -> Iterator[Path | Point]:
    """Yield what lies inside a closed line, also in part, but not the line itself."""
    from kitforge.geometry.region import line_of

    area = make_valid(outline.to_polygon(0.01)).buffer(-SAME)
    prepare(area)
    box = outline.bounds
    for item in items:
        own = item.bounds if isinstance(item, Path) else Bounds(*item, *item)
        apart = own.right < box.left or own.left > box.right or own.top < box.bottom or own.bottom > box.top
        if not apart and area.intersects(line_of(item, 0.01) if isinstance(item, Path) else ShapelyPoint(*item)):
            yield item


def alike(one: Figure, other: Figure) -> bool:
    """Return whether two figures are the same, moved or turned by 90, 180 or 270 degrees (but not mirrored).

    Their layers may have other names, but what is on one layer here must be on one layer there.
    """
    from scipy.spatial import cKDTree

    if len(one.rows) != len(other.rows) or abs(one.area - other.area) > SAME * (1 + one.area**0.5):
        return False
    if not np.allclose(np.sort(one.rows[:, 2]), np.sort(other.rows[:, 2]), atol=SAME):
        return False
    tree = cKDTree(one.rows)
    for turns in range(4):
        cos, sin = (1, 0, -1, 0)[turns], (0, 1, 0, -1)[turns]
        x, y, length = other.rows.T
        turned = np.column_stack([cos * x - sin * y, sin * x + cos * y, length])
        there, partners = tree.query(turned, distance_upper_bound=2 * SAME)
        back, _ = cKDTree(turned).query(one.rows, distance_upper_bound=2 * SAME)
        if np.isfinite(there).all() and np.isfinite(back).all():
            pairs = {(label, one.labels[k]) for label, k in zip(other.labels, partners.tolist(), strict=True)}
            if len(pairs) == len({first for first, _ in pairs}) == len({second for _, second in pairs}):
                return True
    return False
