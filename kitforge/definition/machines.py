"""A machine of the author's own in kit.yaml, or of a reader in a file."""

from __future__ import annotations

from typing import Annotated

from pydantic import Discriminator, Field, Tag

from kitforge.definition.shapes import Entry
from kitforge.definition.values import Collet, Feed, Length, Number, Point, Title, list_or_value

Range = Annotated[list[Number], Field(min_length=2, max_length=2, description="[lowest, highest]")]
LengthRange = Annotated[list[Length], Field(min_length=2, max_length=2, description="[lowest, highest]")]
NumberOrRange = Annotated[
    Annotated[Number, Tag("~value")] | Annotated[Range, Tag("~list")], Discriminator(list_or_value)
]
LengthOrRange = Annotated[
    Annotated[Length, Tag("~value")] | Annotated[LengthRange, Tag("~list")], Discriminator(list_or_value)
]
ColletOrRange = Annotated[
    Annotated[Collet, Tag("~value")] | Annotated[LengthRange, Tag("~list")], Discriminator(list_or_value)
]


class MachineEntry(Entry):
    """A machine of the author's own: a class it is like, and what is different. Ranges are [lowest, highest]."""

    like: Title | None = Field(default=None, description="The machine class to start from; the nearest if left out.")
    name: Title | None = None
    about: Title | None = None
    area: Point | None = Field(default=None, description="Travel along x and y.")
    z_travel: LengthOrRange | None = None
    clearance: LengthOrRange | None = Field(default=None, description="Height under the gantry.")
    rpm: Range | None = Field(default=None, description="Lowest and highest speed, min-1.")
    dial: Annotated[dict[str, Number], Field(min_length=1, max_length=40)] | None = Field(
        default=None, description="The positions of the speed dial with their speeds, min-1."
    )
    power: NumberOrRange | None = Field(default=None, description="Power at the cutter, W.")
    force_limit: Number | None = Field(default=None, description="Side force before the machine visibly gives way, N.")
    force_class: Title | None = Field(default=None, description="Takes the side force of this machine class.")
    feed_limit: Feed | None = None
    plunge_limit: Feed | None = None
    acceleration: NumberOrRange | None = Field(default=None, description="Acceleration, mm/s2.")
    collets: Annotated[list[ColletOrRange], Field(min_length=1, max_length=40)] | None = Field(
        default=None, description="Shank diameters, names such as ER11, or [lowest, highest]."
    )
    nut: Length | None = Field(default=None, description="Width of the collet nut.")
