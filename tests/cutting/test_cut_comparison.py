"""Our windows beside the published charts."""

from __future__ import annotations

import pytest
from write_comparison import README, comparison_table, readme_with_table

from kitforge.cutting.settings import settings
from kitforge.model.settings import Cut, CutSettings, CutterGeometry, CutterKind, TroubleCode, Work
from kitforge.model.workshop import Workshop
from kitforge.workshop.cutting_data import CuttingData


def test_table_in_the_readme_is_current() -> None:
    """The README of the room holds what tests/tools/write_comparison.py writes."""
    text = README.read_text(encoding="utf-8")
    assert readme_with_table(text) == text


def test_every_chart_row_and_material_is_compared(data: CuttingData) -> None:
    """One line per diameter and material of each chart, and one per material of the V-groove chart."""
    wanted = sum(len(row.kinds) for chart in data.chip_charts for row in chart.rows) + len(data.v_groove_chip_load)
    assert len(comparison_table().splitlines()) == wanted + 2


def test_starts_beside_the_published_charts() -> None:
    """Charts bound nothing, but where one is for the cutter and the wood at hand we are not hotter than it.

    Solid wood, a spiral of 2 flutes at 18 000 min-1, depth of one diameter: "Speed chart of a cutter maker:
    solid-carbide spiral, 2 flutes, solid wood", v5. Starts lie below its middle, high ends at most a fifth above it.
    """
    for line in comparison_table().splitlines()[2:]:
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        if cells[0] != "spiral":
            continue
        low, high = (float(figure) for figure in cells[3].split("-"))
        softwood = 1.15 if cells[1].startswith("softwood") else 1.0
        for cell in (one for one in cells[4:] if "-" in one):
            _least, start, most = (float(figure) for figure in cell.split(",")[0].split("-"))
            assert start <= (low + high) / 2, line
            assert most <= 1.2 * high * softwood, line


@pytest.mark.parametrize(("size", "beyond"), [(1.0, True), (1.5, False), (6.35, False), (25.0, False), (40.0, True)])
def test_diameters_outside_the_ranges_are_marked(size: float, beyond: bool, shop: Workshop, data: CuttingData) -> None:
    """1 mm and 40 mm are drawn on from the nearest and say so."""
    cutter = CutterGeometry(CutterKind.UP_CUT, size, 4 * size, 6.35, 4 * size + 40, 2)
    found = settings(
        Cut(Work.PROFILE, 0.2), cutter, shop.materials["american_basswood"], shop.machines["extra_heavy_router"], data
    )
    assert isinstance(found, CutSettings)
    assert (TroubleCode.BEYOND_TABLE in {note.trouble for note in found.notes}) == beyond
