"""The drawings of a kit: each read once, its problems as findings, and only where the kit uses it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

from kitforge.definition import drawing_kinds, kinds
from kitforge.definition.positions import Place
from kitforge.findings import Finding, Source
from kitforge.geometry.drawing import Drawing, DrawingError, LayerShapes
from kitforge.geometry.path import Path
from kitforge.geometry.piece import Bounds
from kitforge.stages.drawing_findings import UsedDrawing, drawing_findings, size_of
from kitforge.stages.resolve_values import Sheet, label

if TYPE_CHECKING:
    from kitforge.kit import Stock
    from kitforge.plugins import Plugins

MOST_SHAPES = 4_000
SMALLEST_PART = 12.0
"""A part whose longer side is less, in mm, was probably drawn in another unit. Common practice, no source."""

LIKELY_PART = 40.0
"""A part whose longer side is at least this, in mm, is a likely one. Common practice, no source."""

_OTHER_UNITS = ("mm", "in", "cm", "m")
_SLACK = 1e-6


class Reading(NamedTuple):
    """How a drawing is read: which file, in which unit (None: as it says), and up to which gaps ends are joined, mm."""

    name: str
    unit: str | None = None
    join: float = 0.0


@dataclass
class Drawings:
    """The drawings of a kit, each read once, and how many shapes the kit has come to so far."""

    sheet: Sheet
    plugins: Plugins
    files: Mapping[str, bytes]
    read: dict[Reading, UsedDrawing] = field(default_factory=dict)
    shapes: int = 0

    def layer(self, reading: Reading, layer: str, place: Place) -> LayerShapes | None:
        """Return the shapes of a layer, or None after a finding at `place`."""
        used = self._used(reading, place)
        if used.drawing is None:
            self.sheet.failures += 1
            return None
        try:
            shapes = used.drawing.layer(layer)
        except KeyError as error:
            self._no_layer(str(error.args[0]), reading.name, place)
            return None
        if shapes.is_empty:
            message = f"{label(place)}: the layer '{layer}' of the drawing '{reading.name}' is empty."
            self.sheet.report(kinds.LAYER_MISSING, place, message, "Draw on it, or name another layer.")
        used.layers[layer] = shapes
        return shapes

    def _no_layer(self, said: str, name: str, place: Place) -> None:
        message, _, advice = said.partition("; ")
        message = message.replace("the drawing", f"the drawing '{name}'", 1)
        message = f"{label(place)}: {message}."
        self.sheet.report(kinds.LAYER_MISSING, place, message, f"{advice[:1].upper()}{advice[1:]}")

    def _used(self, reading: Reading, place: Place) -> UsedDrawing:
        if reading not in self.read:
            self.read[reading] = UsedDrawing(self._read(reading, place))
        return self.read[reading]

    def _read(self, reading: Reading, place: Place) -> Drawing | None:
        name = reading.name
        try:
            drawing = self.plugins.read_drawing(name, self.files[name], reading.unit, reading.join)
        except DrawingError as error:
            self.sheet.add(unreadable(name, error))
            return None
        if drawing is None:
            message = f"No reader knows what kind of drawing '{name}' is."
            self.sheet.report(kinds.DRAWING_UNREADABLE, place, message, "Export it as DXF or SVG.")
        return drawing

    def doubt_unit(self, reading: Reading, layer: str, outline: Path, stock: Stock, place: Place) -> None:
        """Ask about the unit where a part does not fit its stock as drawn, or is tiny, but not so in another unit."""
        used = self.read.get(reading)
        if reading.unit is not None or used is None or used.drawing is None or not outline.vertices:
            return
        box = outline.bounds
        tiny = max(box.width, box.height) < SMALLEST_PART
        if _fits(box, stock) and not tiny:
            return
        better = next(self._better(reading, used.drawing.unit, layer, stock), None)
        if better is None:
            return
        used.unit_doubted = True
        unit, size = better
        what = "very small" if tiny else f"too large for {stock.title}"
        message = (
            f"{label(place)}: read in {used.drawing.unit}, this part of '{reading.name}' is {size_of(box)} mm, {what}. "
            f"Read in {unit} it would be {size_of(size)} mm."
        )
        advice = f"Was it drawn in {unit}? Then write `units: {unit}` beside `drawing`; if not, write the right one."
        self.sheet.report(drawing_kinds.UNIT_DOUBTFUL, place, message, advice)

    def _better(self, reading: Reading, unit: str, layer: str, stock: Stock) -> Iterator[tuple[str, Bounds]]:
        """Yield the units in which the largest closed line of a layer is a likely part of the stock."""
        for other in _OTHER_UNITS:
            if other == unit:
                continue
            try:
                drawing = self.plugins.read_drawing(reading.name, self.files[reading.name], other, reading.join)
                shapes = drawing.layer(layer) if drawing else LayerShapes()
            except (DrawingError, KeyError):
                continue
            boxes = [path.bounds for path in shapes.closed or shapes.open]
            box = max(boxes, key=lambda one: one.width * one.height, default=Bounds(0.0, 0.0, 0.0, 0.0))
            if _fits(box, stock) and max(box.width, box.height) >= LIKELY_PART:
                yield other, box

    def report(self) -> None:
        """Note what is wrong with the drawings where the kit uses them, each problem once."""
        for name in dict.fromkeys(reading.name for reading in self.read):
            same = [used for reading, used in self.read.items() if reading.name == name and used.drawing is not None]
            for finding in drawing_findings(name, same):
                self.sheet.add(finding)

    def count(self, shapes: int, copies: int, place: Place) -> bool:
        """Return whether `copies` of so many shapes stay within bounds; a finding if not."""
        before, self.shapes = self.shapes, self.shapes + shapes * copies
        if self.shapes <= MOST_SHAPES:
            return True
        if before <= MOST_SHAPES:
            message = f"{label(place)}: the kit comes to more than {MOST_SHAPES} shapes."
            self.sheet.report(kinds.TOO_MUCH, place, message, "Use fewer rows and columns.")
        self.sheet.failures += 1
        return False


def unreadable(name: str, error: DrawingError) -> Finding:
    """Return the one finding for a drawing that cannot be read, with the line and the entity where they are known."""
    source = Source(name, error.line, 1) if error.line else Source(name)
    entity = f" (entity {error.entity})" if error.entity and error.entity not in str(error) else ""
    message = f"The drawing '{name}' cannot be read: {str(error).rstrip('.')}{entity}."
    advice = error.advice or "Export it again as DXF or SVG from your drawing program."
    return kinds.DRAWING_UNREADABLE.found(message, advice, source=source)


def _fits(box: Bounds, stock: Stock) -> bool:
    room = (stock.length - 2 * stock.margin, stock.width - 2 * stock.margin)
    return box.width <= room[0] + _SLACK and box.height <= room[1] + _SLACK
