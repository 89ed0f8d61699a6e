"""Our windows beside the published charts."""

from __future__ import annotations

import pytest

from kitforge.cutting.comparison import README, comparison_table, readme_with_table
from kitforge.cutting.settings import settings
from kitforge.cutting.worksheet.functions import chart
from kitforge.cutting.worksheet.tables import tables_of
from kitforge.model.settings import Cut, CutSettings, CutterGeometry, CutterKind, TroubleCode, Work
from kitforge.model.workshop import MaterialKind, Workshop
from kitforge.workshop.cutting_data import CuttingData


def test_table_in_the_readme_is_current() -> None:
    """The README of the room holds what `python -m kitforge.cutting.comparison` writes."""
    text = README.read_text(encoding="utf-8")
    assert readme_with_table(text) == text


def test_every_chart_row_and_material_is_compared(data: CuttingData) -> None:
    """One line per diameter and material of each chart, and one per material of the V-groove chart."""
    wanted = sum(len(row.kinds) for chart in data.chip_charts for row in chart.rows) + len(data.v_groove_chip_load)
    assert len(comparison_table().splitlines()) == wanted + 2


def test_window_never_exceeds_the_chart_of_its_class(data: CuttingData) -> None:
    """Light classes stay under the spiral chart in solid wood; the extra-heavy one under the rigid-machine chart."""
    for line in comparison_table().splitlines()[2:]:
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        chart, material, top = cells[0], cells[1], float(cells[3].split("-")[-1])
        own = {"spiral": (4, 5, 6, 7), "rigid machine": (8,), "V-groove": (4, 5, 6, 7, 8)}[chart]
        softwood = 1.15 if material.startswith("softwood") else 1.0
        for column in own:
            if "-" in cells[column]:
                high = float(cells[column].split(",")[0].split("-")[2])
                assert high <= top * softwood + 1, line


@pytest.mark.parametrize(
    ("rigid", "kind", "diameter", "low", "high"),
    [
        (False, MaterialKind.HARDWOOD, 6.35, 0.127, 0.178),
        (False, MaterialKind.HARDWOOD, 7.144, 0.127, 0.178),
        (False, MaterialKind.SOFTWOOD, 11.1125, 0.165, 0.216),
        (False, MaterialKind.HARDWOOD, 25.4, 0.178, 0.229),
        (False, MaterialKind.HARDWOOD, 1.5875, 0.038, 0.0635),
        (True, MaterialKind.PLYWOOD, 12.7, 0.533, 0.584),
    ],
)
def test_charts_are_read_between_their_rows(
    rigid: bool, kind: MaterialKind, diameter: float, low: float, high: float, data: CuttingData
) -> None:
    """On a row: the printed value; between rows: straight; above the last: held; below the first: in proportion."""
    tables = tables_of(data)
    rows = (tables.rigid if rigid else tables.spiral)[kind]
    assert (chart(rows, diameter, 1), chart(rows, diameter, 2)) == pytest.approx((low, high), abs=6e-4)


def test_materials_that_a_chart_lacks_are_not_invented(data: CuttingData) -> None:
    """The spiral chart is for solid wood: it says nothing about plywood."""
    assert MaterialKind.PLYWOOD not in tables_of(data).spiral


@pytest.mark.parametrize(("size", "beyond"), [(1.0, True), (1.5, False), (6.35, False), (25.0, False), (40.0, True)])
def test_diameters_outside_the_ranges_are_marked(size: float, beyond: bool, shop: Workshop, data: CuttingData) -> None:
    """1 mm and 40 mm take the nearest range and say so."""
    cutter = CutterGeometry(CutterKind.UP_CUT, size, 4 * size, 6.35, 4 * size + 40, 2)
    found = settings(
        Cut(Work.PROFILE, 0.2), cutter, shop.materials["american_basswood"], shop.machines["extra_heavy_router"], data
    )
    assert isinstance(found, CutSettings)
    assert (TroubleCode.BEYOND_TABLE in {note.trouble for note in found.notes}) == beyond
