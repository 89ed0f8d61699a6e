"""How panels and boards are sold, per region, and what a saw takes: `data/sold.yaml` as records. Lengths mm."""

from __future__ import annotations

from functools import cache

from kitforge.model.record import record
from kitforge.model.workshop import Fact, Span
from kitforge.workshop.tables import TableRow, table

REGIONS = ("europe", "north_america")
_UNITS = {"europe": "mm", "north_america": "in"}


@record
class Sold:
    """Sizes that can be bought in one region. panels: shorter and longer side; lengths: of boards, by their names."""

    panels: dict[str, Span]
    lengths: dict[str, Fact]


@record
class SoldSizes:
    """kerf: what a saw cut takes; trim: what squaring takes off each end of a board; regions: what is sold where."""

    kerf: Fact
    trim: Fact
    regions: dict[str, Sold]


def region_of(units: str) -> str:
    """Return the region whose sizes are meant where lengths are told in some units first: "mm" or "in"."""
    return next(region for region in REGIONS if _UNITS[region] == units)


def units_of(region: str) -> str:
    """Return in which units lengths are told in a region: "mm" or "in"."""
    return _UNITS[region]


@cache
def sold_sizes() -> SoldSizes:
    """Return the table, read once per process. Raises TableError if the file is wrong."""
    top = table("sold")
    saw, panels, lengths = (top.row(name) for name in ("saw", "panels", "lengths"))
    found = SoldSizes(
        saw.fact("kerf"), saw.fact("trim"), {region: _sold(region, panels, lengths) for region in REGIONS}
    )
    for row in (saw, panels, lengths, top):
        row.done()
    return found


def _sold(region: str, panels: TableRow, lengths: TableRow) -> Sold:
    return Sold(panels.spans(region), lengths.facts(region))
