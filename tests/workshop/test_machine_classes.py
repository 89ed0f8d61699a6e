"""Classes of machines: one family of names, preferred numbers with their own sources, the weak end decides."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from kitforge.model.workshop import MachineClass, Span
from kitforge.workshop.cutting_data import cutting_data
from kitforge.workshop.load import load_workshop
from kitforge.workshop.own_machine import machine_from_mapping

CLASSES = list(load_workshop().machines.values())

# ISO 3:1973, preferred numbers, the R20 series (every second one is R10); from memory, and checked below by its rule.
R20 = (1.0, 1.12, 1.25, 1.4, 1.6, 1.8, 2.0, 2.24, 2.5, 2.8, 3.15, 3.55, 4.0, 4.5, 5.0, 5.6, 6.3, 7.1, 8.0, 9.0)


def ranges_of(machine: MachineClass) -> dict[str, Span]:
    """The figures that are rounded: all but what a standard or a shank fixes."""
    names = (
        "z_travel", "clearance", "lowest_speed", "highest_speed", "cutter_power", "side_force", "feed", "plunge",
        "acceleration",
    )  # fmt: skip
    found = {name: getattr(machine, name) for name in names}
    return {"x": machine.area[0], "y": machine.area[1], **found}


def test_preferred_numbers_are_the_roots_of_ten() -> None:
    """ISO 3: the terms of R20 are the powers of the twentieth root of ten, rounded by less than 1.3 %."""
    assert [abs(number / 10 ** (step / 20) - 1) < 0.013 for step, number in enumerate(R20)] == [True] * 20


@pytest.mark.parametrize("machine", CLASSES, ids=lambda machine: machine.key)
def test_class_figures_are_ranges_between_preferred_numbers(machine: MachineClass) -> None:
    """No figure of a class is one machine's: each is a range, and its ends are terms of ISO 3."""
    for name, span in ranges_of(machine).items():
        assert span.low < span.high, name
        for end in (span.low, span.high):
            assert any(math.isclose(end, term * 10**power) for term in R20 for power in range(6)), (name, end)


def test_no_two_classes_share_their_figures() -> None:
    for name in ("side_force", "cutter_power", "feed", "plunge", "acceleration"):
        assert len({(getattr(one, name).low, getattr(one, name).high) for one in CLASSES}) == len(CLASSES)


@pytest.mark.parametrize("machine", CLASSES, ids=lambda machine: machine.key)
def test_key_and_printed_name_are_one(machine: MachineClass) -> None:
    assert machine.key == machine.name.lower().replace("-", "_").replace(" ", "_")
    assert machine.name.endswith(" router")


@pytest.mark.parametrize("machine", CLASSES, ids=lambda machine: machine.key)
def test_every_figure_has_its_own_source(machine: MachineClass) -> None:
    for span in machine.figures:
        assert span.trust in ("common practice", "memory")
        assert (span.source == "common practice") == (span.trust == "common practice")


@pytest.mark.parametrize("machine", CLASSES, ids=lambda machine: machine.key)
def test_decisions_take_the_weak_end(machine: MachineClass) -> None:
    """The smallest table, the speed that all come down to, the speed, force and feeds that all reach."""
    assert machine.table == (machine.area[0].low, machine.area[1].low)
    assert (machine.slowest, machine.fastest) == (machine.lowest_speed.high, machine.highest_speed.low)
    assert machine.slowest < machine.fastest
    limits = (machine.force_limit, machine.feed_limit, machine.plunge_limit)
    assert limits == (machine.side_force.low, machine.feed.low, machine.plunge.low)


def test_classes_grow_from_weak_to_strong_and_leave_no_gap() -> None:
    assert [machine.rank for machine in CLASSES] == [0, 1, 2, 3, 4]
    for weak, strong in pairwise(CLASSES):
        for name in ("side_force", "feed", "plunge", "cutter_power", "z_travel", "acceleration"):
            first, second = getattr(weak, name), getattr(strong, name)
            assert first.low < second.low, name
            assert first.high < second.high, name
        assert weak.side_force.high == strong.side_force.low
        assert weak.table <= strong.table
    assert all(machine.plunge_limit < machine.feed_limit for machine in CLASSES)


def test_a_class_has_no_dial() -> None:
    """The positions of a dial belong to one make of router."""
    assert [machine.dial for machine in CLASSES] == [()] * 5
    assert "dial" not in " ".join(machine.about for machine in CLASSES)


def test_nuts_are_wider_than_their_threads() -> None:
    """Thread of the holder: M14, M22, M25, M32, M40 for ER11 to ER32 (ISO 15488, table of holder dimensions)."""
    threads = {"ER11": 14.0, "ER16": 22.0, "ER20": 25.0, "ER25": 32.0, "ER32": 40.0}
    nuts = cutting_data().nuts
    assert list(nuts) == list(threads) == list(cutting_data().collets)
    assert [size for size, thread in threads.items() if not 1.2 * thread < nuts[size].high < 1.5 * thread] == []


def test_a_nut_is_at_least_that_of_the_collets_named() -> None:
    """The class's text names the collets for a reader; the figure must not be smaller than theirs."""
    for machine in CLASSES:
        named = [nut.high for size, nut in cutting_data().nuts.items() if size in machine.collet_text]
        assert machine.nut.high >= max(named, default=0.0)


def test_the_nut_is_a_number_and_no_sentence_decides() -> None:
    """It is taken over by `like`, follows the collets that are listed, or is given."""
    heavy = load_workshop().machines["heavy_router"]
    assert machine_from_mapping("mine", {"like": "heavy_router"}).nut == heavy.nut
    assert machine_from_mapping("mine", {"like": "heavy_router", "about": "With ER11"}).nut == heavy.nut
    assert machine_from_mapping("mine", {"like": "heavy_router", "collets": [6, 8]}).nut == heavy.nut
    assert machine_from_mapping("mine", {"like": "heavy_router", "collets": ["er11", 8]}).nut.high == 19
    assert machine_from_mapping("mine", {"collets": ["ER16", "ER20"]}).nut.high == 34
    given = machine_from_mapping("mine", {"collets": ["ER20"], "nut": "1 1/4 in"}).nut
    assert (given.low, given.high, given.source) == (31.75, 31.75, "author")


def test_what_is_taken_from_a_class_keeps_its_source() -> None:
    """Only what the author measured is the author's."""
    mine = machine_from_mapping("mine", {"like": "light_router", "force_limit": 30, "area": [700, 500]})
    assert (mine.side_force.source, mine.area[0].source, mine.area[1].source) == ("author",) * 3
    assert {mine.feed.source, mine.nut.source, mine.cutter_power.source} == {"common practice"}


@pytest.mark.parametrize("old", ["desktop_micro", "belt_trim_router", "screw_hobby", "semi_pro", "industrial"])
def test_keys_of_older_machine_files_are_read(old: str) -> None:
    mine = machine_from_mapping("mine", {"like": old, "force_class": old})
    assert mine.rank == next(machine.rank for machine in CLASSES if old in machine.former_keys)
