"""The cutting figures: ordered, sourced, and equal to the charts and relations they quote."""

from __future__ import annotations

import math

import pytest

from kitforge.model.workshop import Fact, MaterialKind, Span
from kitforge.workshop.cutting_data import cutting_data, read_cutting_data
from kitforge.workshop.tables import _DATA, UNSOURCED, TableError, table_from_text

DATA = cutting_data()
TEXT = (_DATA / "cutting.yaml").read_text(encoding="utf-8")
MM = 25.4


def test_the_file_is_read_once_per_process() -> None:
    assert cutting_data() is DATA


# Solid-carbide spiral chart of a cutter maker, 2 flutes, solid wood, v5, in inch.
@pytest.mark.parametrize(
    ("inch", "low", "high"),
    [
        (1 / 8, 0.003, 0.005),
        (3 / 16, 0.004, 0.006),
        (1 / 4, 0.005, 0.007),
        (5 / 16, 0.005, 0.007),
        (3 / 8, 0.006, 0.008),
        (1 / 2, 0.007, 0.009),
    ],
)
def test_spiral_chart_converts_from_inch(inch: float, low: float, high: float) -> None:
    chart = next(chart for chart in DATA.chip_charts if chart.key == "spiral_solid_wood")
    row = next(row for row in chart.rows if math.isclose(row.diameter, inch * MM, abs_tol=0.001))
    assert (row.low, row.high) == pytest.approx((low * MM, high * MM), abs=0.0005)


def test_spiral_chart_agrees_with_its_own_feeds() -> None:
    """P10, the same chart: 18 000 min-1, 2 flutes; 1/8 in runs at 110 to 180 in/min (the table rounds)."""
    chart = next(chart for chart in DATA.chip_charts if chart.key == "spiral_solid_wood")
    row = chart.rows[0]
    assert chart.rpm == 18000
    assert row.low * 2 * 18000 / MM == pytest.approx(110, abs=5)
    assert row.high * 2 * 18000 / MM == pytest.approx(180, abs=1)


def test_panel_factors_are_the_ratio_of_chart_mid_points() -> None:
    """Chip load chart of an industrial tooling supplier: plywood and board over hardwood, mid-points averaged."""
    rows = next(chart for chart in DATA.chip_charts if chart.rigid_machine).rows
    middle = {(kind, row.diameter): (row.low + row.high) / 2 for row in rows for kind in row.kinds}
    for kind in (MaterialKind.PLYWOOD, MaterialKind.FIBREBOARD):
        ratios = [middle[kind, d] / middle[MaterialKind.HARDWOOD, d] for d in (3.175, 6.35, 9.525, 12.7)]
        assert DATA.material_factors[kind].value == pytest.approx(sum(ratios) / 4, abs=0.06)


def test_every_kind_of_material_has_a_chip_factor() -> None:
    assert set(DATA.material_factors) == set(MaterialKind)


def test_starting_chips_cover_hobby_cutters() -> None:
    """From 1.5 to 25 mm, as a share of the diameter within what hobby machines start at (common practice)."""
    chips = DATA.starting_chips
    assert (chips[0].diameter, chips[-1].diameter) == (1.5, 25)
    assert all(0.006 <= row.fz.low / row.diameter < row.fz.high / row.diameter <= 0.035 for row in chips)


def test_force_model_restates_itself_at_one_millimetre() -> None:
    """Kienzle form: kc1.1 = kc_ref * 10^-m (36 * 10^-0.4 = 14.33 N/mm2)."""
    model = DATA.cutting_force
    assert model.kc1_1.value == pytest.approx(model.kc_ref.value * 10**-model.m.value, abs=0.005)
    assert model.kc_ref.trust == "derived"


def test_affine_twin_stays_within_21_percent_of_the_power_law() -> None:
    model = DATA.cutting_force
    for step in range(23):
        h = model.affine_valid.low + step * 0.01
        power_law = model.kc_ref.value * (h / model.h_ref.value) ** -model.m.value * h
        assert model.affine_force.value + model.affine_slope.value * h == pytest.approx(power_law, rel=0.22)


def test_published_particleboard_readings_lie_within_the_band() -> None:
    """Palubicki, Materials 14(9):2208 (2021): 32.0 and 37.6 N/mm2; h 0.12 mm and 680 kg/m3 are assumed (C36)."""
    model = DATA.cutting_force
    kc = model.kc_ref.value * (0.12 / model.h_ref.value) ** -model.m.value * 680 / model.density_ref.value
    assert kc == pytest.approx(35.01, abs=0.01)
    read = [reading for reading in DATA.kc_readings if reading.kc.trust == "read"]
    assert [reading.kc.middle for reading in read] == [32.0, 37.6]
    assert all(kc * model.band.low < reading.kc.middle < kc * model.band.high for reading in read)


