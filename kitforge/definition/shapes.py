"""Shapes as an author writes them: one key names the kind, the value says its measures."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from kitforge.definition.values import Key, Length, Number, Point, Text, Title


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
    sides: Annotated[int, Field(ge=3, le=120)]
    across_flats: Length | None = None
    diameter: Length | None = None
    angle: Number = 0


class Corner(Entry):
    """A vertex of a polyline: where it goes `to`, over an arc `through` a point, or rounded with a `radius`."""

    to: Point
    through: Point | None = None
    radius: Length | None = None


class Polyline(Entry):
    """Straight lines and arcs from vertex to vertex."""

    points: Annotated[list[Point | Corner], Field(min_length=2, max_length=20000)]
    closed: bool = False


class DrawingLayer(Entry):
    """Everything on a layer (or group, by id or name) of a drawing beside kit.yaml."""

    name: Title
    drawing: Text | None = None


class GridArray(Entry):
    """A shape repeated in columns and rows with a `spacing` [dx, dy]."""

    of: Shape
    columns: Annotated[int, Field(ge=1, le=500)] = 1
    rows: Annotated[int, Field(ge=1, le=500)] = 1
    spacing: Point


class RingArray(Entry):
    """A shape repeated around a centre; `angle` is the whole sweep in degrees, a full turn unless given."""

    of: Shape
    count: Annotated[int, Field(ge=1, le=1000)]
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
    path: Text | None = Field(default=None, description="Path data as in SVG (M L H V A C Q Z), in mm, y upwards.")
    points: Annotated[list[Point], Field(min_length=1, max_length=5000)] | None = None
    layer: DrawingLayer | Title | None = None
    array: GridArray | None = None
    ring: RingArray | None = None
    mirror: Mirror | None = None
    move: Point | None = Field(default=None, description="Moves the shape by [dx, dy].")
    name: Key | None = None

    @model_validator(mode="after")
    def _one_kind(self) -> Shape:
        kinds = [key for key in _KINDS if getattr(self, key) is not None]
        if len(kinds) != 1:
            said = " and ".join(kinds) if kinds else "none"
            raise ValueError(f"a shape needs exactly one kind (rectangle, circle, slot, ...), found {said}")
        return self

    @property
    def kind(self) -> str:
        """The key that names the kind of shape."""
        return next(key for key in _KINDS if getattr(self, key) is not None)


_KINDS = tuple(key for key in Shape.model_fields if key not in ("move", "name"))
for _model in (GridArray, RingArray, Mirror):
    _model.model_rebuild()
