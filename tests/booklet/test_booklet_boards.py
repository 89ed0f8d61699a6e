"""With several boards each step and each set-up names its piece of stock, and says what is cut there. Invented data."""

from __future__ import annotations

from itertools import pairwise

import pytest
from builders import freed, kit, planned, pocket, rounded, setup

from kitforge.model.kit import Face, Kit
from kitforge.model.plan import Plan
from kitforge.print.figures import Units, piece_title
from kitforge_booklet.changing import before_step
from kitforge_booklet.setting_up import setting_up

MM = Units("mm", both=False)


@pytest.fixture(scope="module")
def shelf() -> Kit:
    """A shelf of two boards that fill a sheet each, cut on both faces, and pegs that lie beside the second board."""
    wide = freed(pocket(rounded(20, 20, 60, 40), face=Face.BOTTOM), outline=rounded(0, 0, 560, 370), key="wide")
    low = freed(pocket(rounded(20, 20, 60, 40)), outline=rounded(0, 0, 560, 250), key="low")
    peg = freed(outline=rounded(0, 0, 60, 60), key="peg", count=3)
    return kit(wide, low, peg, setups=(setup(Face.TOP, ("screws",)), setup(Face.BOTTOM, ("screws",))))


@pytest.fixture(scope="module")
def plan(shelf: Kit) -> Plan:
    return planned(shelf)


def test_every_setup_names_its_piece_and_its_steps(shelf: Kit, plan: Plan) -> None:
    made = setting_up(shelf, plan, plan.machines, MM)
    assert [found.title for found in made] == [
        "Plywood, piece 1, underside up",
        "Plywood, piece 1",
        "Plywood, piece 2",
    ]
    assert [str(found.steps[-1]) for found in made] == [
        "Steps on this piece, in this order: 1.",
        "Steps on this piece, in this order: 2.",
        "Steps on this piece, in this order: 3, 4 and 5.",
    ]


def test_the_next_piece_is_laid_on_and_the_first_one_turned_over(plan: Plan) -> None:
    before = [
        [str(one) for one in before_step(plan, step, last, plan.machines, MM)] for last, step in pairwise(plan.steps)
    ]
    assert "Turn the piece back over" in before[0][0]
    assert before[1][0].startswith("Spindle off and unplugged. Lay on: Plywood, piece 2, as")
    assert not before[2]


def test_a_kit_of_one_board_does_not_number_it(shelf: Kit) -> None:
    one = planned(kit(shelf.part("low"), setups=shelf.setups))
    assert piece_title(one.sheets, one) == "Plywood"


def test_pieces_laid_out_alike_are_told_of_together(shelf: Kit) -> None:
    three = kit(freed(outline=rounded(0, 0, 560, 370), count=3), setups=shelf.setups)
    (made,) = setting_up(three, planned(three), (), MM)
    assert made.title == "Plywood, pieces 1–3"
    assert "All 3 pieces are laid out alike." in made.captions[0]
