"""What the maker of a kit pays, and what a kit comes to. Money in the currency of the prices."""

from __future__ import annotations

from collections.abc import Mapping

from kitforge.model.record import record

Span = tuple[float, float]
PRICES_FILE = "prices.yaml"
"""What the file beside kit.yaml is called."""


@record
class WoodPriceOf:
    """What a stock costs as it is bought: for a mm² or for a mm³; the other is None."""

    square: float | None
    cube: float | None


@record
class Prices:
    """currency: its three letters; on: the day, YYYY-MM-DD; wood: by stock; finish: for a mm³; hardware: for one, by
    its words; machine, hand: for a second. None and what is left out are unknown, never free of charge."""

    currency: str
    on: str
    wood: Mapping[str, WoodPriceOf]
    finish: float | None
    hardware: Mapping[str, float]
    machine: float | None
    hand: float | None


@record
class CostLine:
    """What is paid for. amount: in words; cost: (low, high) for a whole batch, None where nobody says the price."""

    what: str
    amount: str
    cost: Span | None


@record
class Cost:
    """What a batch of a kit costs its maker. pieces: how many kits it is."""

    prices: Prices
    pieces: int
    lines: tuple[CostLine, ...]

    @property
    def total(self) -> Span:
        """(low, high) of all lines whose price is known."""
        known = [line.cost for line in self.lines if line.cost is not None]
        return sum(low for low, _high in known), sum(high for _low, high in known)

    @property
    def unknown(self) -> tuple[str, ...]:
        """What has no price."""
        return tuple(line.what for line in self.lines if line.cost is None)
