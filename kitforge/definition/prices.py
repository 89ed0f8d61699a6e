"""The schema of prices.yaml: what the maker of a kit pays. It is no part of the kit and goes into no pack."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, model_validator

from kitforge.definition.shapes import Entry
from kitforge.definition.values import Date, Key, Text
from kitforge.model.errors import RefusedValueError
from kitforge.model.messages import msg

Price = Annotated[float, Field(ge=0, le=1_000_000)]


class WoodPrice(Entry):
    """What a stock costs as it is sold, in one of three ways."""

    square_metre: Price | None = Field(default=None, description="Of the sheets or boards that are bought.")
    cubic_metre: Price | None = Field(default=None, description="Boards count with their rough thickness.")
    board_foot: Price | None = Field(default=None, description="144 cubic inches.")

    @model_validator(mode="after")
    def _one_way(self) -> WoodPrice:
        if sum(one is not None for one in (self.square_metre, self.cubic_metre, self.board_foot)) != 1:
            raise RefusedValueError(msg("a wood has one price: square_metre, cubic_metre or board_foot"))
        return self


class HourPrice(Entry):
    """What an hour costs."""

    machine: Price | None = None
    hand: Price | None = None


class PricesFile(Entry):
    """Prices, each for what the kit names so: stocks by their keys, hardware by its words."""

    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$", description="Three letters, as EUR or USD (ISO 4217).")]
    on: Annotated[Date, Field(description="The day of which these prices are.")]
    wood: dict[Key, WoodPrice] = Field(default={}, max_length=100, description="By the key of the stock.")
    finish_litre: Price | None = None
    hardware: dict[Text, Price] = Field(default={}, max_length=500, description="For one, by the words of the kit.")
    hour: HourPrice = Field(default_factory=HourPrice)
