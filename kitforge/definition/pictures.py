"""How pictures show the finished piece, as an author writes it, and what stands beside the wood in them."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from kitforge.definition.shapes import Entry
from kitforge.definition.together import X_RUNS, Direction, Spot, TurnEntry
from kitforge.definition.values import Length, OwnTitle, Point
from kitforge.model.errors import RefusedValueError
from kitforge.model.messages import msg

MOST_BESIDE, MOST_PLACES, MOST_POINTS = 40, 100, 60


class StandInEntry(Entry):
    """A thing that belongs to the piece without being cut: a `ball`, a `turned` thing, or a flat `plate`."""

    ball: Length | None = Field(default=None, description="Diameter of a ball; it lies with its middle `at` a place.")
    turned: Annotated[list[Point], Field(min_length=2, max_length=MOST_POINTS)] | None = Field(
        default=None, description="[radius, height] of its outside, from the foot of its axis up."
    )
    plate: Annotated[list[Point], Field(min_length=3, max_length=MOST_POINTS)] | None = Field(
        default=None, description="Corners of a flat thing, counter-clockwise."
    )
    thick: Length | None = Field(default=None, description="How thick a plate is.")
    at: Annotated[list[Spot], Field(min_length=1, max_length=MOST_PLACES)] = Field(
        description="Places, each [x, y, z]; one thing stands at each."
    )
    face: Direction = Field(default="up", description="Which way a plate's face, or a turned thing's axis, looks.")
    turn: TurnEntry = TurnEntry()
    colour: Annotated[str, Field(pattern=r"^#[0-9a-f]{6}$")] = Field(description="As '#rrggbb'.")
    of: Literal["ceramic", "glass", "metal", "paper", "plastic", "wood"] = Field(
        default="plastic", description="What it looks like it is made of."
    )
    step: Annotated[int, Field(ge=1, le=1000)] | None = Field(
        default=None, description="The assembly step that puts it in, from 1; without it only covers show it."
    )
    for_: OwnTitle | None = Field(default=None, alias="for", description="What it is, e.g. the saucer.")

    @model_validator(mode="after")
    def _one_shape(self) -> StandInEntry:
        if sum(shape is not None for shape in (self.ball, self.turned, self.plate)) != 1:
            raise RefusedValueError(msg("give one shape: a `ball`, a `turned` thing or a `plate`"))
        if (self.plate is None) != (self.thick is None):
            raise RefusedValueError(msg("a `plate` is so and so `thick`, and nothing else is"))
        return self

    @property
    def x_runs(self) -> str:
        """Which way its x runs, as usual for its face."""
        return X_RUNS[self.face]


class PicturesEntry(Entry):
    """How pictures show the finished piece."""

    pose: Literal["lying", "upright"] | None = Field(
        default=None, description="How a piece of one part is shown: lying on a table, or upright on the wall."
    )
    beside: list[StandInEntry] = Field(
        default=[], max_length=MOST_BESIDE, description="What belongs to the piece without being cut."
    )
