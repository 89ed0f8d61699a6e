"""What a kit needs to work, as an author writes it: one key names the kind of need, the value says what it asks for."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Discriminator, Field, Tag, model_validator

from kitforge.definition.shapes import Entry
from kitforge.definition.values import Key, Length, OwnTitle, Point, Whole, list_or_value
from kitforge.model.errors import RefusedValueError
from kitforge.model.messages import listed, msg, series

Features = Annotated[list[Key], Field(min_length=1, max_length=40)]


class NeedOf(Entry):
    """What every need shares: the part, and what it is for, which the messages say."""

    part: Key
    for_: OwnTitle | None = Field(default=None, alias="for", description="What it is for, e.g. the cable.")


class PassageEntry(NeedOf):
    """A way that must be open: from a feature to another one, or out of the part."""

    from_: Key = Field(alias="from", description="The feature it begins in: an operation of the part.")
    to: Key = Field(
        default="outside", description="Another operation of the part, or outside (beside the part), top, bottom."
    )
    width: Length | None = None
    height: Length | None = Field(default=None, description="As much as the width, if left out.")
    diameter: Length | None = Field(default=None, description="For something round, instead of width and height.")

    @model_validator(mode="after")
    def _one_size(self) -> PassageEntry:
        if (self.width is None) == (self.diameter is None) or (self.diameter is not None and self.height is not None):
            raise RefusedValueError(msg("give a passage either width (and height) or diameter"))
        return self


class HoldsEntry(NeedOf):
    """A thing that must sit in a feature, with clearance all around."""

    in_: Key = Field(alias="in", description="The feature: an operation of the part.")
    diameter: Length | None = None
    size: Point | None = Field(default=None, description="[length, width] of something rectangular.")
    height: Length | None = None
    clearance: Length = 0
    proud: Length = Field(default=0, description="How far it may stand out at most.")
    sunk: Length | None = Field(default=None, description="How far it may lie below the face at most.")

    @model_validator(mode="after")
    def _one_size(self) -> HoldsEntry:
        if (self.diameter is None) == (self.size is None):
            raise RefusedValueError(msg("give what it holds either a diameter or a size"))
        return self


class SlotPlace(Entry):
    """A slot: an operation of a part, and `at` a point in it where the operation cuts more than this slot."""

    part: Key
    feature: Key
    at: Point | None = None


class EdgeOf(Entry):
    """What goes into a slot: the edge of a part, as thick as its stock, with the `width` of its tenon."""

    part: Key
    edge: Literal["thickness"] = "thickness"
    width: Length | None = None


class MatesEntry(Entry):
    """A slot that must take the edge or tenon of another part, with play within limits."""

    slot: SlotPlace
    takes: EdgeOf
    clearance: Annotated[list[Length], Field(min_length=2, max_length=2, description="[least, most] play in all.")]
    depth: Length | None = Field(default=None, description="How deep it goes in, for a slot `at` a point.")
    for_: OwnTitle | None = Field(default=None, alias="for", description="What it is for.")


class SpacingEntry(NeedOf):
    """Holes in a row at a pitch, in pairs, or nowhere nearer to each other than `least`, from centre to centre."""

    features: Features
    pitch: Length | None = None
    pairs: Length | None = Field(default=None, description="Two and two so far apart, wherever the pairs lie.")
    least: Length | None = None
    tolerance: Length = "0.1 mm"

    @model_validator(mode="after")
    def _one_rule(self) -> SpacingEntry:
        if sum(rule is not None for rule in (self.pitch, self.pairs, self.least)) != 1:
            raise RefusedValueError(msg("give a spacing one of pitch, pairs or least"))
        return self


class CountEntry(NeedOf):
    """So many holes, pockets or lines in one feature."""

    feature: Key
    count: Whole


class AlignedEntry(NeedOf):
    """Features whose centres lie on one line."""

    features: Features
    along: Literal["x", "y"] | None = Field(default=None, description="The direction of the line; any if left out.")
    tolerance: Length = "0.1 mm"


class KeepsEntry(Entry):
    """Wood that must stay: under the features (`floor`), between them (`wall`), to the edge of the part (`edge`)."""

    part: Key | Annotated[list[Key], Field(min_length=1, max_length=200)] = Field(
        description="A part, a list of parts, or all for every part of the kit."
    )
    for_: OwnTitle | None = Field(default=None, alias="for", description="What it is for, e.g. the cable.")
    features: list[Key] = Field(default=[], max_length=40, description="Which features; all of them if left out.")
    floor: Length | None = None
    wall: Length | None = None
    edge: Length | None = None

    @model_validator(mode="after")
    def _something(self) -> KeepsEntry:
        if self.floor is None and self.wall is None and self.edge is None:
            raise RefusedValueError(msg("give what must stay: floor, wall or edge"))
        return self


Side = Annotated[
    Annotated[Length, Tag("~value")] | Annotated[Point, Tag("~list")],
    Discriminator(list_or_value),
]


class ModuleEntry(Entry):
    """Pieces on one module: each as long as a whole number of pitches, less play, and mixes that fill a field."""

    part: Key | Annotated[list[Key], Field(min_length=1, max_length=40)] = Field(
        description="A part, all of whose pieces are meant, or a list of parts or pieces."
    )
    pitch: Side = Field(description="The module: a length, or [x, y].")
    play: Length = Field(default=0, description="What a piece is smaller than its modules, in all.")
    field: Side = Field(description="What is to be filled, without the play: a length, or [x, y].")
    along: Literal["x", "y"] = Field(default="x", description="Which way the pieces stand in a row; not for [x, y].")
    mixes: Annotated[list[Annotated[dict[Key, Whole], Field(min_length=1, max_length=40)]], Field(min_length=1)] = (
        Field(max_length=40, description="How many of which piece fill the field, each way that is meant to.")
    )
    for_: OwnTitle | None = Field(default=None, alias="for", description="What it is for.")

    @model_validator(mode="after")
    def _same_sides(self) -> ModuleEntry:
        if isinstance(self.pitch, list) != isinstance(self.field, list):
            raise RefusedValueError(msg("give both pitch and field as a length, or both as [x, y]"))
        return self


class NeedEntry(Entry):
    """One need. Exactly one key."""

    passage: PassageEntry | None = None
    holds: HoldsEntry | None = None
    mates: MatesEntry | None = None
    spacing: SpacingEntry | None = None
    count: CountEntry | None = None
    aligned: AlignedEntry | None = None
    keeps: KeepsEntry | None = None
    module: ModuleEntry | None = None

    @model_validator(mode="after")
    def _one_kind(self) -> NeedEntry:
        kinds = [key for key in type(self).model_fields if getattr(self, key) is not None]
        if len(kinds) != 1:
            said = listed(kinds) if kinds else msg("none")
            raise RefusedValueError(
                msg("a need has exactly one of {names}; found {said}", names=series(type(self).model_fields), said=said)
            )
        return self
