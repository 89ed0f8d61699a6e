"""A piece that is lifted at its edge tips about the opposite one; sums by hand, statics alone."""

from __future__ import annotations

import pytest
from builders import WORKSHOP
from shapely import Point, box

from kitforge.cutting.hold import Held, capacity
from kitforge.model.holds import FastenerPlace
from kitforge.planning.tipping import edge_share, share_of
from kitforge.workshop.cutting_data import cutting_data


@pytest.mark.parametrize(
    ("levers", "share"),
    [
        ([50.0], 0.5),  # one screw in the middle of 100 mm: twice the lift pulls at it
        ([25.0, 75.0], 0.41667),  # (25^2 + 75^2) / 75 = 83.33; / (2 x 100)
        ([10.0], 0.1),  # near the edge that it tips about: ten times the lift
        ([90.0], 0.9),
    ],
)
def test_screws_are_drawn_as_far_as_they_lie_from_the_edge(levers: list[float], share: float) -> None:
    assert share_of(levers, 100.0, drawn=True) == pytest.approx(share, abs=1e-4)


def test_clamps_press_alike_wherever_they_stand() -> None:
    """(25 + 75) / (2 x 100)."""
    assert share_of([25.0, 75.0], 100.0, drawn=False) == pytest.approx(0.5)


def test_the_worst_direction_counts() -> None:
    """A screw 10 mm from one side of a disc of 80 mm: lifted at the other side it is 10 mm from the tipping edge."""
    disc, screws = Point(0, 0).buffer(40.0, 32), WORKSHOP.hold_downs["screws"]
    at = [FastenerPlace(30.0, 0.0, 12.0, "screws", proposed=False)]
    assert edge_share(screws, disc, at) == pytest.approx(10 / 80, rel=0.01)
    middle = [FastenerPlace(0.0, 0.0, 12.0, "screws", proposed=False)]
    assert edge_share(screws, disc, middle) == pytest.approx(0.5, rel=0.01)


def test_tape_bears_a_quarter_at_an_edge() -> None:
    """F / (b l) + (F b / 2) / (l b^2 / 6) = 4 F / (b l); tape of 0.03 MPa under 10 000 mm2, factor 3: 100 N, 25 N."""
    tape = WORKSHOP.hold_downs["double_sided_tape"]
    share = edge_share(tape, box(0, 0, 100, 100), ())
    found = capacity(tape, Held(10_000, 0, edge_share=share), cutting_data())
    assert found.sideways == pytest.approx(100.0)
    assert found.upwards == pytest.approx(25.0)
    assert [(line.symbol, round(line.result)) for line in found.lines] == [("Fh", 100), ("Fm", 100), ("Fu", 25)]


def test_suction_bears_half_at_an_edge() -> None:
    """F b = dp A b / 2: 0.005 MPa on 200 000 mm2, factor 2: 500 N in the middle, 250 N at an edge."""
    board = WORKSHOP.hold_downs["vacuum_board"]
    share = edge_share(board, box(0, 0, 500, 400), ())
    found = capacity(board, Held(200_000, 0, edge_share=share), cutting_data())
    assert found.upwards == pytest.approx(250.0)


def test_what_is_not_lifted_at_an_edge_bears_what_it_did() -> None:
    tape = WORKSHOP.hold_downs["double_sided_tape"]
    found = capacity(tape, Held(10_000, 0), cutting_data())
    assert found.upwards == found.sideways
