"""The charts of the cutting tables as plain rows of numbers, for the worksheet and for pages alike."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from kitforge.model.identity import IdentityKey
from kitforge.model.workshop import MaterialKind
from kitforge.workshop.cutting_data import ChipChart, CuttingData, StartingRange

Rows = tuple[tuple[float, ...], ...]
SPIRAL, RIGID = "spiral_solid_wood", "rigid_machine"


@dataclass(frozen=True, slots=True)
class Tables:
    """Rows of numbers, the first of each row being what they are looked up by.

    spiral, rigid: (diameter, lowest, highest feed per tooth) by kind of material, from a row of zeros on, so that chips
    shrink in proportion below the smallest diameter. ranges: (largest diameter, lowest and highest feed per tooth over
    diameter, smallest diameter). derating: (depth over diameter, factor). speeds: (largest diameter, min-1).
    """

    spiral: Mapping[str, Rows]
    rigid: Mapping[str, Rows]
    ranges: Rows
    derating: Rows
    speeds: Rows


def tables_of(data: CuttingData) -> Tables:
    """Return the charts of the cutting tables as rows. Raises KeyError when a chart is missing."""
    return _tables_of(IdentityKey(data))


@lru_cache(maxsize=8)
def _tables_of(same: IdentityKey[CuttingData]) -> Tables:
    data = same.one
    charts = {chart.key: chart for chart in data.chip_charts}
    return Tables(
        spiral=_by_kind(charts[SPIRAL]),
        rigid=_by_kind(charts[RIGID]),
        ranges=tuple(_range(row) for row in data.starting_ranges),
        derating=tuple((row.ap_over_d, row.factor.value) for row in data.depth_derating),
        speeds=tuple((row.diameter_max, row.rpm.value) for row in data.speed_limits),
    )


def _range(row: StartingRange) -> tuple[float, ...]:
    return row.diameter_high, row.fz_over_d.low, row.fz_over_d.high, row.diameter_low


def _by_kind(chart: ChipChart) -> Mapping[str, Rows]:
    found: dict[str, Rows] = {}
    for kind in MaterialKind:
        rows = tuple((row.diameter, row.low, row.high) for row in chart.rows if kind in row.kinds)
        if rows:
            found[kind.value] = ((0.0, 0.0, 0.0), *rows)
    return MappingProxyType(found)
