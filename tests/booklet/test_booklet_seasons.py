"""The stated use of a piece decides its climate: moisture to buy, where the wood lies, how much it moves."""

from __future__ import annotations

import re
from dataclasses import replace

import morris
import pytest

from kitforge.model.facts import PieceUse
from kitforge.model.kit import Grain, Kit
from kitforge.model.plan import Plan
from kitforge.pack.times import work_times
from kitforge.print.figures import Units
from kitforge.workshop.load import load_workshop
from kitforge_booklet.moisture import movement_words
from kitforge_booklet.seasons import climate_of, resting_words, seasons
from kitforge_booklet.setting_up import preparations
from kitforge_booklet.stock_plans import stock_plans

MM = Units("mm", both=False)
CHERRY = replace(morris.BOARD_STOCK, material=load_workshop().materials["black_cherry"], grain=Grain.LENGTH)


def used(kit: Kit, *uses: PieceUse) -> Kit:
    return replace(kit, info=replace(kit.info, uses=uses))


def board_words(kit: Kit) -> str:
    return " ".join(movement_words([CHERRY], kit, morris.plan(), MM))


def test_an_outdoor_piece_moves_more_and_is_told_of_its_weather(kit: Kit) -> None:
    """Before, a piece that stands in the rain got the moisture of a heated room."""
    inside, outside = used(kit, PieceUse.INDOORS), used(kit, PieceUse.OUTDOORS)
    room, yard = (seasons(CHERRY, 300.0, climate_of(one)) for one in (inside, outside))
    assert room is not None
    assert yard is not None
    assert yard.change > 1.5 * room.change
    assert "In a room of 21 °C" in board_words(inside)
    told = board_words(outside)
    assert "room" not in told
    assert all(words in told for words in ("9–14 %", "at 9 %", "at 19 %", "4 % in a desert", "20 %", "25 %"))
    assert "any season" not in told


@pytest.mark.parametrize(
    ("wood", "share"),
    [("black_walnut", 69), ("white_ash", 62), ("american_basswood", 70), ("yellow_birch", 76)],
)
def test_quartersawn_strips_move_by_the_share_of_their_wood(kit: Kit, wood: str, share: int) -> None:
    """Radial over tangential coefficient, Wood Handbook, FPL-GTR-190, Table 13-5."""
    stock = replace(CHERRY, material=load_workshop().materials[wood])
    assert f"Quartersawn strips move {share} % of that." in movement_words([stock], kit, morris.plan(), MM)


@pytest.mark.parametrize(
    ("uses", "words"),
    [
        ((), "in the room where the piece will stay"),
        ((PieceUse.INDOORS, PieceUse.WALL), "in the room where the piece will stay"),
        ((PieceUse.OUTDOORS,), "outdoors under a roof"),
        ((PieceUse.INDOORS, PieceUse.OUTDOORS), "outdoors under a roof"),
    ],
)
def test_the_wood_lies_where_it_will_be(kit: Kit, plan: Plan, uses: tuple[PieceUse, ...], words: str) -> None:
    made = used(kit, *uses)
    assert words in resting_words(made)
    steps = [line.text for preparation in preparations(made, plan, MM) for line in preparation.steps]
    steps += [line.text for one in stock_plans(made, plan, (), MM) for line in (*one.glueing, *one.flattening)]
    assert sum(words in text for text in steps) == 1


@pytest.mark.parametrize("uses", [(PieceUse.INDOORS,), (PieceUse.OUTDOORS,), (PieceUse.INDOORS, PieceUse.OUTDOORS)])
def test_the_time_that_is_told_is_the_time_that_counts(kit: Kit, plan: Plan, uses: tuple[PieceUse, ...]) -> None:
    """The weeks that the wood lies are in the days of waiting on the cover."""
    made = used(kit, *uses)
    told = re.search(r" for (a week|two weeks)\b", resting_words(made))
    assert told is not None
    other = work_times(used(kit, PieceUse.INDOORS), plan).waiting
    week = 7 * 86400.0
    weeks = {"a week": 1, "two weeks": 2}[told[1]]
    assert work_times(made, plan).waiting == (other[0] + (weeks - 1) * week, other[1] + (weeks - 1) * week)


def test_a_piece_for_indoors_and_outdoors_goes_through_both(kit: Kit) -> None:
    both = climate_of(used(kit, PieceUse.INDOORS, PieceUse.OUTDOORS))
    room, yard = climate_of(used(kit, PieceUse.INDOORS)), climate_of(used(kit, PieceUse.OUTDOORS))
    assert (both.dry, both.damp) == (room.dry, yard.damp)
