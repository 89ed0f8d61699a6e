"""Shapes as written to paths and points in mm."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from kitforge.definition import kinds
from kitforge.definition.positions import Place
from kitforge.definition.shapes import CornerEntry, DrawingLayer, GridArray, Mirror, RingArray, Shape
from kitforge.drawings import kinds as drawing_kinds
from kitforge.drawings.layer_choice import only, within
from kitforge.drawings.svg_path import paths_from_data
from kitforge.geometry import shapes as draw
from kitforge.geometry.affine import Affine, mirroring, rotation, translation
from kitforge.geometry.shapes import PolylineVertex as PathCorner
from kitforge.geometry.transform import transformed
from kitforge.model.drawing import LayerShapes
from kitforge.model.messages import msg
from kitforge.model.path import Path
from kitforge.model.piece import Bounds
from kitforge.model.record import record
from kitforge.resolve.drawings import MOST_SHAPES, Drawings, Reading
from kitforge.resolve.expected import Expected
from kitforge.resolve.text import outlines_of
from kitforge.resolve.values import ANYWHERE, ResolveContext, ValueRange, label

T = TypeVar("T")

ANGLE = ValueRange(-3600.0, 3600.0)
_COPIES = ValueRange(1, 1000)
_PIECES_A_SHAPE = 50
JOIN = ValueRange(0.01, 2.0)

_CHANGED = msg("Look at the drawing. If it is right as it is, write what it gives; if not, mend it, or its unit.")


@record
class ResolvedShapes:
    """Paths (closed ones first where a layer gave them) and points in mm."""

    paths: tuple[Path, ...] = ()
    points: tuple[tuple[float, float], ...] = ()

    @property
    def size(self) -> int:
        """How many paths and points there are."""
        return len(self.paths) + len(self.points)


@dataclass(frozen=True)
class ShapeResolver:
    """Draws the shapes of one part.

    drawing, unit: where `layer` shapes are, unless a shape says so, and its unit; join: the largest gap to close, mm;
    box: the part of the drawing from which they are taken.
    """

    sheet: ResolveContext
    drawings: Drawings
    drawing: str | None = None
    unit: str | None = None
    join: float = 0.0
    box: Bounds | None = None

    def draw_all(self, shapes: Iterable[Shape], place: Place) -> ResolvedShapes:
        """Return the paths and points of several shapes."""
        drawn = [self.draw(shape, (*place, index)) for index, shape in enumerate(shapes)]
        return _joined(drawn)

    def draw(self, shape: Shape, place: Place) -> ResolvedShapes:
        """Return the paths and points of a shape; nothing after a finding."""
        before = self.sheet.failures
        make = self._makers[shape.kind](shape, (*place, shape.kind))
        move = self.sheet.point(shape.move, *place, "move") if shape.move is not None else None
        if self.sheet.failures > before:
            return ResolvedShapes()
        drawn = self.sheet.tried(kinds.BAD_SHAPE, (*place, shape.kind), make, ResolvedShapes())
        if self.sheet.failures > before or not self.drawings.count(drawn.size, 1, place):
            return ResolvedShapes()
        return _moved(drawn, translation(*move)) if move else drawn

    @property
    def _makers(self) -> Mapping[str, Callable[[Shape, Place], Callable[[], ResolvedShapes]]]:
        """What works out the measures of each kind of shape at once, and returns what draws it from them."""
        return {
            "rectangle": self._rectangle, "circle": self._circle, "slot": self._slot, "polygon": self._polygon,
            "polyline": self._polyline, "path": self._path, "text": self._text, "points": self._points,
            "layer": self._layer, "array": self._array, "ring": self._ring, "mirror": self._mirror,
        }  # fmt: skip

    def _rectangle(self, shape: Shape, place: Place) -> Callable[[], ResolvedShapes]:
        entry, sheet = _given(shape.rectangle), self.sheet
        size = sheet.point(entry.size, *place, "size")
        at = sheet.point(entry.at, *place, "at") if entry.at is not None else None
        centre = sheet.point(entry.centre, *place, "centre") if entry.centre is not None else None
        radius = sheet.length(entry.corner_radius, *place, "corner_radius", within=ANYWHERE)
        angle = sheet.number(entry.angle, *place, "angle", within=ANGLE)
        return lambda: _one(draw.rectangle(size, at=at, centre=centre, corner_radius=radius, angle=angle))

    def _circle(self, shape: Shape, place: Place) -> Callable[[], ResolvedShapes]:
        entry = _given(shape.circle)
        centre = self.sheet.point(entry.centre, *place, "centre")
        diameter = self.sheet.length(entry.diameter, *place, "diameter")
        return lambda: _one(draw.circle(centre, diameter))

    def _slot(self, shape: Shape, place: Place) -> Callable[[], ResolvedShapes]:
        entry, sheet = _given(shape.slot), self.sheet
        start, end = sheet.point(entry.start, *place, "start"), sheet.point(entry.end, *place, "end")
        width = sheet.length(entry.width, *place, "width")
        return lambda: _one(draw.slot(start, end, width))

    def _polygon(self, shape: Shape, place: Place) -> Callable[[], ResolvedShapes]:
        entry, sheet = _given(shape.polygon), self.sheet
        centre = sheet.point(entry.centre, *place, "centre")
        sides = sheet.whole(entry.sides, *place, "sides", within=ValueRange(3, 120))
        flats = sheet.optional_length(entry.across_flats, *place, "across_flats")
        diameter = sheet.optional_length(entry.diameter, *place, "diameter")
        angle = sheet.number(entry.angle, *place, "angle", within=ANGLE)
        return lambda: _one(draw.regular_polygon(centre, sides, across_flats=flats, diameter=diameter, angle=angle))

    def _polyline(self, shape: Shape, place: Place) -> Callable[[], ResolvedShapes]:
        entry = _given(shape.polyline)
        corners = [self._corner(raw, (*place, "points", index)) for index, raw in enumerate(entry.points)]
        return lambda: _one(draw.polyline(corners, closed=entry.closed))

    def _corner(self, raw: Sequence[str | int | float] | CornerEntry, place: Place) -> PathCorner:
        if not isinstance(raw, CornerEntry):
            return PathCorner(*self.sheet.point(raw, *place))
        to = self.sheet.point(raw.to, *place, "to")
        through = self.sheet.point(raw.through, *place, "through") if raw.through is not None else None
        radius = self.sheet.optional_length(raw.radius, *place, "radius", within=ValueRange(0.0, 10_000.0))
        return PathCorner(*to, through=through, radius=radius or 0.0)

    def _path(self, shape: Shape, _place: Place) -> Callable[[], ResolvedShapes]:
        text = _given(shape.path)
        return lambda: ResolvedShapes(tuple(paths_from_data(text)))

    def _text(self, shape: Shape, place: Place) -> Callable[[], ResolvedShapes]:
        outlines = outlines_of(self.sheet, self.drawings.files, _given(shape.text), place)
        return lambda: self._weighed(outlines(), place)

    def _weighed(self, paths: tuple[Path, ...], place: Place) -> ResolvedShapes:
        """Return the outlines of a text; fine ones count for more, so that hostile fonts cannot fill the memory."""
        pieces = sum(len(path.vertices) for path in paths)
        return ResolvedShapes(paths) if self.drawings.count(pieces // _PIECES_A_SHAPE, 1, place) else ResolvedShapes()

    def _points(self, shape: Shape, place: Place) -> Callable[[], ResolvedShapes]:
        points = self.sheet.points(_given(shape.points), *place)
        return lambda: ResolvedShapes((), points)

    def _layer(self, shape: Shape, place: Place) -> Callable[[], ResolvedShapes]:
        entry = layer_entry(shape)
        reading = self.reading(shape)
        if reading is None:
            missing = msg(
                "{where}: no drawing is named for the layer '{layer}'.",
                where=label(place),
                layer=", ".join(entry.names),
            )
            self.sheet.report(kinds.MISSING_KEY, place, missing, msg("Add `drawing:` to the part."))
            return ResolvedShapes
        diameter = self.sheet.optional_length(entry.diameter, *place, "diameter")
        shapes = self.drawings.layer(reading, entry.names, place)
        if shapes is None:
            return ResolvedShapes
        chosen = only(within(shapes, self.box), entry.only, diameter)
        if not chosen.is_empty:
            self.drawings.take(reading, chosen)
        if not shapes.is_empty:
            self._compare(entry, reading, shapes, diameter, place)
        return lambda: ResolvedShapes((*chosen.closed, *chosen.open), chosen.points)

    def _compare(
        self, entry: DrawingLayer, reading: Reading, shapes: LayerShapes, diameter: float | None, place: Place
    ) -> None:
        """Report, once for a layer, where it gives nothing, or another count or size than the author says it should.

        Where it would be right but for a gap that is told of one of its lines, that is told alone, as an error.
        """
        expected = self._expected(entry, place)

        def chosen(drawn: LayerShapes) -> LayerShapes:
            return only(within(drawn, self.box), entry.only, diameter)

        def right(drawn: LayerShapes) -> bool:
            given = chosen(drawn)
            return not given.is_empty and expected.missed(given, place) is None

        if right(shapes) or self.drawings.stop_at_gap(reading, shapes, right):
            return
        if not (expected.anything or self.drawings.first_change(reading, entry.names)):
            self.sheet.failures += 1
            return
        given = chosen(shapes)
        missed = None if given.is_empty else expected.missed(given, place)
        if missed is not None:
            self.sheet.report(drawing_kinds.CHANGED, (*place, missed[0]), missed[1], _CHANGED)
            return
        message = msg(
            "{where}: on the layer '{layer}' of '{drawing}' nothing is left to take.",
            where=label(place),
            layer=", ".join(entry.names),
            drawing=reading.name,
        )
        advice = msg("Change `only`, `diameter` or `drawing_box`, or leave them out.")
        self.sheet.report(kinds.LAYER_MISSING, place, message, advice)

    def _expected(self, entry: DrawingLayer, place: Place) -> Expected:
        sheet, count = self.sheet, None
        if entry.count is not None:
            count = sheet.whole(entry.count, *place, "count", within=ValueRange(1, MOST_SHAPES))
        return Expected(count, sheet.point(entry.size, *place, "size") if entry.size is not None else None)

    def reading(self, shape: Shape) -> Reading | None:
        """Return which drawing a `layer` shape is taken from, and how it is read; None where no drawing is named."""
        name = (layer_entry(shape).drawing if shape.layer is not None else None) or self.drawing
        return Reading(name, self.unit, self.join) if name is not None else None

    def _array(self, shape: Shape, place: Place) -> Callable[[], ResolvedShapes]:
        entry: GridArray = _given(shape.array)
        columns = self.sheet.whole(entry.columns, *place, "columns", within=_COPIES)
        rows = self.sheet.whole(entry.rows, *place, "rows", within=_COPIES)
        dx, dy = self.sheet.point(entry.spacing, *place, "spacing")
        base = self.draw(entry.of, (*place, "of"))
        steps = ((column * dx, row * dy) for row in range(rows) for column in range(columns))
        return self._repeated(base, columns * rows, (translation(*step) for step in steps), place)

    def _ring(self, shape: Shape, place: Place) -> Callable[[], ResolvedShapes]:
        entry: RingArray = _given(shape.ring)
        count = self.sheet.whole(entry.count, *place, "count", within=_COPIES)
        x, y = self.sheet.point(entry.centre, *place, "centre")
        sweep = self.sheet.number(entry.angle, *place, "angle", within=ValueRange(-360.0, 360.0), unit=" degrees")
        gaps = count if abs(sweep) == 360 else max(1, count - 1)
        base = self.draw(entry.of, (*place, "of"))
        return self._repeated(base, count, (rotation(sweep * k / gaps, x, y) for k in range(count)), place)

    def _mirror(self, shape: Shape, place: Place) -> Callable[[], ResolvedShapes]:
        entry: Mirror = _given(shape.mirror)
        at = self.sheet.length(entry.at, *place, "at", within=ANYWHERE)
        base = self.draw(entry.of, (*place, "of"))
        matrix = mirroring(90.0, x=at) if entry.across == "x" else mirroring(0.0, y=at)
        return lambda: _joined([base] * entry.keep + [_moved(base, matrix, turned=True)])

    def _repeated(
        self, base: ResolvedShapes, copies: int, steps: Iterable[Affine], place: Place
    ) -> Callable[[], ResolvedShapes]:
        if not self.drawings.count(base.size, copies, place):
            return ResolvedShapes
        return lambda: _joined(_moved(base, step) for step in steps)


def layer_entry(shape: Shape) -> DrawingLayer:
    """Return what a `layer` shape asks for, whether it is written as a group or as the layer's name alone."""
    entry = shape.layer
    return entry if isinstance(entry, DrawingLayer) else DrawingLayer(name=str(entry))


def _given(value: T | None) -> T:
    assert value is not None
    return value


def _one(path: Path) -> ResolvedShapes:
    return ResolvedShapes((path,))


def _joined(drawn: Iterable[ResolvedShapes]) -> ResolvedShapes:
    found = list(drawn)
    return ResolvedShapes(
        tuple(path for one in found for path in one.paths), tuple(point for one in found for point in one.points)
    )


def _moved(drawn: ResolvedShapes, matrix: Affine, *, turned: bool = False) -> ResolvedShapes:
    paths = [transformed(path, matrix) for path in drawn.paths]
    if turned:
        paths = [path.reversed() if path.closed else path for path in paths]
    return ResolvedShapes(tuple(paths), tuple(matrix(*point) for point in drawn.points))
