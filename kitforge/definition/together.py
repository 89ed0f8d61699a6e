"""Where the parts stand in the finished piece, as an author writes it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Discriminator, Field, Tag, model_validator

from kitforge.definition.shapes import Entry
from kitforge.definition.values import Key, Length, Number, list_or_value
from kitforge.model.errors import RefusedValueError
from kitforge.model.messages import msg, series

Direction = Literal["right", "left", "back", "front", "up", "down"]
AXES = {"right": 0, "left": 0, "back": 1, "front": 1, "up": 2, "down": 2}
# Seen straight at its face, x runs to the right: y is then up, and away from you where the face looks up.
X_RUNS = {"up": "right", "down": "right", "front": "right", "right": "back", "back": "left", "left": "front"}
MOST_STANDING = 200

Spot = Annotated[
    list[Length],
    Field(min_length=3, max_length=3, description="[x, y, z]: to the right, away from you, up, in the finished piece."),
]


class TurnEntry(Entry):
    """Degrees about the x, y and z of the finished piece, in this order; counter-clockwise seen against the axis."""

    x: Number = 0
    y: Number = 0
    z: Number = 0


class StandingEntry(Entry):
    """Where one copy of a part stands: its origin (`at`) or its middle (`centre`), and which way its `face` looks."""

    part: Key
    at: Spot | None = Field(default=None, description="Where the origin of the part's drawing, on its face, lies.")
    centre: Spot | None = Field(default=None, description="Where the middle of the part's face lies.")
    face: Direction = Field(default="up", description="Which way the face that is up while it is cut looks.")
    x: Direction | None = Field(default=None, description="Which way the x of the part's drawing runs.")
    turn: TurnEntry = TurnEntry()
    pull: (
        Annotated[
            Annotated[Direction, Tag("~value")] | Annotated[Spot, Tag("~list")],
            Discriminator(list_or_value),
        ]
        | None
    ) = Field(default=None, description="Which way it is pulled off in pictures: a direction, or [x, y, z].")
    step: Annotated[int, Field(ge=1, le=1000)] | None = Field(
        default=None, description="The assembly step that puts it in, from 1; the first one that names the part."
    )

    @model_validator(mode="after")
    def _one_place(self) -> StandingEntry:
        if (self.at is None) == (self.centre is None):
            raise RefusedValueError(
                msg("give either `at`, where the drawing's origin lies, or `centre`, the middle of the part")
            )
        return self

    @model_validator(mode="after")
    def _square(self) -> StandingEntry:
        if AXES[self.face] == AXES[self.x_runs]:
            raise RefusedValueError(
                msg(
                    "a face that looks {face} has no x that runs {x_runs}; write one of {names}",
                    face=self.face,
                    x_runs=self.x_runs,
                    names=series((way for way, axis in AXES.items() if axis != AXES[self.face])),
                )
            )
        return self

    @property
    def x_runs(self) -> str:
        """Which way x runs, as written or as usual for the face."""
        return self.x or X_RUNS[self.face]