def test_speed_limits_and_rim_speeds() -> None:
    """C35: 25.4 mm at 24 000 min-1 is 31.92 m/s. Router-bit speed chart by cutter diameter."""
    first = DATA.speed_limits[0]
    assert math.pi * first.diameter_max * first.rpm.value / 60000 == pytest.approx(31.92, abs=0.01)
    assert [limit.rpm.value for limit in DATA.speed_limits] == [24000, 18000, 16000, 12000]
    assert all(limit.second.low <= limit.rpm.value <= limit.second.high for limit in DATA.speed_limits)


def test_carbide_modulus_lies_in_the_published_range() -> None:
    """Public encyclopaedia, 'Tungsten carbide': 530 to 700 GPa."""
    carbide = DATA.tool_materials["carbide"]
    assert carbide.modulus_range.trust == "read"
    assert carbide.modulus_range.low < carbide.modulus.value < carbide.modulus_range.high
    assert DATA.equivalent_diameter == Fact(0.8, "kops1990", "read")


def test_foam_tape_figures_follow_from_the_note() -> None:
    """Technical note on acrylic foam tape: 1 kg on 6.25 cm2 for short, 60 cm2 per kg for long (g = 9.81 m/s2)."""
    assert DATA.tape_shear["foam_tape_short"].low == pytest.approx(9.81 / 625, rel=0.002)
    assert DATA.tape_shear["foam_tape_long"].low == pytest.approx(9.81 / 6000, rel=0.03)


def test_fastener_safety_factors_are_ultimate_over_allowable() -> None:
    """Wood Handbook 7850 and 15 700 over the published allowable forms 1380 and 2850 (lbf per inch)."""
    assert DATA.safety_factors["nails"].value == pytest.approx(7850 / 1380, abs=0.02)
    assert DATA.safety_factors["screws"].value == pytest.approx(15700 / 2850, abs=0.02)


# Wood Handbook Table 8-4 in inch-pound units (recalled): K lbf/in^1.5 and lbf/in^2.
@pytest.mark.parametrize(
    ("row", "nail", "screw"),
    [(0, 1440, 3360), (2, 2720, 6400), (3, 1440, 3360), (4, 1800, 4320), (5, 2200, 5280)],
)
def test_lateral_constants_convert_from_inch(row: int, nail: float, screw: float) -> None:
    newton = 4.44822
    band = DATA.lateral_constants[row]
    assert band.nail.value == pytest.approx(nail * newton / MM**1.5, rel=0.001)
    assert band.screw.value == pytest.approx(screw * newton / MM**2, rel=0.001)


def test_recalled_collet_ranges_say_so() -> None:
    """ISO 15488 clamping ranges, from memory."""
    assert DATA.collets["ER20"] == Span(1, 13, "iso15488", "memory")


def test_sources_are_all_cited() -> None:
    assert all(len(text) > 20 for text in DATA.sources.values())
    assert not set(DATA.sources) & set(UNSOURCED)


@pytest.mark.parametrize(
    ("old", "new", "problem"),
    [
        ("D: 3, fz: [0.036", "D: 7, fz: [0.036", "starting_chips: diameters and chips do not grow"),
        ("fz: [0.120, 0.240", "fz: [0.120, 0.140", "starting_chips: diameters and chips do not grow"),
        ("D_max: 50.8", "D_max: 20", "speed_limits: not sorted"),
        ("ap_over_D: 2", "ap_over_D: 5", "depth_derating: not sorted"),
        ("kind: softwood, G: [0.29", "kind: cork, G: [0.29", "cork"),
        ("  m: [0.4, derived]\n", "", "m: expected"),
        ("motion:", "surprise: 1\nmotion:", "surprise: unknown field"),
        ("h_clamp: [0.02, 0.4, derived]", "h_clamp: [0.4, 0.02, derived]", "0.4 is above 0.02"),
    ],
)
def test_a_broken_cutting_table_is_refused(old: str, new: str, problem: str) -> None:
    assert old in TEXT
    with pytest.raises(TableError, match=problem):
        read_cutting_data(table_from_text(TEXT.replace(old, new), "cutting.yaml"))
