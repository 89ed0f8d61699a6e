"""Hold-downs: hand figures with the tables' own numbers, and what is not known stays unknown."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitforge.cutting.hold import Held, capacity
from kitforge.model.workshop import HoldKind, Workshop
from kitforge.workshop.cutting_data import CuttingData


def test_tape_bears_its_shear_strength_over_a_safety_factor(shop: Workshop, data: CuttingData) -> None:
    """Note on acrylic foam tape: 0.0157 MPa; half of a 100 x 300 mm part with S = 3."""
    held = Held(15_000, 0)
    got = capacity(shop.hold_downs["foam_tape"], held, data)
    assert got.sideways == pytest.approx(0.0157 * 15_000 / 3)


def test_tape_under_small_parts_has_the_larger_factor(shop: Workshop, data: CuttingData) -> None:
    """Under 100 cm2 the factor for small parts is taken, whatever the hold-down itself says."""
    tape = replace(shop.hold_downs["foam_tape"], safety=data.safety_factors["default"])
    small, large = (capacity(tape, Held(area, 0), data) for area in (9_000, 11_000))
    assert (small.safety, large.safety) == (3.0, 2.0)


def test_clamps_hold_by_friction(shop: Workshop, data: CuttingData) -> None:
    """Four toggle clamps of 200 N, mu 0.2, S = 2: 80 N sideways and 400 N upwards."""
    got = capacity(shop.hold_downs["toggle_clamps"], Held(10_000, 4), data)
    assert got.sideways == pytest.approx(80)
    assert got.upwards == pytest.approx(400)
    assert "4 x 0.2 x 200 N / 2" in got.text


def test_side_wedges_rub_on_two_faces(shop: Workshop, data: CuttingData) -> None:
    """Two wedges of 200 N, mu 0.2, S = 2: 2 x 2 x 0.2 x 200 / 2 = 80 N, up as well as along."""
    got = capacity(shop.hold_downs["edge_fences"], Held(10_000, 2), data)
    assert got.sideways == pytest.approx(80)
    assert got.upwards == pytest.approx(80)


def test_vacuum_through_the_board(shop: Workshop, data: CuttingData) -> None:
    """0.005 MPa on 600 x 400 mm: 1200 N, mu 0.2, S = 2: 120 N sideways, 600 N upwards."""
    got = capacity(shop.hold_downs["vacuum_board"], Held(240_000, 0), data)
    assert got.sideways == pytest.approx(120)
    assert got.upwards == pytest.approx(600)


def test_brads_in_the_spoilboard(shop: Workshop, data: CuttingData) -> None:
    """Wood Handbook, lightest softwood: K d^1.5 = 50.04 x 1.2^1.5 = 65.8 N (C27); half of G 0.40, over 5.7."""
    got = capacity(shop.hold_downs["brads"], Held(10_000, 6), data)
    short = 15 / (14 * 1.2)  # penetration against the 14 diameters that light wood asks for
    assert got.sideways == pytest.approx(6 * 65.78 * min(short, 1) / 2, rel=0.001)
    assert got.upwards == pytest.approx(6 * 0.5 * 54.12 * 0.40**2.5 * 1.2 * 15 / 5.7, rel=0.01)


def test_screws_in_fibreboard_are_pulled_out_by_their_own_figure(shop: Workshop, data: CuttingData) -> None:
    """1050 N for 4.2 x 15 mm in the face of fibreboard (a maker's specification; size of the screw from memory)."""
    screws = shop.hold_downs["screws"]
    got = capacity(screws, Held(10_000, 4), data)
    assert got.upwards == pytest.approx(4 * 1050 / (4.2 * 15) * 3.51 * 15 / 5.5, rel=0.01)


def test_screws_bear_more_than_brads(shop: Workshop, data: CuttingData) -> None:
    """Screws of 3.5 mm against brads of 1.2 mm in the same board."""
    held = Held(10_000, 4)
    screws, brads = (capacity(shop.hold_downs[key], held, data) for key in ("screws", "brads"))
    assert (screws.sideways or 0) > 2 * (brads.sideways or 0)
    assert (screws.upwards or 0) > 6 * (brads.upwards or 0)


def test_a_hold_down_without_figures_has_no_capacity(shop: Workshop, data: CuttingData) -> None:
    """Nothing is made up where a figure is missing."""
    bare = replace(shop.hold_downs["brads"], diameter=None)
    got = capacity(bare, Held(10_000, 4), data)
    assert (got.sideways, got.upwards) == (None, None)
    assert got.bears(1, 1) is None


def test_every_hold_down_of_the_shop_can_be_computed(shop: Workshop, data: CuttingData) -> None:
    """Each has a capacity, and more area or more clamps never bear less."""
    for hold in shop.hold_downs.values():
        less, more = (capacity(hold, Held(20_000 * k, 4 * k), data) for k in (1, 2))
        assert 0 < (less.sideways or 0) < (more.sideways or 0), hold.key
        assert less.bears((less.sideways or 0) * 0.99, 0) is True
        assert less.bears((less.sideways or 0) * 1.01, 0) is False
        assert hold.kind in HoldKind
