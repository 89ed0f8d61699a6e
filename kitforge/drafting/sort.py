"""Takes a drawing apart: its parts, and what lies inside each of them in lots that kit.yaml can name."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from kitforge.drafting.lots import SortedLayer, lots_of, named_lot
from kitforge.drafting.names import is_plain, looks_numbered
from kitforge.drafting.nest import Item, Nest, Outline, items_of, nest_of
from kitforge.drafting.records import Classified, ClassifiedPart, LeftOut, ShapeGroup
from kitforge.drawings.assemble import together
from kitforge.drawings.coverage import uncovered
from kitforge.drawings.layer_choice import only, within
from kitforge.model.drawing import Drawing, LayerShapes
from kitforge.model.path import Path
from kitforge.model.piece import Bounds

MOST_SPELLED = 200
"""Shapes that are written out in kit.yaml when no layer holds just them."""

MOST_SINGLE = 12
"""Layers of one shape each, beyond which they are names of shapes and no layers."""


def sort_drawing(drawing: Drawing) -> tuple[Classified, Nest]:
    """Return the parts of a drawing with what lies inside them in lots, and what lies in what.

    Raises ValueError for a drawing in which nothing can be the outline of a part.
    """
    nest = nest_of(drawing)
    layers = [SortedLayer.of(name, shapes) for name, shapes in drawing.layers.items()]
    parts = tuple(
        _part(outline, layers, drawing, alone=len(nest.parts) == 1 == nest.parts[0].copies) for outline in nest.parts
    )
    return Classified(parts, tuple(_left_out(nest, layers))), nest


def _part(outline: Outline, layers: Sequence[SortedLayer], drawing: Drawing, *, alone: bool) -> ClassifiedPart:
    """Return a part, taken from whole layers if they hold nothing else, else from its box in the drawing."""
    found = _sorted(outline, layers, drawing, None)
    if alone or (outline.copies == 1 and found.outline.layers and all(lot.layers for lot in found.lots)):
        return replace(found, copies=outline.copies)
    return replace(_sorted(outline, layers, drawing, outline.path.bounds), copies=outline.copies)


def _sorted(outline: Outline, layers: Sequence[SortedLayer], drawing: Drawing, box: Bounds | None) -> ClassifiedPart:
    everything = SortedLayer.of("*", drawing.whole)
    cut = [layer.within(box) for layer in layers]
    whole = everything.within(box)
    wanted = set(outline.items)
    lots: list[ShapeGroup] = []
    left: list[LeftOut] = []
    for layer, items in _cover(cut, outline, wanted):
        for lot in lots_of(layer, items, whole):
            if lot.layers or lot.count <= MOST_SPELLED:
                lots.append(lot)
            else:
                left.append(LeftOut(lot.seen_on, lot.count, "on no layer of their own, and too many to write out"))
    return ClassifiedPart(_outline_lot(outline.path, cut, whole, drawing, box), tuple(lots), tuple(left), box=box)


def _outline_lot(
    path: Path, layers: Sequence[SortedLayer], whole: SortedLayer, drawing: Drawing, box: Bounds | None
) -> ShapeGroup:
    """Return how the outline is named: by the layer with the fewest other things on it, or by several layers."""
    shapes = LayerShapes(closed=(path,))
    holding = [layer for layer in layers if path in layer.items and is_plain(layer.name)]
    holding.sort(key=lambda layer: (layer.size, looks_numbered(layer.name), layer.name))
    for layer in holding:
        lot = named_lot(layer, [path], "largest")
        if lot is not None:
            return lot
    names = _layers_under(path, layers)
    joined = only(within(together([drawing.layers[name] for name in names]), box), "largest") if names else None
    if joined is not None and joined.closed and not any(uncovered([path], joined.closed)):
        return ShapeGroup(shapes, names, "largest", None, ", ".join(names))
    return named_lot(whole, [path], "largest") or ShapeGroup(shapes, (), None, None, "no layer of its own")


def _layers_under(path: Path, layers: Sequence[SortedLayer]) -> tuple[str, ...]:
    """Return the fewest layers whose open lines together make up a closed one."""
    names: list[str] = []
    taken: list[Path] = []
    for layer in sorted(layers, key=lambda one: (looks_numbered(one.name), one.name)):
        before = _open_pieces(path, taken)
        after = _open_pieces(path, [*taken, *layer.shapes.open])
        if is_plain(layer.name) and after < before:
            names.append(layer.name)
            taken += layer.shapes.open
    return tuple(names) if names and _open_pieces(path, taken) == 0 else ()


def _open_pieces(path: Path, lines: Sequence[Path]) -> int:
    """Return how many pieces of a path are not among those of some lines."""
    pieces = [Path(path.vertices[k : k + 2], closed=False) for k in range(len(path.vertices) - 1)]
    pieces.append(Path((path.vertices[-1], path.vertices[0]), closed=False))
    return sum(found is not None for found in uncovered(pieces, lines))


def _cover(
    layers: Sequence[SortedLayer], outline: Outline, wanted: set[Item]
) -> Iterator[tuple[SortedLayer, list[Item]]]:
    """Yield layers that together hold everything once, each with what is wanted from it.

    Groups of an SVG hold groups: the largest without the outline come first, those that it shares with other things
    last; what no layer names on its own comes under ''.
    """
    taken: set[Item] = set()
    path = outline.path
    useful = [layer for layer in layers if layer.items & wanted and not _is_label(layer, layers)]
    order = sorted(useful, key=lambda one: (path in one.items, -one.size, looks_numbered(one.name), one.name))
    for layer in order:
        own = layer.items & wanted
        if own and not own & taken:
            taken |= own
            yield layer, [item for item in outline.items if item in own]
    rest = [item for item in outline.items if item not in taken]
    ends = {end for item in taken if isinstance(item, Path) and not item.closed for end in (item.start, item.end)}
    # an open line of the whole drawing may be lines of several groups joined end to end; those are there already
    rest = [one for one in rest if not (isinstance(one, Path) and not one.closed and {one.start, one.end} <= ends)]
    if rest:
        yield SortedLayer("", LayerShapes(), frozenset(), 0), rest


def _is_label(layer: SortedLayer, layers: Sequence[SortedLayer]) -> bool:
    """Return whether a layer is but the name of one shape: given by a program, or one of very many."""
    if layer.size != 1:
        return False
    return looks_numbered(layer.name) or sum(one.size == 1 for one in layers) > MOST_SINGLE


def _left_out(nest: Nest, layers: Sequence[SortedLayer]) -> Iterator[LeftOut]:
    """Yield what belongs to no part, by layer."""
    reasons: tuple[tuple[Sequence[Item], str], ...] = (
        (nest.frames, "a frame or a page around everything"),
        (nest.crumbs, "too small for a part"),
        (nest.outside, "outside every outline, or along it"),
    )
    for items, why in reasons:
        counts: dict[str, int] = {}
        for item in items:
            names = [layer.name for layer in layers if item in layer.items]
            name = min(names, key=lambda one: (looks_numbered(one), one), default="no layer of its own")
            counts[name] = counts.get(name, 0) + 1
        for name, count in sorted(counts.items()):
            yield LeftOut(name, count, why)


__all__ = ["items_of", "sort_drawing"]
