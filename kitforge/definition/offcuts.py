"""The schema of offcuts.yaml: pieces that lie in the shop. It is no part of a kit and goes into no pack."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from kitforge.definition.shapes import Entry, Shape
from kitforge.definition.values import Key, Length, Text, Title
from kitforge.model.errors import RefusedValueError
from kitforge.model.messages import msg

MOST_OFFCUTS = 100


class OffcutEntry(Entry):
    """One piece: what it is of, how thick it measures, which way its grain runs, its outline and what is bad in it."""

    material: Text
    thickness: Length = Field(description="As measured, not as it is called.")
    outline: Shape
    grain: Literal["length", "width", "none"] = Field(
        default="length", description="Along x of the outline, along y, or neither."
    )
    margin: Length = Field(default="10 mm", description="How far parts stay from its edge.")
    bad: list[Shape] = Field(default=[], max_length=50, description="Knots, holes, screws: areas to avoid.")
    title: Title | None = None

    @model_validator(mode="after")
    def _drawn_here(self) -> OffcutEntry:
        for shape in (self.outline, *self.bad):
            if shape.layer is not None or shape.text is not None:
                raise RefusedValueError(msg("an offcut is drawn by measures, not by a drawing or a text"))
        return self


class OffcutsFile(Entry):
    """The offcuts of a shop, each under a name of its own."""

    offcuts: Annotated[dict[Key, OffcutEntry], Field(min_length=1, max_length=MOST_OFFCUTS)]
    units: Literal["mm", "in"] = "mm"
