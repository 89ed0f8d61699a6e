"""How dry and how damp wood becomes where a piece is used: in a heated house, outdoors, or both."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from kitforge.model.workshop import Fact, Span
from kitforge.workshop.tables import TableRow, table
from kitforge.workshop.wood import equilibrium_moisture


@dataclass(frozen=True, slots=True)
class Indoors:
    """A heated room: its temperature in C, its air from winter to summer in %, and the moisture to buy wood at in %."""

    temperature: Fact
    humidity: Span
    bought: Span

    @property
    def moisture(self) -> tuple[float, float]:
        """What wood settles to in dry winter and damp summer air, %. Wood Handbook, FPL-GTR-190, Eq. 4-5."""
        warm, air = self.temperature.value, self.humidity
        return equilibrium_moisture(warm, air.low), equilibrium_moisture(warm, air.high)


@dataclass(frozen=True, slots=True)
class Outdoors:
    """Outdoors, all moisture contents in %: under cover from the driest to the dampest month of temperate places.

    bought: to buy wood at; desert, rain_coast: the ends of the whole table; wetted: faces in the rain.
    """

    covered: Span
    bought: Span
    desert: Fact
    rain_coast: Fact
    wetted: Fact


@dataclass(frozen=True, slots=True)
class Climate:
    """What wood goes through in a year: its least and its greatest moisture content, %, and where it is."""

    dry: float
    damp: float
    indoors: bool
    outdoors: bool


def climate(*, indoors: bool, outdoors: bool) -> Climate:
    """Return what a piece goes through; one that is used in neither place, as far as is known, in a heated room."""
    rooms, weather = climates()
    indoors = indoors or not outdoors
    ranges = [rooms.moisture] if indoors else []
    ranges += [(weather.covered.low, weather.covered.high)] if outdoors else []
    return Climate(min(low for low, _ in ranges), max(high for _, high in ranges), indoors, outdoors)


@cache
def climates() -> tuple[Indoors, Outdoors]:
    """Return the tables of `data/climates.yaml`, read once per process. Raises TableError if the file is wrong."""
    return read_climates(table("climates"))


def read_climates(top: TableRow) -> tuple[Indoors, Outdoors]:
    """Return the records of a parsed table. Raises TableError on anything missing or unknown."""
    both = top.row("climates")
    top.done()
    rooms, weather = both.row("indoors"), both.row("outdoors")
    both.done()
    air = rooms.row("air")
    indoors = Indoors(air.fact("temperature"), air.span("humidity"), rooms.span("bought"))
    air.done()
    rooms.done()
    facts = (weather.fact(name) for name in ("desert", "rain_coast", "wetted"))
    outdoors = Outdoors(weather.span("covered"), weather.span("bought"), *facts)
    weather.done()
    return indoors, outdoors
