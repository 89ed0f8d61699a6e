"""What a step offers its cutter: places of one shape are measured once."""

from __future__ import annotations

from shapely import Polygon, affinity, box

from kitforge.planning.room import _unlike, _widest

L_SHAPE = Polygon([(0, 0), (30, 0), (30, 8), (8, 8), (8, 20), (0, 20)])


def test_places_of_one_shape_are_measured_once() -> None:
    """Moved copies are one shape; another size, or holes that differ, is another."""
    moved = affinity.translate(L_SHAPE, 103.7, -21.3)
    holed = Polygon(L_SHAPE.exterior, [box(10, 2, 12, 4).exterior])
    assert _unlike([L_SHAPE, moved, holed, affinity.scale(L_SHAPE, 1.1, 1.1)])[:1] == [L_SHAPE]
    assert len(_unlike([L_SHAPE, moved, holed, affinity.scale(L_SHAPE, 1.1, 1.1)])) == 3
    assert abs(_widest(moved) - _widest(L_SHAPE)) < 1e-9
