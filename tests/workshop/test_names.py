"""Names of materials, machine classes, hold-downs and finishes: keys, printed names, names of the trade, old keys."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from kitforge.model.messages import ENGLISH
from kitforge.workshop.load import load_workshop
from kitforge.workshop.names import Named, find, known, names_of

SHOP = load_workshop()
TABLES: list[Mapping[str, Named]] = [SHOP.materials, SHOP.machines, SHOP.hold_downs, SHOP.finishes]


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("hard maple", "sugar_maple"),
        ("hard_maple", "sugar_maple"),
        ("Hard-Maple", "sugar_maple"),
        ("Sugar (hard) maple", "sugar_maple"),
        ("OSB", "osb"),
        ("Weymouth pine", "eastern_white_pine"),
        ("western red cedar", "western_redcedar"),
    ],
)
def test_names_of_the_trade_find_the_wood(name: str, key: str) -> None:
    """Common names as the Wood Handbook (FPL-GTR-282, chapter 2) and the trade give them; from memory."""
    found = find(SHOP.materials, name)
    assert found is not None
    assert (found.entry.key, found.former) == (key, False)


@pytest.mark.parametrize("name", ["oak", "maple", "pine", "southern pine", "", "wood"])
def test_a_name_for_many_woods_finds_none(name: str) -> None:
    """A guess between species would print the figures of another wood."""
    assert find(SHOP.materials, name) is None


def test_every_name_finds_its_own_entry_and_no_two_share_one() -> None:
    for table in TABLES:
        for name, key in names_of(table).items():
            found = find(table, name)
            assert found is not None, name
            assert found.entry.key == key
        for key, entry in table.items():
            found = find(table, entry.name)
            assert found is not None, entry.name
            assert found.entry.key == key


def test_a_key_hides_every_other_name() -> None:
    """An own machine may be called what a class was called once."""
    mine = replace(SHOP.machines["medium_router"], key="belt_trim_router", former_keys=(), aliases=())
    found = find({**SHOP.machines, "belt_trim_router": mine}, "belt_trim_router")
    assert found is not None
    assert (found.entry is mine, found.former) == (True, False)


def test_a_list_that_leaves_names_out_says_so() -> None:
    """No full stop after the twelfth of thirty-nine woods, as if there were no more."""
    assert ENGLISH.write(known(["a", "b", "c"])) == "known are a, b and c"
    assert ENGLISH.write(known([])) == "none is known"
    many = ENGLISH.write(known(sorted(SHOP.materials), "kitforge list materials"))
    assert many.endswith(f" and {len(SHOP.materials) - 12} more; `kitforge list materials` shows all of them")
