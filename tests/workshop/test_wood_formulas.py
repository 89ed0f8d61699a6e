"""Moisture, movement and fasteners against the Wood Handbook's tables and worked examples."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitforge.model.workshop import MaterialKind
from kitforge.workshop import wood
from kitforge.workshop.load import load_workshop

WOODS = load_workshop().materials
HARD, SOFT = MaterialKind.HARDWOOD, MaterialKind.SOFTWOOD


# Wood Handbook FPL-GTR-190 Table 4-2 (degrees C, % relative humidity, % moisture).
@pytest.mark.parametrize(
    ("temperature", "humidity", "expected"),
    [
        (-1.1, 30, 6.3),
        (4.4, 50, 9.5),
        (10.0, 65, 12.3),
        (15.6, 80, 16.2),
        (21.1, 30, 6.2),
        (21.1, 50, 9.2),
        (21.1, 65, 12.0),
        (21.1, 80, 16.0),
        (32.2, 50, 8.9),
        (54.4, 25, 4.5),
    ],
)
def test_equilibrium_moisture_equals_the_handbook_table(temperature: float, humidity: float, expected: float) -> None:
    assert wood.equilibrium_moisture(temperature, humidity) == pytest.approx(expected, abs=0.06)


@given(st.floats(-1.1, 60), st.floats(0, 98), st.floats(0.01, 1.9))
def test_moisture_rises_with_humidity(temperature: float, humidity: float, more: float) -> None:
    drier = wood.equilibrium_moisture(temperature, humidity)
    assert 0 <= drier < wood.equilibrium_moisture(temperature, humidity + more) < 40


@given(st.floats(5, 60), st.floats(10, 90), st.floats(0.5, 30))
def test_moisture_falls_as_the_air_warms_at_the_same_humidity(temperature: float, humidity: float, more: float) -> None:
    """Wood Handbook Table 4-2: down every column above freezing; below about 5 degrees C the fitted curve is flat."""
    warmer = wood.equilibrium_moisture(temperature + more, humidity)
    assert warmer < wood.equilibrium_moisture(temperature, humidity)


@pytest.mark.parametrize(("temperature", "humidity"), [(-5, 50), (140, 50), (20, 100), (20, -1), (float("nan"), 50)])
def test_air_outside_the_equation_is_refused(temperature: float, humidity: float) -> None:
    with pytest.raises(ValueError, match=r"outside|not from"):
        wood.equilibrium_moisture(temperature, humidity)


def test_movement_of_the_handbook_example() -> None:
    """Wood Handbook FPL-GTR-190 pp. 13-15 to 13-17: 232 mm, C 0.00245, 8 to 11 %: +1.7 mm, new width 233.7 mm."""
    change = wood.movement(232, 0.00245, 8, 11)
    assert change == pytest.approx(1.7, abs=0.05)
    assert 232 + change == pytest.approx(233.7, abs=0.05)


def test_movement_of_the_example_in_inches() -> None:
    """The same example in inch: 9.15 in grows by 0.067 in."""
    assert wood.movement(9.15, 0.00245, 8, 11) == pytest.approx(0.067, abs=0.0005)


def test_movement_of_flatsawn_walnut() -> None:
    """Walnut 300 mm, 6 to 11 %, C 0.00274 (Wood Handbook Table 13-5): 4.11 mm, computed."""
    assert wood.movement_of(WOODS["black_walnut"], 300, 6, 11) == pytest.approx(4.11, abs=0.005)
    assert wood.movement_of(WOODS["mdf"], 300, 6, 11) is None


def test_shrinkage_form_agrees_with_the_coefficient_form() -> None:
    """Wood Handbook Eq. 13-3 (form from memory) with the 7.0 % that belongs to C 0.00245: 1.71 mm."""
    assert wood.movement_from_shrinkage(232, 7.0, 8, 11) == pytest.approx(1.71, abs=0.005)


@pytest.mark.parametrize("moisture", [(5.9, 8), (8, 14.1), (float("nan"), 8), (8, 30)])
def test_movement_outside_6_to_14_percent_is_refused(moisture: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="outside 6 to 14 %"):
        wood.movement(100, 0.002, *moisture)


@pytest.mark.parametrize(
    ("shrinkage", "start", "end"), [(0, 8, 11), (31, 8, 11), (7, -1, 11), (7, 8, 31), (7, float("nan"), 9)]
)
def test_shrinkage_form_outside_its_range_is_refused(shrinkage: float, start: float, end: float) -> None:
    with pytest.raises(ValueError, match="not between"):
        wood.movement_from_shrinkage(100, shrinkage, start, end)


MOISTURES = st.floats(6, 14)


@given(st.floats(1, 1000), st.floats(0.0005, 0.005), MOISTURES, MOISTURES)
def test_movement_goes_back_where_it_came_from(width: float, rate: float, first: float, second: float) -> None:
    there, back = wood.movement(width, rate, first, second), wood.movement(width, rate, second, first)
    assert there == pytest.approx(-back)
    assert (there > 0) == (second > first) or there == 0


@given(st.floats(1, 1000), st.floats(2, 12), MOISTURES, st.floats(0.01, 4))
def test_wetter_wood_is_wider(width: float, shrinkage: float, start: float, rise: float) -> None:
    small = wood.movement_from_shrinkage(width, shrinkage, start, start + rise / 2)
    assert 0 < small < wood.movement_from_shrinkage(width, shrinkage, start, start + rise)


# Wood Handbook Table 4-3 (total tangential shrinkage %) and Table 13-5 (printed tangential coefficient).
@pytest.mark.parametrize(
    ("key", "shrinkage", "saturation"),
    [
        ("black_walnut", 7.8, 30),
        ("sugar_maple", 9.9, 30),
        ("black_cherry", 7.1, 30),
        ("american_beech", 11.9, 30),
        ("yellow_birch", 9.5, 30),
        ("red_alder", 7.3, 30),
        ("western_redcedar", 5.0, 22),
        ("douglas_fir_coast", 7.6, 30),
    ],
)
def test_movement_coefficients_follow_from_total_shrinkage(key: str, shrinkage: float, saturation: float) -> None:
    fact = WOODS[key].movement_tangential
    assert fact is not None
    assert wood.coefficient_from_shrinkage(shrinkage, saturation) == pytest.approx(fact.value, abs=0.000011)


def test_nail_withdrawal() -> None:
    """Wood Handbook Eq. 8-1: G 0.35, D 3.33, L 38 gives 496 N; C26: G 0.40, d 1.2, L 20 gives 131.4 N."""
    assert wood.nail_withdrawal(0.35, 3.33, 38) == pytest.approx(496, abs=0.5)
    assert wood.nail_withdrawal(0.40, 1.2, 20) == pytest.approx(131.4, abs=0.1)


def test_nail_withdrawal_in_inch_pound_units() -> None:
    """Wood Handbook Eq. 8-1 in inch: 7850 G^2.5 D L lbf."""
    metric = wood.nail_withdrawal(0.5, 0.131 * 25.4, 25.4)
    assert metric == pytest.approx(7850 * 0.5**2.5 * 0.131 * 4.44822, rel=0.001)


def test_screw_withdrawal() -> None:
    """Wood Handbook Eq. 8-10: G 0.42, D 4.17, L 25 gives 1991 N; C28: G 0.5, D 4.17, L 15 gives 1692.8 N."""
    assert wood.screw_withdrawal(0.42, 4.17, 25) == pytest.approx(1991, abs=0.5)
    assert wood.screw_withdrawal(0.5, 4.17, 15) == pytest.approx(1692.8, abs=0.1)


def test_allowable_screw_withdrawal_is_a_fifth_to_a_sixth() -> None:
    """P12, engineering reference on wood screws: allowable 2850 G^2 D, G 0.45, D 0.190 in: 109 lbf/in."""
    ultimate = wood.screw_withdrawal(0.45, 0.190 * 25.4, 25.4) / 4.44822
    assert ultimate / 109 == pytest.approx(5.5, abs=0.1)


def test_nail_lateral() -> None:
    """Wood Handbook Table 8-4 and p. 8-6: softwood G 0.35, D 3.33 gives 304 N; C27: d 1.2 gives 65.8 N."""
    assert wood.nail_lateral(SOFT, 0.35, 3.33) == pytest.approx(304, abs=0.5)
    assert wood.nail_lateral(SOFT, 0.40, 1.2) == pytest.approx(65.8, abs=0.05)


def test_gravity_between_two_printed_bands_takes_the_lower_band() -> None:
    """Wood Handbook Table 8-4 prints 0.33-0.47 and 0.48-0.56: 0.475 belongs to neither."""
    assert wood.lateral_constants(HARD, 0.475).nail.value == 50.04


@pytest.mark.parametrize(("kind", "gravity"), [(HARD, 0.32), (HARD, 0.75), (SOFT, 0.28), (SOFT, 0.53)])
def test_gravity_outside_the_table_is_refused(kind: MaterialKind, gravity: float) -> None:
    with pytest.raises(ValueError, match="outside"):
        wood.lateral_constants(kind, gravity)


def test_fasteners_in_board_are_refused() -> None:
    with pytest.raises(ValueError, match="for solid wood, not for fibreboard"):
        wood.nail_lateral(MaterialKind.FIBREBOARD, 0.6, 1.2)


@given(st.floats(0.29, 0.74), st.floats(0.5, 8), st.floats(1, 80), st.floats(1.01, 2))
def test_withdrawal_grows_with_density_size_and_depth(g: float, d: float, depth: float, more: float) -> None:
    for pull in (wood.nail_withdrawal, wood.screw_withdrawal):
        least = pull(g, d, depth)
        assert least < min(pull(g * more, d, depth), pull(g, d * more, depth), pull(g, d, depth * more))


def test_full_penetration_runs_from_14_to_10_diameters() -> None:
    """Wood Handbook p. 8-6: 14 D below G 0.42, 10 D above G 0.61."""
    assert wood.nail_full_penetration(0.35, 2) == 28
    assert wood.nail_full_penetration(0.70, 2) == 20
    assert wood.short_penetration_factor(10, 20) == 0.5
    assert wood.short_penetration_factor(30, 20) == 1.0


def test_sizes_of_zero_are_refused() -> None:
    with pytest.raises(ValueError, match="diameter is 0, not above zero"):
        wood.nail_withdrawal(0.4, 0, 20)
