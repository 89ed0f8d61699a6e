"""What lies in what: the closed lines of a drawing as areas, frames set aside, the outermost ones as parts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from shapely import Point as ShapelyPoint
from shapely import Polygon, STRtree, get_parts, make_valid, prepare

from kitforge.drawings.frames import is_frame, names_frame
from kitforge.drawings.likeness import Figure, alike, layers_of
from kitforge.geometry.crowded import buffered
from kitforge.model.drawing import Drawing, LayerShapes, Point
from kitforge.model.path import Path

SMALLEST_PART = 12.0
"""A closed line whose longer side is less, in mm, is no part. Common practice, no source."""

MOST_PARTS = 200
"""Parts in one drawing, copies counted; more were never meant as parts."""

_INSIDE = 0.02
Item = Path | Point


@dataclass(slots=True)
class Outline:
    """A part's outline, what lies inside it, and how often it is drawn. depth: levels of closed lines inside it."""

    path: Path
    area: Polygon
    items: list[Item] = field(default_factory=list)
    copies: int = 1
    depth: int = 0


@dataclass(slots=True)
class Nest:
    """The parts of a drawing, each of like ones once, and what belongs to none: frames, crumbs, everything else.

    nearly: parts that have the same outline and differ in what is inside.
    """

    parts: list[Outline] = field(default_factory=list)
    nearly: list[tuple[Outline, Outline]] = field(default_factory=list)
    frames: list[Path] = field(default_factory=list)
    crumbs: list[Path] = field(default_factory=list)
    outside: list[Item] = field(default_factory=list)


def nest_of(drawing: Drawing) -> Nest:
    """Return the parts of a drawing. Raises ValueError where nothing in it can be one, or far too much."""
    framed = {item for name, shapes in drawing.layers.items() if names_frame(name) for item in items_of(shapes)}
    closed = _distinct([path for path in drawing.whole.closed if abs(path.area) > 0])
    plain = [path for path in closed if path not in framed]
    framed = framed if plain else set()
    nest = Nest(frames=[path for path in closed if path in framed])
    shapes = _Shapes([path for path in closed if path not in framed], drawing)
    if not shapes.paths:
        raise ValueError(_nothing(drawing))
    shapes.sort_into(nest)
    loose: list[Item] = [*drawing.whole.open, *drawing.whole.points]
    rest = [item for item in loose if item not in framed]
    inner: list[Item] = [path for path in shapes.paths if path not in shapes.settled]
    _fill(nest, [*inner, *rest])
    _merge_alike(nest, layers_of(drawing))
    return nest


def items_of(shapes: LayerShapes) -> list[Item]:
    """Return everything on a layer."""
    return [*shapes.closed, *shapes.open, *shapes.points]


def area_of(path: Path) -> Polygon:
    """Return what a closed line encloses; of a line that crosses itself the largest loop."""
    area = make_valid(path.to_polygon(0.01))
    polygons = [part for part in get_parts(area) if part.geom_type == "Polygon"]
    largest: Polygon = max(polygons, key=lambda part: part.area)
    return largest


def _distinct(paths: Sequence[Path]) -> list[Path]:
    return list(dict.fromkeys(paths))


def _nothing(drawing: Drawing) -> str:
    closed = drawing.whole.closed
    if closed:
        x, y = closed[0].start
        return (
            f"no closed line in the drawing encloses anything: the one at ({x:.1f} mm, {y:.1f} mm) crosses itself so "
            "that its halves cancel out, or runs there and back"
        )
    return "no line in the drawing is closed, so that nothing can be the outline of a part"


class _Shapes:
    """Closed lines with their areas, and which lie in which."""

    def __init__(self, paths: Sequence[Path], drawing: Drawing) -> None:
        self.drawing = drawing
        self.paths = sorted(paths, key=lambda path: -abs(path.area))
        self.areas = [area_of(path) for path in self.paths]
        self.settled: set[Path] = set()
        self.inside: dict[int, set[int]] = {index: set() for index in range(len(self.paths))}
        self.crossed: dict[int, set[int]] = {index: set() for index in range(len(self.paths))}
        if not self.paths:
            return
        tree = STRtree(self.areas)
        found = (
            (self.inside, tree.query(self.areas, "covered_by")),
            (self.crossed, tree.query(self.areas, "overlaps")),
        )
        for into, (first, second) in found:
            for one, other in zip(first.tolist(), second.tolist(), strict=True):
                if other < one:  # the larger comes first; of equal ones the first is the outline
                    into[one].add(other)

    def sort_into(self, nest: Nest) -> None:
        """Find the frames, then the parts: what lies in no other line and crosses no larger part."""
        frames = self._frames()
        nest.frames += [self.paths[index] for index in frames]
        chosen: list[int] = []
        for index, path in enumerate(self.paths):
            if index in frames or self.inside[index] - frames or self.crossed[index] & set(chosen):
                continue
            if _reach(path) >= SMALLEST_PART:
                chosen.append(index)
                nest.parts.append(Outline(path, self.areas[index], depth=self._depth(index)))
            else:
                nest.crumbs.append(path)
        if not chosen:
            size = _reach(self.paths[0])
            raise ValueError(
                f"the largest closed line in the drawing is {size:.1f} mm long or wide, too small for a part; look for "
                "an outline that does not close or is hidden, and at the unit"
            )
        if len(chosen) > MOST_PARTS:
            raise ValueError(f"{len(chosen)} closed lines lie beside one another, too many to be parts")
        self.settled = {*nest.frames, *nest.crumbs, *(part.path for part in nest.parts)}

    def _frames(self) -> set[int]:
        """Return the rectangles around everything that have the size of a page, and parts with openings in them.

        A part that fills its page and has but openings in it is no page.
        """
        frames: set[int] = set()
        for index, path in enumerate(self.paths):
            outermost = self.inside[index] <= frames
            if outermost and is_frame(path, "", self.drawing) and self._depth(index) > 1:
                frames.add(index)
        return frames

    def _depth(self, index: int) -> int:
        """Return how many levels of closed lines lie inside one."""
        within = {other for other, inside in self.inside.items() if index in inside}
        return max((len(self.inside[other] & within) + 1 for other in within), default=0)


def _reach(path: Path) -> float:
    return max(path.bounds.width, path.bounds.height)


def _fill(nest: Nest, items: Sequence[Item]) -> None:
    """Give every part what lies inside it, also in part; the rest is outside."""
    from kitforge.geometry.region import line_of

    inner = [buffered(part.area, -_INSIDE) for part in nest.parts]
    for area in inner:
        prepare(area)
    for item in items:
        shape = line_of(item, 0.01) if isinstance(item, Path) else ShapelyPoint(*item)
        part = next((part for part, area in zip(nest.parts, inner, strict=True) if area.intersects(shape)), None)
        (nest.outside if part is None else part.items).append(item)


def _merge_alike(nest: Nest, layers: Mapping[Item, str]) -> None:
    """Keep of like parts, turned or not, the first one."""
    if len(nest.parts) < 2:
        return
    kept: list[tuple[Outline, Figure]] = []
    for part in nest.parts:
        figure = Figure.of(part.path, part.items, layers)
        like = next((other for other, known in kept if alike(figure, known)), None)
        if like is not None:
            like.copies += 1
            continue
        edge = Figure.of(part.path, (), {})
        twin = next((other for other, _ in kept if alike(edge, Figure.of(other.path, (), {}))), None)
        if twin is not None:
            nest.nearly.append((twin, part))
        kept.append((part, figure))
    nest.parts = [part for part, _ in kept]
