"""Which warnings a booklet holds: the fields of a kit decide, none of its words, and the word fits the harm."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from pathlib import Path

import morris
import pytest
from babel.messages.pofile import read_po

import kitforge.language
from kitforge.model.facts import Hazard, PieceUse
from kitforge.model.kit import Hardware, Kit
from kitforge.model.plan import Plan
from kitforge.print.figures import Units
from kitforge.print.safety import SignalWord
from kitforge.workshop.load import load_workshop
from kitforge_booklet.hazards import use_messages
from kitforge_booklet.safety import deferring, general_messages, step_messages

MM = Units("mm", both=False)


def bare(kit: Kit) -> Kit:
    return replace(kit, hardware=(), notes=(), assembly=(), parts=(morris.BOARD,), info=replace(kit.info, summary="A."))


def titles_with(kit: Kit, item: str, *hazards: Hazard) -> list[str]:
    thing = Hardware(item, "1", hazards=hazards)
    return [message.title for message in use_messages(replace(bare(kit), hardware=(thing,)))]


WARNED = {
    Hazard.MAINS: ["Electric parts nearby"],
    Hazard.BATTERY: ["Batteries"],
    Hazard.BUTTON_CELL: ["Button cells", "Small parts and children"],
    Hazard.MAGNET: ["Magnets", "Small parts and children"],
    Hazard.SMALL_PART: ["Small parts and children"],
    Hazard.GLASS: ["Sharp pieces"],
    Hazard.HEAT: ["Heat and flame"],
    Hazard.WALL_FIXING: ["Hanging on a wall"],
    Hazard.FOOD_CONTACT: ["Food on the wood"],
    Hazard.NONE: [],
}


@pytest.mark.parametrize("hazard", list(Hazard))
@pytest.mark.parametrize(
    "item", ["Leuchtenfassung E14 mit Zuleitung", "Thing of many words: LED, battery, glass, wall"]
)
def test_the_hazard_that_is_stated_is_warned_of_whatever_its_words_are(kit: Kit, item: str, hazard: Hazard) -> None:
    """Before, a mains lamp whose socket was worded otherwise, or in German, lost its electric warning."""
    assert use_messages(bare(kit)) == ()
    assert titles_with(kit, item, hazard) == WARNED[hazard]


def test_hazards_of_one_thing_are_all_warned_of(kit: Kit) -> None:
    everything = [hazard for hazard in Hazard if hazard is not Hazard.NONE]
    titles = titles_with(kit, "Something", *everything)
    assert sorted(titles) == sorted({title for titles in WARNED.values() for title in titles})


def test_what_is_not_stated_is_said_to_be_open(kit: Kit) -> None:
    """Unknown is not none: no warning is made up, and the page does not keep quiet either."""
    open_thing = replace(bare(kit), hardware=(Hardware("LED lamp with battery", "1"),))
    assert use_messages(open_thing) == ()
    assert any(
        "does not say which dangers these bring: LED lamp with battery" in line for line in deferring(open_thing)
    )
    closed = replace(bare(kit), hardware=(Hardware("LED lamp with battery", "1", hazards=(Hazard.NONE,)),))
    assert not any("does not say" in line for line in deferring(closed))


def test_a_loose_part_that_fits_the_test_cylinder_is_a_small_part(kit: Kit) -> None:
    """16 CFR 1501.4: the cylinder is 31.7 mm wide (recalled); a disc of 28 x 6.4 mm goes in."""
    small = replace(bare(kit), parts=(morris.BOARD, morris.TOKEN))
    assert [message.title for message in use_messages(small)] == ["Small parts and children"]


@pytest.mark.parametrize(
    ("use", "expected"),
    [(PieceUse.FOOD, ["Food on the wood"]), (PieceUse.WALL, ["Hanging on a wall"]), (PieceUse.INDOORS, [])],
)
def test_the_use_that_is_stated_is_warned_of(kit: Kit, use: PieceUse, expected: list[str]) -> None:
    board = replace(bare(kit), notes=("Made for bread and cheese, hung on a wall.",))
    assert use_messages(board) == ()
    used = replace(board, info=replace(board.info, uses=(use,)))
    assert [message.title for message in use_messages(used)] == expected


def test_what_does_not_heal_is_serious(kit: Kit, plan: Plan) -> None:
    """ANSI Z535.4: serious injury is what leaves lasting harm. Lost hearing stays lost; what falls off a wall kills."""
    told = {message.title: message.word for message in general_messages(kit, plan, MM)}
    assert told["Noise"] is SignalWord.WARNING
    hung = replace(bare(kit), info=replace(kit.info, uses=(PieceUse.WALL,)))
    assert [message.word for message in use_messages(hung)] == [SignalWord.WARNING]


def test_a_cut_through_work_on_vacuum_keeps_its_own_warning(kit: Kit, plan: Plan) -> None:
    """ANSI Z535.6 has messages of a section and of a step; one does not stand for the other."""
    vacuum = load_workshop().hold_downs["vacuum_board"]
    sucked = replace(kit, setups=tuple(replace(setup, hold_downs=(vacuum,)) for setup in kit.setups))
    through = next(step for step in plan.steps if step.through)
    assert "Loss of vacuum" in [message.title for message in step_messages(plan, through, sucked, near_fasteners=False)]
    assert "Loss of vacuum" not in [
        message.title for message in step_messages(plan, through, kit, near_fasteners=False)
    ]


def test_nobody_is_asked_to_reach_into_the_work() -> None:
    """What is done at the work is done with the spindle stopped; only listening and watching goes on while it runs."""
    catalogue = Path(kitforge.language.__file__).parent / "catalogues" / "de.po"
    texts = [str(message.id) for message in read_po(io.BytesIO(catalogue.read_bytes()), locale="de")]
    hands = re.compile(
        r"\b(vacuum|brush|clear|wipe|touch|push|hold) [^.]*while (it|the spindle|the cutter) (runs|turns)"
    )
    assert [text for text in texts if hands.search(text)] == []
