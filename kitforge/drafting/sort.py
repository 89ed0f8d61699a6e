"""Takes a drawing apart: the likeliest outline, and what lies inside it in lots that kit.yaml can name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeAlias

from kitforge.drafting.names import is_plain, looks_numbered
from kitforge.drafting.records import LeftOut, Lot, Sorted
from kitforge.geometry.drawing import Drawing, LayerShapes, Point
from kitforge.geometry.path import Path
from kitforge.stages.layer_choice import SAME_DIAMETER, diameter_of, only

if TYPE_CHECKING:
    from shapely import Polygon

LARGEST_DRILL = 10.0
"""Circles up to this diameter, in mm, are taken for drilled holes. Common practice, no source."""

MOST_SPELLED = 60
"""Shapes that are written out in kit.yaml when no layer holds just them."""

NOWHERE = "no layer of its own"
SORTS = ("open", "points", "closed", "smaller", "circles")
_INSIDE = 0.02
Item: TypeAlias = "Path | Point"


@dataclass(frozen=True, slots=True)
class _Layer:
    name: str
    shapes: LayerShapes
    items: frozenset[Item]


def sort_drawing(drawing: Drawing) -> Sorted:
    """Return the outline (the closed line of the largest area) and the rest of the drawing in lots.

    Raises ValueError for a drawing without any closed line.
    """
    closed = [path for path in drawing.whole.closed if abs(path.area) > 0]
    if not closed:
        raise ValueError("no line in the drawing is closed, so that nothing can be the outline of a part")
    outline = max(closed, key=lambda path: abs(path.area))
    layers = [_Layer(name, shapes, frozenset(_items(shapes))) for name, shapes in drawing.layers.items()]
    first = _outline_lot(outline, layers)
    inside = _Inside(outline)
    lots: list[Lot] = []
    left: list[LeftOut] = []
    for layer in _cover(layers, outline, drawing.whole):
        for lot in _lots_of(layer, outline):
            kept, out = inside.split(lot)
            lots += kept
            left += out
    return Sorted(first, tuple(lots), tuple(left))


def _items(shapes: LayerShapes) -> Iterator[Item]:
    yield from shapes.closed
    yield from shapes.open
    yield from shapes.points


def _outline_lot(outline: Path, layers: Sequence[_Layer]) -> Lot:
    """Return how the outline is named: by the layer with the fewest other things on it."""
    holding = [layer for layer in layers if outline in layer.items and is_plain(layer.name)]
    holding.sort(key=lambda layer: (len(layer.items), looks_numbered(layer.name), layer.name))
    shapes = LayerShapes(closed=(outline,))
    if not holding:
        return Lot(shapes, "*", "largest")
    best = holding[0]
    return Lot(shapes, best.name, "largest" if len(best.items) > 1 else None)


def _cover(layers: Sequence[_Layer], outline: Path, whole: LayerShapes) -> Iterator[_Layer]:
    """Yield layers that together hold everything once.

    Groups of an SVG hold groups: the largest without the outline come first, those that it shares with other things
    last; what no layer names on its own comes under ''.
    """
    taken: set[Item] = {outline}
    order = sorted(layers, key=lambda one: (outline in one.items, -len(one.items), looks_numbered(one.name), one.name))
    for layer in order:
        fresh = layer.items - taken
        if not fresh:
            continue
        if layer.items - {outline} == fresh:
            taken |= fresh
            yield layer
    rest = [item for item in _unnamed(layers, whole) if item not in taken]
    if rest:
        yield _Layer("", _as_shapes(sorted(rest, key=_place)), frozenset(rest))


def _unnamed(layers: Sequence[_Layer], whole: LayerShapes) -> list[Item]:
    """Return what is on any layer, and what is on none.

    An open line of the whole drawing may be lines of several groups joined end to end; those are there already.
    """
    named = dict.fromkeys(item for layer in layers for item in _items(layer.shapes))
    ends = {end for item in named if isinstance(item, Path) and not item.closed for end in (item.start, item.end)}
    fresh = [item for item in _items(whole) if item not in named]
    return [*named, *(one for one in fresh if not (isinstance(one, Path) and {one.start, one.end} <= ends))]


def _place(item: Item) -> tuple[float, ...]:
    return (*item.start, *item.end) if isinstance(item, Path) else item


def _as_shapes(items: Iterable[Item]) -> LayerShapes:
    found = list(items)
    paths = [item for item in found if isinstance(item, Path)]
    points = tuple(item for item in found if not isinstance(item, Path))
    return LayerShapes(tuple(p for p in paths if p.closed), tuple(p for p in paths if not p.closed), points)


def _lots_of(layer: _Layer, outline: Path) -> list[Lot]:
    """Return the sorts of shapes on a layer: holes of each small diameter, other closed lines, open lines, points."""
    closed = [path for path in layer.shapes.closed if path != outline]
    small = [path for path in closed if 0 < diameter_of(path) <= LARGEST_DRILL]
    areas = [path for path in closed if not 0 < diameter_of(path) <= LARGEST_DRILL]
    sorts = [LayerShapes(closed=tuple(paths)) for paths in _by_diameter(small)]
    sorts += [LayerShapes(open=layer.shapes.open), LayerShapes(points=layer.shapes.points)]
    lots = [_lot(layer, shapes) for shapes in sorts if not shapes.is_empty]
    return [*lots, *_area_lots(layer, areas)]


def _area_lots(layer: _Layer, areas: Sequence[Path]) -> list[Lot]:
    """Return larger closed lines as one lot if a name gives just them, else the circles of each diameter apart."""
    if not areas:
        return []
    together = _lot(layer, LayerShapes(closed=tuple(areas)))
    round_ones = [path for path in areas if diameter_of(path)]
    if together.layer is not None or not layer.name or not round_ones:
        return [together]
    others = tuple(path for path in areas if not diameter_of(path))
    apart = [LayerShapes(closed=tuple(paths)) for paths in _by_diameter(round_ones)]
    return [_lot(layer, shapes) for shapes in (LayerShapes(closed=others), *apart) if not shapes.is_empty]


def _lot(layer: _Layer, shapes: LayerShapes) -> Lot:
    """Return the shapes under the shortest name that gives just them, or to be written out if there is none."""
    wanted = set(_items(shapes))
    diameters = sorted({round(diameter_of(path), 3) for path in shapes.closed})
    ways: list[tuple[str | None, float | None]] = [(None, None), *((sort, None) for sort in SORTS)]
    ways += [(None, diameter) for diameter in diameters[:1] if diameter]
    seen = layer.name or NOWHERE
    for sort, diameter in ways if is_plain(layer.name) else ():
        if set(_items(only(layer.shapes, sort, diameter))) == wanted:
            return Lot(shapes, layer.name, sort, diameter, seen)
    return Lot(shapes, None, None, None, seen)


def _by_diameter(circles: Sequence[Path]) -> Iterator[list[Path]]:
    rest = sorted(circles, key=diameter_of)
    while rest:
        least = diameter_of(rest[0])
        same = [path for path in rest if diameter_of(path) - least < SAME_DIAMETER]
        rest = rest[len(same) :]
        yield same


class _Inside:
    """Tells what lies inside the outline, and takes lots apart that do so only in part."""

    def __init__(self, outline: Path) -> None:
        from shapely import prepare

        self.area: Polygon = _polygon(outline).buffer(-_INSIDE)
        prepare(self.area)

    def split(self, lot: Lot) -> tuple[list[Lot], list[LeftOut]]:
        """Return the lot, or what of it lies inside, and what is left out and why."""
        items = list(_items(lot.shapes))
        kept = [item for item in items if self._holds(item)]
        out = len(items) - len(kept)
        left = [LeftOut(lot.seen_on, out, "outside the outline, or along it")] if out else []
        if out and kept:
            lot = replace(lot, shapes=_as_shapes(kept), layer=None)
        if kept and lot.layer is None and len(kept) > MOST_SPELLED:
            return [], [*left, LeftOut(lot.seen_on, len(kept), "on no layer of their own, and too many to write out")]
        return ([lot] if kept else []), left

    def _holds(self, item: Item) -> bool:
        from shapely import Point as ShapelyPoint

        from kitforge.geometry.region import line_of

        if not isinstance(item, Path):
            return bool(self.area.contains(ShapelyPoint(*item)))
        return bool(self.area.intersects(line_of(item, 0.01)))


def _polygon(path: Path) -> Polygon:
    from shapely import get_parts, make_valid

    area = make_valid(path.to_polygon(0.01))
    largest: Polygon = max(get_parts(area), key=lambda part: part.area)
    return largest
