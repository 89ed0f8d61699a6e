"""The drawings of a kit: each read once, its problems as findings, and only where the kit uses it."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

from kitforge.definition import kinds
from kitforge.definition.positions import Place
from kitforge.drawings import kinds as drawing_kinds
from kitforge.drawings.assemble import together
from kitforge.drawings.findings import UsedDrawing, drawing_findings, size_of, source_of
from kitforge.drawings.gaps import nearly_closed, with_closed
from kitforge.drawings.leftovers import MOST_NAMED, TakenOutline, leftover_findings
from kitforge.model.drawing import Drawing, DrawingError, LayerShapes, shown
from kitforge.model.findings import Finding
from kitforge.model.messages import listed, msg
from kitforge.model.path import Path
from kitforge.model.piece import Bounds
from kitforge.resolve.values import ResolveContext, label

if TYPE_CHECKING:
    from kitforge.model.kit import Stock
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

    sheet: ResolveContext
    plugins: Plugins
    files: Mapping[str, bytes]
    read: dict[Reading, UsedDrawing] = field(default_factory=dict)
    outlines: dict[Reading, list[TakenOutline]] = field(default_factory=dict)
    shapes: int = 0

    def layer(self, reading: Reading, names: Sequence[str], place: Place) -> LayerShapes | None:
        """Return the shapes of one or several layers, or None after a finding at `place`."""
        used = self._used(reading, place)
        if used.drawing is None:
            self.sheet.failures += 1
            return None
        found = []
        for name in names:
            key = used.drawing.name_of(name)
            if key is None:
                self._no_layer(used.drawing, name, reading.name, place)
                return None
            found.append(used.drawing.layer(key))
            used.layers[key] = found[-1]
        shapes = found[0] if len(found) == 1 else together(found, reading.join)
        if shapes.is_empty:
            message = msg(
                "{where}: the layer '{layer}' of the drawing '{drawing}' is empty.",
                where=label(place),
                layer=", ".join(names),
                drawing=reading.name,
            )
            self.sheet.report(kinds.LAYER_MISSING, place, message, msg("Draw on it, or name another layer."))
        return shapes

    def take(self, reading: Reading, shapes: LayerShapes) -> None:
        """Remember what an outline or an operation takes from a drawing."""
        self.read[reading].taken.append(shapes)

    def take_outline(self, reading: Reading, outline: TakenOutline) -> None:
        """Remember an outline, to be compared with what is left around it."""
        self.outlines.setdefault(reading, []).append(outline)

    def first_change(self, reading: Reading, names: Sequence[str]) -> bool:
        """Return whether nothing was told yet of a change of one of these layers, and remember that it is now."""
        used = self.read[reading]
        folded = {name.casefold() for name in names}
        first = not folded & used.changed
        used.changed |= folded
        return first

    def stop_at_gap(self, reading: Reading, shapes: LayerShapes, right: Callable[[LayerShapes], bool]) -> bool:
        """Return whether the shapes of layers would be right but for gaps, which are then told as errors.

        right: tells of shapes whether they are what the kit counts on.
        """
        used = self.read[reading]
        gaps = dict(nearly_closed(shapes, used.drawing.problems)) if used.drawing else {}
        for own in (*([path] for path in gaps), list(gaps)):
            if own and right(with_closed(shapes, own)):
                used.stopping |= {gaps[path] for path in own}
                self.sheet.failures += 1
                return True
        return False

    def _no_layer(self, drawing: Drawing, layer: str, name: str, place: Place) -> None:
        message = msg(
            "{where}: the drawing '{drawing}' has no layer '{layer}'.", where=label(place), drawing=name, layer=layer
        )
        left_out = next((one for one in drawing.problems if (one.layer or "").casefold() == layer.casefold()), None)
        near = difflib.get_close_matches(layer, list(drawing.layers), n=1)
        if near:
            advice = msg("Did you mean '{name}'?", name=shown(near[0]))
        elif left_out is not None:
            advice = msg("{reason} Draw what is to be cut where it is read.", reason=left_out.message)
        else:
            named = listed([f"'{shown(one)}'" for one in sorted(drawing.layers)[:MOST_NAMED]])
            advice = msg("There are: {names}.", names=named)
        self.sheet.report(kinds.LAYER_MISSING, place, message, advice)

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
            message = msg("No reader knows what kind of drawing '{name}' is.", name=name)
            self.sheet.report(kinds.DRAWING_UNREADABLE, place, message, msg("Export it as DXF or SVG."))
        return drawing

    def doubt_unit(self, reading: Reading, layers: Sequence[str], outline: Path, stock: Stock, place: Place) -> None:
        """Ask about the unit where a part does not fit its stock as drawn, or is tiny, but not so in another unit."""
        used = self.read.get(reading)
        if reading.unit is not None or used is None or used.drawing is None or not outline.vertices:
            return
        box = outline.bounds
        tiny = max(box.width, box.height) < SMALLEST_PART
        if _fits(box, stock) and not tiny:
            return
        better = next(self._better(reading, used.drawing.unit, layers, stock), None)
        if better is None:
            return
        used.unit_doubted = True
        unit, size = better
        what = msg("very small") if tiny else msg("too large for {stock}", stock=stock.title)
        message = msg(
            "{where}: read in {stated}, this part of '{drawing}' is {size}, {what}. "
            "Read in {unit} it would be {other}.",
            where=label(place),
            stated=used.drawing.unit,
            drawing=reading.name,
            size=size_of(box),
            what=what,
            unit=unit,
            other=size_of(size),
        )
        advice = msg(
            "Was it drawn in {unit}? Then write `units: {unit}` beside `drawing`; if not, write the right one.",
            unit=unit,
        )
        self.sheet.report(drawing_kinds.UNIT_DOUBTFUL, place, message, advice)

    def _better(self, reading: Reading, unit: str, layers: Sequence[str], stock: Stock) -> Iterator[tuple[str, Bounds]]:
        """Yield the units in which the largest closed line of a layer is a likely part of the stock."""
        for other in _OTHER_UNITS:
            if other == unit:
                continue
            try:
                drawing = self.plugins.read_drawing(reading.name, self.files[reading.name], other, reading.join)
                found = [drawing.layer(layer) for layer in layers] if drawing else []
            except (DrawingError, KeyError):
                continue
            boxes = [path.bounds for shapes in found for path in shapes.closed or shapes.open]
            box = max(boxes, key=lambda one: one.width * one.height, default=Bounds(0.0, 0.0, 0.0, 0.0))
            if _fits(box, stock) and max(box.width, box.height) >= LIKELY_PART:
                yield other, box

    def report(self) -> None:
        """Note what is wrong with the drawings where the kit uses them, each problem once."""
        for name in dict.fromkeys(reading.name for reading in self.read):
            same = {one: used for one, used in self.read.items() if one.name == name and used.drawing is not None}
            for finding in drawing_findings(name, list(same.values())):
                self.sheet.add(finding)
            if self.sheet.failures == 0:  # where shapes are missing, those left over mean nothing
                self._report_leftovers(name, same)

    def _report_leftovers(self, name: str, readings: Mapping[Reading, UsedDrawing]) -> None:
        """Note what no part uses. Readings in several units are told apart: their coordinates differ."""
        for unit in dict.fromkeys(reading.unit for reading in readings):
            same = [reading for reading in readings if reading.unit == unit]
            outlines = [one for reading in same for one in self.outlines.get(reading, ())]
            for finding in leftover_findings(name, [readings[reading] for reading in same], outlines):
                self.sheet.add(finding)

    def count(self, shapes: int, copies: int, place: Place) -> bool:
        """Return whether `copies` of so many shapes stay within bounds; a finding if not."""
        before, self.shapes = self.shapes, self.shapes + shapes * copies
        if self.shapes <= MOST_SHAPES:
            return True
        if before <= MOST_SHAPES:
            message = msg(
                "{place}: the kit comes to more than {most_shapes} shapes.", place=label(place), most_shapes=MOST_SHAPES
            )
            self.sheet.report(kinds.TOO_MUCH, place, message, msg("Use fewer rows and columns."))
        self.sheet.failures += 1
        return False


def unreadable(name: str, error: DrawingError) -> Finding:
    """Return the one finding for a drawing that cannot be read, with the line and the entity where they are known."""
    if error.entity and not error.line:
        message = msg(
            "The drawing '{drawing}' cannot be read: {reason} (entity {entity}).",
            drawing=name,
            reason=error.message,
            entity=error.entity,
        )
    else:
        message = msg("The drawing '{drawing}' cannot be read: {reason}.", drawing=name, reason=error.message)
    advice = error.advice or msg("Export it again as DXF or SVG from your drawing program.")
    return kinds.DRAWING_UNREADABLE.new(message, advice, source=source_of(name, error.line))


def _fits(box: Bounds, stock: Stock) -> bool:
    room = (stock.length - 2 * stock.margin, stock.width - 2 * stock.margin)
    return box.width <= room[0] + _SLACK and box.height <= room[1] + _SLACK
