"""Shapes as an author writes them: one key names the kind, the value says its measures."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Discriminator, Field, Tag, model_validator

from kitforge.definition.values import Key, Length, Number, PathData, Point, Text, Title, Whole, Words, mapping_or_value
from kitforge.model.errors import RefusedValueError
from kitforge.model.messages import listed, msg, series


class Entry(BaseModel):
    """What every mapping of kit.yaml shares: unknown keys are refused, values are not converted."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, allow_inf_nan=False)


class Rectangle(Entry):
    """A rectangle by its lower left corner (`at`) or its `centre`; `angle` turns it about its centre, degrees."""

    size: Point
    at: Point | None = None
    centre: Point | None = None
    corner_radius: Length = 0
    angle: Number = 0

    @model_validator(mode="after")
    def _one_place(self) -> Rectangle:
        if self.at is not None and self.centre is not None:
            raise RefusedValueError(msg("give a rectangle either its lower left corner (at) or its centre"))
        return self


class Circle(Entry):
    """A circle by centre and diameter."""

    centre: Point
    diameter: Length


class SlotShape(Entry):
    """A slot with round ends, between the two end-arc centres `start` and `end`."""

    start: Point
    end: Point
    width: Length


class RegularPolygon(Entry):
    """A regular polygon; give `across_flats` or `diameter` (through the corners)."""

    centre: Point
    sides: Whole
    across_flats: Length | None = None
    diameter: Length | None = None
    angle: Number = 0

    @model_validator(mode="after")
    def _one_size(self) -> RegularPolygon:
        if (self.across_flats is None) == (self.diameter is None):
            raise RefusedValueError(msg("give a polygon either across_flats or diameter"))
        return self


class CornerEntry(Entry):
    """A vertex of a polyline: where it goes `to`, over an arc `through` a point, or rounded with a `radius`."""

    to: Point
    through: Point | None = None
    radius: Length | None = None


PointOrCorner = Annotated[
    Annotated[Point, Tag("~list")] | Annotated[CornerEntry, Tag("~mapping")],
    Discriminator(lambda value: "~mapping" if mapping_or_value(value) == "~mapping" else "~list"),
]


class Polyline(Entry):
    """Straight lines and arcs from vertex to vertex."""

    points: Annotated[list[PointOrCorner], Field(min_length=2, max_length=20000)]
    closed: bool = False


class TextArc(Entry):
    """A base line on a circle: its text stands on it outside, or with `inside` hangs into it, as along a lower rim."""

    centre: Point
    radius: Length
    start: Number = Field(
        default=90, description="Where on the circle the text starts, is centred or ends, degrees from the x axis."
    )
    inside: bool = False


class TextShape(Entry):
    """Text as closed outlines; `height` is that of a capital. `font` is a file beside kit.yaml or a shipped weight."""

    write: Words
    height: Length
    at: Point | None = None
    on_arc: TextArc | None = None
    align: Literal["left", "centre", "right"] = "left"
    spacing: Length = Field(default=0, description="Added between the characters.")
    leading: Number = Field(default=1.8, description="From base line to base line, in heights.")
    angle: Number = 0
    font: Title = Field(default="Regular", description="A .ttf or .otf file, or ExtraLight, Light, Regular ... Black.")
    mirror: bool = Field(default=False, description="Reads right from behind: for the bottom face.")
    within: Point | None = Field(
        default=None, description="[width, height] that the drawn text, as it lies, must fit into; more is an error."
    )

    @model_validator(mode="after")
    def _one_place(self) -> TextShape:
        if self.on_arc is not None and (self.at is not None or "angle" in self.model_fields_set):
            raise RefusedValueError(msg("text on an arc takes its place from on_arc; leave `at` and `angle` out"))
        return self

    @property
    def font_file(self) -> str | None:
        """The font's file name; None for a shipped weight."""
        return self.font if self.font.lower().endswith((".ttf", ".otf")) else None


LayerNames = Annotated[
    Annotated[list[Title], Field(min_length=1, max_length=50), Tag("~list")] | Annotated[Title, Tag("~value")],
    Discriminator(lambda value: "~list" if isinstance(value, list) else "~value"),
]


class DrawingLayer(Entry):
    """What is on a layer (or group, by id or name) of a drawing beside kit.yaml: all of it, or `only` one sort.

    With several names the layers count as one, and lines that end on one are joined with those that go on on another.
    """

    name: LayerNames
    drawing: Text | None = None
    only: Literal["largest", "smaller", "closed", "circles", "open", "points"] | None = Field(
        default=None,
        description="largest: the closed line of the largest area; closed: closed lines that are no circles; smaller: "
        "the same without the largest line; circles: full circles; open: open lines; points.",
    )
    diameter: Length | None = Field(default=None, description="Only circles of this diameter.")
    count: Whole | None = Field(
        default=None, description="How many shapes and points that should be; another number is an error."
    )
    size: Point | None = Field(
        default=None, description="Width and height of the box around them; more than 0.1 mm off is an error."
    )

    @property
    def names(self) -> tuple[str, ...]:
        """The names of the layers."""
        return tuple(self.name) if isinstance(self.name, list) else (self.name,)


LayerName = Annotated[
    Annotated[DrawingLayer, Tag("~mapping")] | Annotated[Title, Tag("~value")],
    Discriminator(mapping_or_value),
]


class GridArray(Entry):
    """A shape repeated in columns and rows with a `spacing` [dx, dy]."""

    of: Shape
    columns: Whole = 1
    rows: Whole = 1
    spacing: Point


class RingArray(Entry):
    """A shape repeated around a centre; `angle` is the whole sweep in degrees, a full turn unless given."""

    of: Shape
    count: Whole
    centre: Point
    angle: Number = 360


class Mirror(Entry):
    """A shape mirrored: across the vertical line x = `at` or the horizontal line y = `at`; kept with `keep`."""

    of: Shape
    across: Literal["x", "y"]
    at: Length = 0
    keep: bool = True


class Shape(Entry):
    """One shape. Exactly one key (or `move` beside it)."""

    rectangle: Rectangle | None = None
    circle: Circle | None = None
    slot: SlotShape | None = None
    polygon: RegularPolygon | None = None
    polyline: Polyline | None = None
    path: PathData | None = Field(default=None, description="Path data as in SVG (M L H V A C Q Z), in mm, y upwards.")
    text: TextShape | None = None
    points: Annotated[list[Point], Field(min_length=1, max_length=5000)] | None = None
    layer: LayerName | None = None
    array: GridArray | None = None
    ring: RingArray | None = None
    mirror: Mirror | None = None
    move: Point | None = Field(default=None, description="Moves the shape by [dx, dy].")
    name: Key | None = None

    @model_validator(mode="after")
    def _one_kind(self) -> Shape:
        kinds = [key for key in _KINDS if getattr(self, key) is not None]
        if len(kinds) != 1:
            said = listed(kinds) if kinds else msg("none")
            raise RefusedValueError(
                msg("a shape needs exactly one of {names}; found {said}", names=series(_KINDS), said=said)
            )
        return self

    @property
    def kind(self) -> str:
        """The key that names the kind of shape."""
        return next(key for key in _KINDS if getattr(self, key) is not None)


_KINDS = tuple(key for key in Shape.model_fields if key not in ("move", "name"))
for _model in (GridArray, RingArray, Mirror):
    _model.model_rebuild()
