"""Families in kit.yaml: `sizes` names sets of parameters, `release` says how they are packed."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from kitforge.definition.shapes import Entry
from kitforge.definition.values import Key, OwnTitle, ParameterName, Raw, Words

MOST_SIZES = 12
"""Sizes of one kit; each is checked, cut and printed by itself (a bound of taste, no source)."""


class SizeEntry(Entry):
    """A size: what it is called, and the parameters that differ from those of the kit."""

    title: OwnTitle | None = Field(default=None, description="What the size is called; else its key.")
    set: dict[ParameterName, Raw] = Field(
        default={}, max_length=200, description="Parameters that differ, with their values in this size."
    )


class TextEntry(Entry):
    """A text that a call or an order may set, such as a name; shapes write it as `{name}`."""

    default: Words = Field(description="What is written where nothing else is set.")
    longest: int = Field(default=40, ge=1, le=400, description="Most characters.")


class ReleaseEntry(Entry):
    """How a kit of several sizes is packed."""

    sizes: Literal["each", "together", "both"] = Field(
        default="each", description="A pack for each size, one with all of them, or both."
    )
    same: list[Key] = Field(
        default=[], max_length=200, description="Parts that must be the same in all sizes, so that they can be swapped."
    )
