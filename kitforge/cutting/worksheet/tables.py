"""The charts of the cutting tables as plain rows of numbers, for the worksheet and for pages alike."""

from __future__ import annotations

from functools import lru_cache

from kitforge.model.identity import IdentityKey
from kitforge.model.record import record
from kitforge.workshop.cutting_data import CuttingData

Rows = tuple[tuple[float, ...], ...]


@record
class Tables:
    """Rows of numbers, the first of each row being what they are looked up by.

    starts: (diameter, thin and thickest feed per tooth). derating: (depth over diameter, factor). speeds: (largest
    diameter, min-1).
    """

    starts: Rows
    derating: Rows
    speeds: Rows


def tables_of(data: CuttingData) -> Tables:
    """Return the charts of the cutting tables as rows."""
    return _tables_of(IdentityKey(data))


@lru_cache(maxsize=8)
def _tables_of(same: IdentityKey[CuttingData]) -> Tables:
    data = same.one
    return Tables(
        starts=tuple((row.diameter, row.fz.low, row.fz.high) for row in data.starting_chips),
        derating=tuple((row.ap_over_d, row.factor.value) for row in data.depth_derating),
        speeds=tuple((row.diameter_max, row.rpm.value) for row in data.speed_limits),
    )
