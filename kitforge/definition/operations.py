"""The operations of kit.yaml: what is done to a part, with what holds it and what the author insists on."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Discriminator, Field, Tag, model_validator

from kitforge.definition.shapes import Entry, Shape
from kitforge.definition.values import Depth, Feed, Key, Length, Number, OwnTitle, OwnWords, Point, Share, Title
from kitforge.model.errors import RefusedValueError
from kitforge.model.messages import msg


class PassEntry(Entry):
    """What one pass of an operation should be like. Everything left out is computed."""

    cutter: Key | None = None
    stepover: Share | None = None
    depth_per_pass: Length | None = None
    leave_walls: Length | None = None
    leave_floor: Length | None = None
    cusp: Length | None = None


class TabsEntry(Entry):
    """Holding tabs. Count and places are computed unless given; a width that is not given may become larger."""

    count: Annotated[int, Field(ge=1, le=100)] | None = None
    width: Length = "8 mm"
    height: Length = "3 mm"
    at: list[Point] = []


class HoldEntry(Entry):
    """What keeps the part when it is cut free: tabs or an onion skin."""

    tabs: TabsEntry | None = None
    onion_skin: Length | None = None

    @model_validator(mode="after")
    def _one(self) -> HoldEntry:
        if (self.tabs is None) == (self.onion_skin is None):
            raise RefusedValueError(msg("give either tabs or onion_skin"))
        return self


class OverrideEntry(Entry):
    """Settings the author insists on; for the machine classes named, or for all."""

    machines: list[Title] = []
    speed: Number | None = None
    feed: Feed | None = None
    plunge: Feed | None = None
    depth_per_pass: Length | None = None
    stepover: Share | None = None


class OperationEntry(Entry):
    """What every operation shares."""

    name: Key
    cutter: Key
    title: OwnTitle | None = None
    face: Literal["top", "bottom"] = "top"
    roughing: PassEntry | None = None
    finishing: PassEntry | None = None
    settings: (
        Annotated[
            Annotated[list[OverrideEntry], Tag("~list")] | Annotated[OverrideEntry, Tag("~mapping")],
            Discriminator(lambda value: "~list" if isinstance(value, list) else "~mapping"),
        ]
        | None
    ) = None
    note: OwnWords | None = None


class FaceEntry(OperationEntry):
    """Surfacing: takes `depth` off the whole face of the stock, or off the shapes if given."""

    do: Literal["face"]
    depth: Length
    shapes: list[Shape] = []


class PocketEntry(OperationEntry):
    """A pocket with a flat floor; shapes inside shapes stay standing as islands."""

    do: Literal["pocket"]
    shapes: Annotated[list[Shape], Field(min_length=1)]
    depth: Depth
    through_allowance: Length = "0.5 mm"
    corner_relief: Literal["dog-bone", "t-bone"] | None = None
    hold: HoldEntry | None = None


class DishEntry(OperationEntry):
    """A dish with rounded floor edges, cut with a ball-nose or bowl cutter. Points with a ball nose make dimples."""

    do: Literal["dish"]
    shapes: Annotated[list[Shape], Field(min_length=1)]
    depth: Length


class GrooveEntry(OperationEntry):
    """A groove along lines, to a `depth`, or with a V-bit to a `width` at the face."""

    do: Literal["groove"]
    shapes: Annotated[list[Shape], Field(min_length=1)]
    depth: Length | None = None
    width: Length | None = None

    @model_validator(mode="after")
    def _depth_or_width(self) -> GrooveEntry:
        if (self.depth is None) == (self.width is None):
            raise RefusedValueError(msg("give either depth or width"))
        return self


class DrillEntry(OperationEntry):
    """Holes at points, or at the centres of circles, to a depth measured to the full diameter."""

    do: Literal["drill"]
    shapes: Annotated[list[Shape], Field(min_length=1)]
    depth: Depth
    through_allowance: Length | None = None


class ProfileEntry(OperationEntry):
    """A cut along a line: the part's outline unless shapes are given. Through unless a depth is given."""

    do: Literal["profile"]
    shapes: list[Shape] = []
    side: Literal["outside", "inside", "on"] | None = None
    depth: Depth = "through"
    through_allowance: Length = "0.5 mm"
    hold: HoldEntry | None = None
    corner_relief: Literal["dog-bone", "t-bone"] | None = None


class ChamferEntry(OperationEntry):
    """A chamfer of `width` along edges with a V-bit: the part's outline unless shapes are given."""

    do: Literal["chamfer"]
    width: Length
    shapes: list[Shape] = []
    side: Literal["outside", "inside"] = "outside"


class EngraveEntry(OperationEntry):
    """Text and other closed shapes cut with a V-bit along the middle of their strokes, as deep as these are wide."""

    do: Literal["engrave"]
    shapes: Annotated[list[Shape], Field(min_length=1)]
    depth: Length | None = Field(
        default=None, description="The greatest depth; strokes too wide for it are cut along both sides."
    )

    @model_validator(mode="after")
    def _one_pass(self) -> EngraveEntry:
        if self.roughing is not None:
            raise RefusedValueError(msg("an engraving has no roughing pass; leave `roughing` out"))
        return self


OPERATION_NAMES = ("face", "pocket", "dish", "groove", "drill", "profile", "chamfer", "engrave")


def _doing(value: object) -> str | None:
    """Return the tag of the operation that `do` names."""
    do = value.get("do") if isinstance(value, dict) else getattr(value, "do", None)
    return f"~{do}" if isinstance(do, str) and do in OPERATION_NAMES else None


AnyOperation = Annotated[
    Annotated[FaceEntry, Tag("~face")]
    | Annotated[PocketEntry, Tag("~pocket")]
    | Annotated[DishEntry, Tag("~dish")]
    | Annotated[GrooveEntry, Tag("~groove")]
    | Annotated[DrillEntry, Tag("~drill")]
    | Annotated[ProfileEntry, Tag("~profile")]
    | Annotated[ChamferEntry, Tag("~chamfer")]
    | Annotated[EngraveEntry, Tag("~engrave")],
    Discriminator(_doing, custom_error_type="unknown_operation", custom_error_message="unknown kind of operation"),
]
