"""Lots: shapes of one sort on a layer, under the shortest name by which kit.yaml can take just them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from kitforge.drafting.names import is_plain
from kitforge.drafting.nest import Item, items_of
from kitforge.drafting.records import ShapeGroup
from kitforge.drawings.layer_choice import SAME_DIAMETER, diameter_of, only, within
from kitforge.model.drawing import LayerShapes
from kitforge.model.path import Path
from kitforge.model.piece import Bounds

LARGEST_DRILL = 10.0
"""Circles up to this diameter, in mm, are taken for drilled holes. Common practice, no source."""

NOWHERE = "no layer of its own"
SORTS = ("open", "points", "closed", "smaller", "circles")


@dataclass(frozen=True, slots=True)
class SortedLayer:
    """A layer with what is on it; size: how many things, those drawn twice counted twice."""

    name: str
    shapes: LayerShapes
    items: frozenset[Item]
    size: int

    @classmethod
    def of(cls, name: str, shapes: LayerShapes) -> SortedLayer:
        """Return a layer."""
        items = items_of(shapes)
        return cls(name, shapes, frozenset(items), len(items))

    def within(self, box: Bounds | None) -> SortedLayer:
        """Return what of the layer lies wholly inside a box, everything for None."""
        return self if box is None else SortedLayer.of(self.name, within(self.shapes, box))


def lots_of(layer: SortedLayer, items: Sequence[Item], whole: SortedLayer) -> list[ShapeGroup]:
    """Return the sorts among some things on a layer: holes of each small diameter, areas, open lines, points."""
    shapes = as_shapes(items)
    small = [path for path in shapes.closed if 0 < diameter_of(path) <= LARGEST_DRILL]
    areas = [path for path in shapes.closed if not 0 < diameter_of(path) <= LARGEST_DRILL]
    sorts: list[Sequence[Item]] = [*_by_diameter(small), shapes.open, shapes.points]
    lots = [_lot(layer, sort, whole) for sort in sorts if sort]
    return [*lots, *_area_lots(layer, areas, whole)]


def as_shapes(items: Iterable[Item]) -> LayerShapes:
    """Return things as shapes."""
    found = list(items)
    paths = [item for item in found if isinstance(item, Path)]
    points = tuple(item for item in found if not isinstance(item, Path))
    return LayerShapes(tuple(p for p in paths if p.closed), tuple(p for p in paths if not p.closed), points)


def _area_lots(layer: SortedLayer, areas: Sequence[Path], whole: SortedLayer) -> list[ShapeGroup]:
    """Return larger closed lines as one lot if a name gives just them, else the circles of each diameter apart."""
    if not areas:
        return []
    together = _lot(layer, areas, whole)
    round_ones = [path for path in areas if diameter_of(path)]
    if together.layers or not layer.name or not round_ones:
        return [together]
    others = [path for path in areas if not diameter_of(path)]
    apart = [_lot(layer, paths, whole) for paths in _by_diameter(round_ones)]
    return [*([_lot(layer, others, whole)] if others else []), *apart]


def _lot(layer: SortedLayer, items: Sequence[Item], whole: SortedLayer) -> ShapeGroup:
    """Return things under the shortest name that gives just them, or to be written out if there is none."""
    for place in (layer, whole):
        lot = named_lot(place, items)
        if lot is not None:
            return ShapeGroup(lot.shapes, lot.layers, lot.only, lot.diameter, layer.name or NOWHERE)
    return ShapeGroup(as_shapes(items), (), None, None, layer.name or NOWHERE)


def named_lot(layer: SortedLayer, items: Sequence[Item], *sorts: str) -> ShapeGroup | None:
    """Return things on a layer as `layer` picks them, None if no way of picking gives just them."""
    if not is_plain(layer.name):
        return None
    wanted = set(items)
    diameters = {round(diameter_of(item), 3) for item in items if isinstance(item, Path)}
    ways: list[tuple[str | None, float | None]] = [(None, None), *((sort, None) for sort in sorts or SORTS)]
    if len(diameters) == 1:
        ways += [(None, diameter) for diameter in diameters if diameter]
    for sort, diameter in ways:
        picked = only(layer.shapes, sort, diameter)
        found = items_of(picked)
        # a line that is drawn twice comes twice, which an outline must not
        if set(found) == wanted and (len(found) == len(wanted) or not sorts):
            return ShapeGroup(picked, (layer.name,), sort, diameter, layer.name)
    return None


def _by_diameter(circles: Sequence[Path]) -> Iterator[list[Path]]:
    rest = sorted(circles, key=diameter_of)
    while rest:
        least = diameter_of(rest[0])
        same = [path for path in rest if diameter_of(path) - least < SAME_DIAMETER]
        rest = rest[len(same) :]
        yield same
