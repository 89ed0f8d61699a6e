"""Trial pieces that a reader cuts first: slots for the fit of a joint, grooves for the settings of a step."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from kitforge.definition.needs import SlotPlace
from kitforge.definition.shapes import Entry
from kitforge.definition.values import Key, Length

Fit = Literal["press", "glue", "slip", "moving"]


class CouponEntry(Entry):
    """A fit coupon: slots like those of a joint that `mates` proves, from tight to loose."""

    like: SlotPlace = Field(description="The slot, as a need `mates` names it.")
    fit: Fit = Field(default="slip", description="How the joint is meant to go together.")
    step: Length = Field(default="0.1 mm", description="From slot to slot.")
    slots: Annotated[int, Field(ge=3, le=9)] = Field(default=7, description="How many, an odd number.")


class ProofEntry(Entry):
    """A proof strip: short grooves with the settings of a step at rising feed."""

    part: Key
    operation: Key
    cuts: Annotated[int, Field(ge=3, le=9)] = Field(default=6, description="How many grooves.")
    length: Length = Field(default="60 mm", description="How long each is.")
