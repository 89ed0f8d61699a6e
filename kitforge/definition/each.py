"""`each` in kit.yaml: one part written once, cut in several pieces that differ by a few values."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from kitforge.definition.shapes import Entry
from kitforge.definition.values import Length, OwnTitle, ParameterName

MOST_PIECES = 40
"""Pieces of one part; each of them is a part to all that follows (a bound of taste, no source)."""


def piece_key(part: str, piece: str) -> str:
    """Return the key by which a piece is a part: that of the part as written, and its own."""
    return f"{part}-{piece}"


class PieceEntry(Entry):
    """A piece of a part: what it is called, the parameters that differ for it, and how many there are."""

    title: OwnTitle | None = Field(default=None, description="What the piece is called; else its key.")
    set: dict[ParameterName, Length] = Field(
        default={}, max_length=200, description="Parameters that differ for this piece, with their values."
    )
    count: Annotated[int, Field(ge=1, le=1000)] | None = Field(
        default=None, description="How many of this piece; else the part's count."
    )
