"""What the author states of the finished piece, as written to records: hazards, use, trials."""

from __future__ import annotations

from pathlib import Path

import pytest
from sample_kits import changed, refusals, resolved

from kitforge.model.errors import UnreadableKitError
from kitforge.model.facts import Hazard, PieceUse


def test_hazards_and_use_are_what_is_written_and_unknown_otherwise(tmp_path: Path) -> None:
    more = (
        "hardware:\n  - {item: A, hazard: mains}\n  - {item: B, hazard: [small part, glass]}\n"
        "  - {item: C, hazard: none}\n  - {item: D}\nparameters:"
    )
    kit = resolved(tmp_path, changed(("parameters:", more), ("  summary:", "  use: [wall, indoors]\n  summary:")))
    assert [thing.hazards for thing in kit.hardware] == [
        (Hazard.MAINS,),
        (Hazard.SMALL_PART, Hazard.GLASS),
        (Hazard.NONE,),
        None,
    ]
    assert kit.info.uses == (PieceUse.INDOORS, PieceUse.WALL)
    assert resolved(tmp_path).info.uses == ()


@pytest.mark.parametrize("hazard", ["[none, mains]", "fire", "[]", "[mains, fire]"])
def test_a_hazard_that_is_not_in_the_list_is_refused(tmp_path: Path, hazard: str) -> None:
    text = changed(("parameters:", f"hardware: [{{item: A, hazard: {hazard}}}]\nparameters:"))
    with pytest.raises(UnreadableKitError, match="hazard"):
        resolved(tmp_path, text)


def test_trials_are_looked_up_and_the_latest_stands_first(tmp_path: Path) -> None:
    trials = (
        "tried:\n  - {machine: mine, wood: hard maple, date: 2025-03-31, seen: Fine.}\n"
        "  - {machine: belt_trim_router, wood: birch_plywood, date: 2025-04-01, seen: Fuzzy.}\n"
        "own_machines: {mine: {like: medium_router, name: Bench router}}\nparameters:"
    )
    kit = resolved(tmp_path, changed(("parameters:", trials)))
    assert [(one.machine, one.wood, one.date) for one in kit.tried] == [
        ("Light router", "Birch plywood", "2025-04-01"),
        ("Bench router", "Sugar (hard) maple", "2025-03-31"),
    ]


@pytest.mark.parametrize(("old", "code"), [("2025-03-31", "bad-date"), ("birch_plywood", "unknown-name")])
def test_a_trial_with_a_wrong_date_or_wood_is_refused(tmp_path: Path, old: str, code: str) -> None:
    trial = "tried: [{machine: light_router, wood: birch_plywood, date: 2025-03-31, seen: Fine.}]\nparameters:"
    wrong = trial.replace(old, "2025-02-31" if code == "bad-date" else "cheese")
    found = refusals(tmp_path, changed(("parameters:", wrong)))
    assert code in [one.code for one in found]


def test_how_many_of_a_thing_may_follow_from_the_parameters(tmp_path: Path) -> None:
    """A size of a family then says its own number, where words can only say how many to a module."""
    text = changed(
        ("parameters:", "hardware: [{item: A, count: = 2 * pots}, {item: B, count: a handful}]\nparameters:\n  pots: 4")
    )
    assert [thing.count for thing in resolved(tmp_path, text).hardware] == ["8", "a handful"]


def test_a_number_of_things_that_is_not_whole_is_refused(tmp_path: Path) -> None:
    text = changed(("parameters:", "hardware: [{item: A, count: = 2.5}]\nparameters:"))
    with pytest.raises(UnreadableKitError, match="not a whole number"):
        resolved(tmp_path, text)
