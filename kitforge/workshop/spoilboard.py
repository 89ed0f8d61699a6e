"""The board under the stock: how thick it is taken to be, and how fasteners hold in it. It is taken for fibreboard."""

from __future__ import annotations

from functools import cache

from kitforge.model.record import record
from kitforge.model.workshop import Fact
from kitforge.workshop.cutting_data import entry_as
from kitforge.workshop.tables import table


@record
class Spoilboard:
    """thickness: where the kit does not say, mm; left: of it below the tip of a fastener, mm.

    screw_withdrawal: N per mm2 of diameter times length; brad_share: of what a brad bears in light softwood.
    """

    thickness: Fact
    left: Fact
    screw_withdrawal: Fact
    brad_share: Fact


@cache
def spoilboard() -> Spoilboard:
    """Return the table `data/spoilboard.yaml`, read once per process. Raises TableError if the file is wrong."""
    top = table("spoilboard")
    found = entry_as(Spoilboard, top.row("spoilboard"))
    top.done()
    return found
