"""An author's own sentences, with what they have their reader use."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Discriminator, Field, Tag

from kitforge.definition.shapes import Entry
from kitforge.definition.values import Key, OwnTitle, OwnWords, line_or_text, mapping_or_value


class UseEntry(Entry):
    """A bench item with its count or its size."""

    item: Key
    count: Annotated[int, Field(ge=1, le=1000)] | None = None
    detail: OwnTitle | None = Field(default=None, description="Which one: its size or its kind.")


AnyUse = Annotated[
    Annotated[Key, Tag("~value")] | Annotated[UseEntry, Tag("~mapping")],
    Discriminator(mapping_or_value),
]
Uses = Annotated[
    list[AnyUse],
    Field(max_length=40, description="What the sentence has its reader use: keys of the bench table, such as mallet."),
]


class LineEntry(Entry):
    """A sentence with what it uses."""

    text: OwnWords
    uses: Uses = Field(default=[])


class FinishingStepEntry(LineEntry):
    """A sentence about the surface, and when it is done."""

    when: Literal["sanding", "before", "between", "after"] = Field(
        default="before", description="While it is sanded, or before, between or after the coats."
    )


AnyLine = Annotated[
    Annotated[OwnWords, Tag("~value")] | Annotated[LineEntry, Tag("~mapping")],
    Discriminator(line_or_text),
]
AnyFinishingStep = Annotated[
    Annotated[OwnWords, Tag("~value")] | Annotated[FinishingStepEntry, Tag("~mapping")],
    Discriminator(line_or_text),
]
