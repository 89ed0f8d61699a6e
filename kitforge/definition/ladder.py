"""A ladder of actual thicknesses: the drawings that a reader chooses among after measuring the sheet that is there."""

from __future__ import annotations

from pydantic import Field

from kitforge.definition.shapes import Entry
from kitforge.definition.values import Length, ParameterName


class LadderEntry(Entry):
    """Rungs of thickness: a parameter that the stock and every joint follow, from the least to the greatest."""

    of: ParameterName = Field(description="The parameter that each rung sets; `actual` of the stock follows it.")
    from_: Length = Field(alias="from", description="The thinnest rung.")
    to: Length = Field(description="The thickest rung.")
    step: Length = Field(default="0.2 mm", description="From rung to rung.")
