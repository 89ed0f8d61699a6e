"""Tabs by the direction in which they are pulled: sums by hand from beam theory with the strengths of the handbook.

Strengths: Wood Handbook, FPL-GTR-190 (2010), Table 5-3a; EN 622-5 and EN 12369-1 as quoted. No test of tabs was found.
"""

from __future__ import annotations

import pytest
from calculator import worked
from hypothesis import given
from hypothesis import strategies as st

from kitforge.cutting.tab_group import tabs_hold
from kitforge.cutting.tab_strength import hankinson, sideways, standing_tab, together, upwards
from kitforge.model.findings import Source
from kitforge.model.kit import Grain, Stock
from kitforge.workshop.load import load_workshop

SHOP = load_workshop()
WOODS = sorted(key for key, material in SHOP.materials.items() if not material.is_panel)
PANELS = sorted(key for key, material in SHOP.materials.items() if material.is_panel)
KERF = 6.35


def stock(material: str, grain: Grain = Grain.LENGTH) -> Stock:
    return Stock("wood", "Wood", SHOP.materials[material], 18, 18, 400, 600, grain, Source("kit.yaml", 1, 1))


BY_HAND = [
    # wood, width, height, direction of the edge (0: along the grain), N along, off the edge, up
    ("black_cherry", 6, 1.5, 0, 11.1, 35.1, 2.8),
    ("black_cherry", 6, 1.5, 90, 70.2, 105.3, 60.2),
    ("black_cherry", 8, 3, 0, 39.3, 93.6, 14.7),
    ("black_cherry", 8, 3, 45, 75.2, 179.0, 28.2),
    ("black_cherry", 8, 3, 90, 187.2, 280.8, 187.2),
    ("black_cherry", 40, 1.5, 0, 468.0, 234.0, 18.4),
    ("eastern_white_pine", 8, 3, 0, 21.2, 50.4, 7.9),
    ("eastern_white_pine", 8, 3, 90, 99.2, 148.8, 99.2),
    ("western_redcedar", 8, 3, 0, 15.1, 36.0, 5.7),
    ("american_beech", 8, 3, 0, 70.6, 168.0, 26.5),
    ("mdf", 8, 3, 0, 48.0, 72.0, 24.0),
    ("particleboard", 8, 3, 0, 48.0, 72.0, 12.8),
    ("osb", 8, 3, 90, 70.6, 163.2, 16.0),
    ("birch_plywood", 6, 1.5, 0, 5.7, 18.0, 1.4),
    ("birch_plywood", 6, 1.5, 90, 18.0, 27.0, 12.0),
    ("birch_plywood", 6, 3, 0, 36.0, 54.0, 24.0),
    ("birch_plywood", 6, 3, 90, 36.0, 54.0, 24.0),
]


@pytest.mark.parametrize(("wood", "width", "height", "edge", "along", "away", "up"), BY_HAND)
def test_a_tab_bears_what_the_sum_by_hand_says(
    wood: str, width: float, height: float, edge: float, along: float, away: float, up: float
) -> None:
    """Over a kerf of 6.35 mm: min(f t w2 / 3 L, 2/3 tau w t), min(f, tau) w t, min(f w t2 / 3 L, 2/3 tau_z w t)."""
    got = standing_tab(stock(wood), edge, width, height, KERF).strength
    assert (got.along, got.away, got.up) == pytest.approx((along, away, up), abs=0.06)


def test_the_grain_of_the_stock_turns_the_tab() -> None:
    """What is long grain along the stock is end grain where the grain runs across it."""
    lengthwise, crosswise = (standing_tab(stock("black_cherry", grain), 0, 8, 3, KERF) for grain in list(Grain)[:2])
    assert lengthwise.strength.up < 0.1 * crosswise.strength.up


@pytest.mark.parametrize("material", ["black_cherry", "birch_plywood", "mdf"])
@pytest.mark.parametrize("edge", [0.0, 30.0, 90.0])
def test_where_the_grain_is_not_known_the_weaker_way_counts(material: str, edge: float) -> None:
    unknown = standing_tab(stock(material, Grain.NONE), edge, 8, 1.4, KERF).strength
    known = [standing_tab(stock(material, grain), edge, 8, 1.4, KERF).strength for grain in (Grain.LENGTH, Grain.WIDTH)]
    assert unknown.up <= min(one.up for one in known) * (1 + 1e-9)


def test_brittle_tabs_do_not_add_up() -> None:
    """Two of 187.2 N and two of 39.3 N: two bear 374.4 N before the others have taken their share."""
    found = together([187.2, 39.3, 187.2, 39.3])
    assert (found.force, found.count) == pytest.approx((374.4, 2))


@given(st.lists(st.tuples(st.floats(0, 180), st.floats(3, 40)), min_size=1, max_size=8))
def test_no_pull_from_any_direction_finds_tabs_weaker_than_they_are_rated(tabs: list[tuple[float, float]]) -> None:
    """They were pulled in every fifteenth direction once, and rated up to a fifth too high."""
    standing = [standing_tab(stock("black_cherry"), edge, width, 1.5, KERF) for edge, width in tabs]
    _, rated = sideways(standing)
    for pull in range(0, 720):
        borne = together([tab.strength.towards(pull / 4 - tab.angle) for tab in standing])
        assert rated.force <= borne.force * 1.02


@given(st.lists(st.floats(1, 500), min_size=1, max_size=12))
def test_several_bear_at_least_the_strongest_and_at_most_all(strengths: list[float]) -> None:
    found = together(strengths).force
    assert max(strengths) <= found * (1 + 1e-9)
    assert found <= sum(strengths) * (1 + 1e-9)


@given(st.floats(0, 90))
def test_hankinson_lies_between_its_ends(angle: float) -> None:
    assert 3.9 * (1 - 1e-9) <= hankinson(85.0, 3.9, angle) <= 85.0 * (1 + 1e-9)


@given(
    st.sampled_from([*WOODS, *PANELS]),
    st.lists(st.tuples(st.floats(0, 360), st.floats(4, 12), st.floats(0.3, 4)), min_size=1, max_size=8),
    st.floats(400, 40_000),
)
def test_the_sum_can_be_followed_with_a_pocket_calculator(
    material: str, tabs: list[tuple[float, float, float]], area: float
) -> None:
    """Every line follows from its own numbers; more tabs never bear less, and none bears more than sheared wood."""
    standing = [standing_tab(stock(material), *tab, KERF) for tab in tabs]
    found = tabs_hold("tabs", standing, area)
    for line in found.lines:
        assert worked(line) == pytest.approx(line.result, rel=1e-9), line.what
    assert found.sideways is not None and found.upwards is not None
    assert sideways(standing[:1])[1].force <= sideways(standing)[1].force * (1 + 1e-9)
    assert upwards(standing[:1]).force <= upwards(standing).force * (1 + 1e-9)
    assert found.safety == (3.0 if area < 2500 else 2.0)
    whole = sum(tab.fibres.shear * tab.width * tab.height for tab in standing)
    assert max(found.sideways, found.upwards) <= whole / found.safety


def test_every_panel_has_figures_of_its_own_and_every_wood_its_tension() -> None:
    assert [key for key in PANELS if SHOP.materials[key].panel is None] == []
    assert [key for key in WOODS if SHOP.materials[key].tension_across is None] == []
